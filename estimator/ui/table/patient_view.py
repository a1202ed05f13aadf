"""At the table: a quote in the patient's language and the words of its paper, with nothing to edit."""

from decimal import Decimal

import pandas as pd
import streamlit as st

from estimator import files
from estimator.estimate.result import CaseEstimate
from estimator.inputs.payment.model import Lender
from estimator.quote.payment.plans import CreditDisclosure, PlannedWay
from estimator.quote.quote import LineGroup, PricedLine, Quote, group_lines
from estimator.sheets.financial.quote_email import label_line, list_amounts, list_limits, list_steps, say_plan_promise
from estimator.sheets.financial.quote_payment import list_terms, name_way
from estimator.sheets.financial.wording import PaperWords, list_gravest, name_paper, say_room
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.parts.print_edition import find_language
from estimator.ui.shell.render import show_table
from estimator.ui.table.patient_wording import open_quote_words

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
    made_of, quote = st.session_state.get(_SHOWN, (None, None))
    if quote is None or made_of is not estimate:
        st.markdown(show_plain(files.load_wording(find_language(estimate)).get("quote.table.not_ready")))
        return
    _Table(open_quote_words(estimate, quote), invented=estimate.practice.fees.invented).show()


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
        for said in say_room(self.words):
            st.markdown(f"**{show_plain(said)}**")
        for caution in list_gravest(self.words):
            st.markdown(f"**{show_plain(caution.patient_text)}**")
        self._show_totals()
        for group in group_lines(quote.lines):
            self._show_group(group)
        self._show_between()
        if quote.ways:
            st.header(self.say("ways"), anchor=False)
        for planned in quote.ways:
            self._show_way(planned)
        for own in quote.texts:
            st.markdown(show_plain(own.text))
        self._show_end()

    def _show_totals(self) -> None:
        quote, amounts = self.quote, list_amounts(self.quote)
        for column, (key, amount) in zip(st.columns(len(amounts), gap="medium"), amounts, strict=True):
            column.metric(self.say(key), self.words.amount(amount))
        currency = show_plain(f"{self.words.currency_title}. ")
        st.markdown(currency + (self.say("invented") if self.invented else ""))
        if promise := say_plan_promise(self.words, quote):
            st.markdown(show_plain(promise))

    def _show_group(self, group: LineGroup) -> None:
        st.subheader(f"{self.say(group.kind.value)}\\: {self.words.amount(group.total)}", anchor=False)
        rows = pd.DataFrame([self._make_row(one) for one in group.lines])
        show_table(rows, {self.words.say("amount"): self._say_amount})

    def _make_row(self, one: PricedLine) -> dict[str, str | int | float]:
        line = one.line
        amount: str | float = float(line.amount)
        if line.amount_to is not None:
            lower, most = self.words.amount(line.amount), self.words.amount(line.amount_to)
            amount = self.words.say("up_to", amount=lower, most=most)
        return {
            self.words.say("what"): label_line(self.words, self.quote, one),
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
        for told in list_limits(self.words, self.quote):
            st.markdown(show_plain(told))

    def _show_way(self, planned: PlannedWay) -> None:
        st.subheader(show_plain(name_way(planned)), anchor=False)
        if isinstance(planned.way, Lender):
            st.markdown(show_plain(planned.way.text))
            return
        first, *more = map(show_plain, list_steps(self.words, planned))
        st.markdown("  \n".join((f"**{first}**", *more)))
        if planned.box is not None:
            st.markdown(f"**{self.say('terms', way=planned.way.label)}**")
            self._show_terms(planned.box)

    def _show_terms(self, box: CreditDisclosure) -> None:
        """The terms of credit in the words of the paper."""
        table = list_terms(self.words.own("paying"), box)
        show_table(pd.DataFrame(table.rows, columns=list(table.head)))

    def _show_end(self) -> None:
        quote = self.quote
        day, day_of_prices = self.words.day(quote.valid_until), self.words.day(quote.price_date)
        st.markdown(self.say("until", day=day, day_of_prices=day_of_prices))
        st.markdown(self.say("not_a_bill"))
        name = name_paper(self.words, quote.title, self.words.papers.get_quote_number())
        st.markdown(f":small[{show_plain(name)}]")
