"""At the table: a quote in the patient's language and the words of its paper, with nothing to edit."""

from collections.abc import Iterable
from decimal import Decimal

import pandas as pd
import streamlit as st

from estimator import files
from estimator.estimate.result import CaseEstimate
from estimator.inputs.fees import FeeKind
from estimator.inputs.payment import Lender
from estimator.pdf.print import make_job
from estimator.quote.paying import Box, PlannedWay, list_series
from estimator.quote.quote import PricedLine, Quote
from estimator.sheets.kinds import find_kinds
from estimator.sheets.paper_words import PaperWords, open_quote_paper
from estimator.sheets.papers import QuotePapers
from estimator.sheets.quote_ways import list_terms, name_way
from estimator.ui import session
from estimator.ui.edition import find_language
from estimator.ui.show import show_table
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
    wording = files.load_wording(find_language(estimate))
    made_of, quote = st.session_state.get(_SHOWN, (None, None))
    if quote is None or made_of is not estimate:
        st.markdown(show_plain(wording.get("quote.table.not_ready")))
        return
    (kind,) = find_kinds(("quote",))
    job = make_job(
        kind, estimate, 0, wording=wording, today=session.get_today(), paper=estimate.practice.settings.paper,
        papers=QuotePapers(quote=quote),
    )  # fmt: skip
    _Table(open_quote_paper(job, "quote.table"), invented=estimate.practice.fees.invented).show()


class _Table:
    """Words, days and amounts of one quote for the patient."""

    def __init__(self, words: PaperWords, *, invented: bool) -> None:
        self.words, self.quote, self.invented = words, words.papers.get_quote(), invented

    def say(self, key: str, **values: object) -> str:
        return show_plain(self.words.say(key, **values))

    def show(self) -> None:
        quote = self.quote
        for arch, name in quote.options:
            st.header(f"{show_plain(name)}, {show_plain(self.words.jaw(arch))}", anchor=False)
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
            column.metric(self.say(key), self.words.amount(amount))
        currency = show_plain(f"{self.words.currency_title}. ")
        st.markdown(currency + (self.say("invented") if self.invented else ""))
        if quote.plan_pays:
            st.markdown(self.say("not_promised"))

    def _show_group(self, kind: FeeKind, lines: list[PricedLine]) -> None:
        if not lines:
            return
        total = sum((one.line.amount for one in lines), Decimal(0))
        st.subheader(f"{self.say(kind.value)}\\: {self.words.amount(total)}", anchor=False)
        rows = pd.DataFrame([self._make_row(one) for one in lines])
        show_table(rows, {self.words.say("amount"): self._say_amount})

    def _make_row(self, one: PricedLine) -> dict[str, str | int | float]:
        line = one.line
        jaw = f" ({self.words.jaw(line.arch)})" if len(self.quote.options) > 1 and line.arch else ""
        amount: str | float = float(line.amount)
        if line.amount_to is not None:
            lower, most = self.words.amount(line.amount), self.words.amount(line.amount_to)
            amount = self.words.say("up_to", amount=lower, most=most)
        return {
            self.words.say("what"): line.label + jaw,
            self.words.say("times"): line.quantity,
            self.words.say("amount"): amount,
        }

    def _say_amount(self, amount: float | str) -> str:
        if isinstance(amount, str):
            return amount
        return self.words.amount(Decimal(str(amount))) if amount else self.words.say("included")

    def _show_between(self) -> None:
        """What stands between the lines and the price: discounts and tax."""
        for applied in self.quote.adjusted.applied:
            st.markdown(f"{show_plain(applied.adjustment.reason)}\\: **{self.words.amount(applied.change)}**")
        if self.quote.tax:
            st.markdown(f"{self.say('tax')}\\: **{self.words.amount(self.quote.tax)}**")

    def _show_way(self, planned: PlannedWay) -> None:
        st.subheader(show_plain(name_way(planned)), anchor=False)
        if isinstance(planned.way, Lender):
            st.markdown(show_plain(planned.way.text))
            return
        st.markdown("  \n".join(self._list_steps(planned)))
        if planned.box is not None:
            st.markdown(f"**{self.say('terms', way=planned.way.label)}**")
            self._show_terms(planned.box)

    def _show_terms(self, box: Box) -> None:
        """The terms of credit in the words of the paper."""
        table = list_terms(self.words.own("paying"), box)
        show_table(pd.DataFrame(table.rows, columns=list(table.head)))

    def _list_steps(self, planned: PlannedWay) -> Iterable[str]:
        yield f"**{self.say('in_all', amount=self.words.amount(planned.total))}**"
        more = planned.charge - planned.discount
        if more:
            yield self.say("costs_more" if more > 0 else "costs_less", amount=self.words.amount(abs(more)))
        yield (
            self.say("at_signing", amount=self.words.amount(planned.at_signing))
            if planned.at_signing
            else self.say("at_signing_nothing")
        )
        if planned.payments and planned.payments[0].due is None:
            for payment in planned.payments:
                yield self.say("then_when", amount=self.words.amount(payment.amount), what=payment.what)
            return
        for series in list_series(planned.payments):
            first = self.words.day(series.first) if series.first else ""
            yield self.say("then_from", number=series.number, amount=self.words.amount(series.amount), first=first)
        if planned.apr is not None and planned.box is None:
            yield self.say("apr", apr=self.words.percent_exact(planned.apr))

    def _show_end(self) -> None:
        quote = self.quote
        day, day_of_prices = self.words.day(quote.valid_until), self.words.day(quote.price_date)
        st.markdown(self.say("until", day=day, day_of_prices=day_of_prices))
        st.markdown(self.say("not_a_bill"))
