"""At the table: a quote as the patient reads it, without what is for the office, and with nothing to edit."""

from collections.abc import Iterable
from decimal import Decimal

import pandas as pd
import streamlit as st

from estimator import files
from estimator.base.formats import format_amount, format_day, name_currency
from estimator.base.money import MINOR_UNITS
from estimator.estimate.result import CaseEstimate
from estimator.inputs.fees import FeeKind
from estimator.inputs.payment import Lender
from estimator.inputs.wording import Wording
from estimator.quote.change_words import name_arch
from estimator.quote.paying import PlannedWay, list_series
from estimator.quote.quote import PricedLine, Quote
from estimator.ui.show import show_table
from estimator.ui.ways import show_box
from estimator.ui.words import show_plain

AT_THE_TABLE = "at_table"
_SHOWN = "on_table"


def put_on_table(estimate: CaseEstimate, quote: Quote | None) -> None:
    """What the patient is shown when the screen is turned; nothing while the quote has problems."""
    st.session_state[_SHOWN] = (estimate, quote)


def turn_screen(estimate: CaseEstimate, quote: Quote) -> None:
    """Show this quote at the table, as after a button."""
    put_on_table(estimate, quote)
    st.session_state[AT_THE_TABLE] = True


def show_at_table(estimate: CaseEstimate) -> None:
    """The quote that was put on the table, as long as case and practice are the same."""
    wording = files.load_wording()
    made_of, quote = st.session_state.get(_SHOWN, (None, None))
    if quote is None or made_of is not estimate:
        st.markdown(wording.get("quote.table.not_ready"))
        return
    _Table(quote, wording, estimate.practice.settings.locale, estimate.practice.fees.invented).show()


class _Table:
    """Words, days and amounts of one quote for the patient."""

    def __init__(self, quote: Quote, wording: Wording, locale: str, invented: bool) -> None:
        self.quote, self.wording, self.locale, self.invented = quote, wording, locale, invented

    def say(self, key: str, **values: object) -> str:
        return show_plain(self.wording.say(f"quote.table.{key}", **values))

    def money(self, amount: Decimal) -> str:
        return format_amount(amount, self.locale, decimals=MINOR_UNITS[self.quote.currency])

    def show(self) -> None:
        quote = self.quote
        for arch, name in quote.options:
            st.header(f"{show_plain(name)}, {name_arch(arch, self.wording)}", anchor=False)
        self._show_totals()
        for kind in FeeKind:
            self._show_group(kind, [one for one in quote.lines if one.line.kind is kind])
        self._show_between()
        if quote.ways:
            st.header(self.say("ways"), anchor=False)
        for planned in quote.ways:
            self._show_way(planned)
        for own in quote.texts:
            st.markdown(show_plain(own.text))
        self._show_end()

    def _show_totals(self) -> None:
        quote, steps = self.quote, []
        if quote.plan_pays or quote.write_off:
            steps = [("before_help", quote.total), ("write_off", quote.write_off), ("plan_pays", quote.plan_pays)]
        steps = [(key, amount) for key, amount in steps if amount] + [("you_pay", quote.left)]
        if quote.at_most != quote.left:
            steps.append(("you_pay_at_most", quote.at_most))
        for column, (key, amount) in zip(st.columns(len(steps), gap="medium"), steps, strict=True):
            column.metric(self.say(key), self.money(amount))
        st.markdown(show_plain(f"{name_currency(quote.currency, self.locale)}. ") + self._say_invented())
        if quote.plan_pays:
            st.markdown(self.say("not_promised"))

    def _say_invented(self) -> str:
        return self.say("invented") if self.invented else ""

    def _show_group(self, kind: FeeKind, lines: list[PricedLine]) -> None:
        if not lines:
            return
        total = sum((one.line.amount for one in lines), Decimal(0))
        st.subheader(f"{self.say(kind.value)}\\: {self.money(total)}", anchor=False)
        rows = pd.DataFrame([self._make_row(one) for one in lines])
        show_table(rows, {self.wording.get("quote.table.amount"): self._say_amount})

    def _make_row(self, one: PricedLine) -> dict[str, str | int | float]:
        line = one.line
        jaw = f" ({name_arch(line.arch, self.wording)})" if len(self.quote.options) > 1 and line.arch else ""
        amount: str | float = float(line.amount)
        if line.amount_to is not None:
            lower, most = self.money(line.amount), self.money(line.amount_to)
            amount = self.wording.say("quote.table.up_to", amount=lower, most=most)
        return {
            self.wording.get("quote.table.what"): line.label + jaw,
            self.wording.get("quote.table.times"): line.quantity,
            self.wording.get("quote.table.amount"): amount,
        }

    def _say_amount(self, amount: float | str) -> str:
        if isinstance(amount, str):
            return amount
        return self.money(Decimal(str(amount))) if amount else self.wording.get("quote.table.included")

    def _show_between(self) -> None:
        """What stands between the lines and the price: discounts and tax."""
        for applied in self.quote.adjusted.applied:
            st.markdown(f"{show_plain(applied.adjustment.reason)}\\: **{self.money(applied.change)}**")
        if self.quote.tax:
            st.markdown(f"{self.say('tax')}\\: **{self.money(self.quote.tax)}**")

    def _show_way(self, planned: PlannedWay) -> None:
        st.subheader(show_plain(planned.way.label).capitalize(), anchor=False)
        if isinstance(planned.way, Lender):
            st.markdown(show_plain(planned.way.text))
            return
        st.markdown("  \n".join(self._list_steps(planned)))
        if planned.box is not None:
            st.markdown(f"**{self.say('terms', way=planned.way.label)}**")
            show_box(planned.box, self.quote.currency, with_gaps=False)

    def _list_steps(self, planned: PlannedWay) -> Iterable[str]:
        yield f"**{self.say('in_all', amount=self.money(planned.total))}**"
        more = planned.charge - planned.discount
        if more:
            yield self.say("costs_more" if more > 0 else "costs_less", amount=self.money(abs(more)))
        yield (
            self.say("at_signing", amount=self.money(planned.at_signing))
            if planned.at_signing
            else self.say("at_signing_nothing")
        )
        if planned.payments and planned.payments[0].due is None:
            for payment in planned.payments:
                yield self.say("then_when", amount=self.money(payment.amount), what=payment.what)
            return
        for series in list_series(planned.payments):
            first = format_day(series.first, self.locale) if series.first else ""
            yield self.say("then_from", number=series.number, amount=self.money(series.amount), first=first)
        if planned.apr is not None and planned.box is None:
            yield self.say("apr", apr=f"{planned.apr:.2f}")

    def _show_end(self) -> None:
        quote = self.quote
        day, prices = format_day(quote.valid_until, self.locale), format_day(quote.price_date, self.locale)
        st.markdown(self.say("until", day=day, day_of_prices=prices))
        st.markdown(self.say("not_a_bill"))
