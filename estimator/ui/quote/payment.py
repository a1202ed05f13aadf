"""Discounts and ways to pay as typed, then what is left to pay and the ways side by side, as the statement has them."""

from collections.abc import Sequence

import streamlit as st

from estimator import files
from estimator.estimate.result import CaseEstimate
from estimator.inputs.case.model import Arch
from estimator.inputs.case.writer import Document
from estimator.inputs.fees.schedule import FeeSchedule
from estimator.proposal.statement import Price, Statement
from estimator.quote.benefits.explanations import say_promise
from estimator.quote.change_words import name_arch
from estimator.quote.lines import QuoteLine
from estimator.quote.quote import Quote
from estimator.sheets.financial.quote_email import write_quote_text
from estimator.ui.quote.payment_form import edit_terms, label_payment_fields
from estimator.ui.quote.payment_plans import show_payment_ways
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.offer import Offered
from estimator.ui.shell.render import show_problems
from estimator.ui.table.patient_wording import open_quote_words


def ask_terms(estimate: CaseEstimate, lines: Sequence[QuoteLine]) -> Document:
    """What is taken off and how it may be paid, written into the proposal; gives what of it counts."""
    st.header("Paying")
    practice = estimate.practice
    return edit_terms(
        files.load_usual_terms(practice).ways, practice.settings.pay_at, _name_priced(lines), _name_lines(practice.fees)
    )


def _name_priced(lines: Sequence[QuoteLine]) -> dict[str, str]:
    return {one.key: name_quote_line(one, lines) for one in lines if one.amount}


def _name_lines(fees: FeeSchedule) -> dict[str, str]:
    """Every line that a quote may have, by the key that it has there in either jaw."""
    return {
        key: line.label for name, line in fees.lines.items() for key in (name, *(f"{arch}.{name}" for arch in Arch))
    }


def name_quote_line(line: QuoteLine, lines: Sequence[QuoteLine]) -> str:
    """Its label, with the jaw where two jaws have one of that name."""
    twice = sum(one.label == line.label for one in lines) > 1
    return f"{line.label}, {name_arch(line.arch, files.load_wording())}" if twice and line.arch else line.label


def show_paying(estimate: CaseEstimate, offered: Offered, terms: Document, lines: Sequence[QuoteLine]) -> Quote | None:
    """What is left and the ways to pay it; problems are listed by the labels of the form and nothing else is lost.

    Returns the quote, None while something does not go together yet.
    """
    statement = offered.statement
    if statement.quote is None or statement.chosen is None or offered.problems:
        show_problems(
            "These ways to pay do not work out yet",
            offered.problems or statement.problems,
            labels=label_payment_fields(terms, _name_priced(lines)),
            typed=True,
        )
        return None
    quote, locale = statement.quote, estimate.practice.settings.locale
    _show_total(statement.chosen, quote, _say_promise(quote, locale))
    _show_excluded(statement)
    show_payment_ways(quote)
    _show_text(estimate, quote)
    return quote


def _say_promise(quote: Quote, locale: str) -> str:
    """That what plans pay is no promise; nothing where no plan helps and none has answered."""
    if not (quote.answered or quote.plan_pays or quote.write_off):
        return ""
    return say_promise(quote.answered, files.load_wording(), locale=locale)


def _show_total(price: Price, quote: Quote, promise: str) -> None:
    wording = files.load_wording()
    for applied in price.adjusted.applied:
        reason, change = show_plain(applied.adjustment.reason), f"{applied.change:,}"
        st.markdown(f"{reason}\\: **{change}** :small[{wording.get(f'quote.rules.{applied.rounding}')}]")
    tax = f", tax {price.tax:,} in it" if price.tax else ""
    if promise:
        off = f", written off {price.write_off:,}" if price.write_off else ""
        st.markdown(f"Charged {price.total:,}. Plans are expected to pay {price.plan_pays:,}{off}. "
                    f"{show_plain(promise)}")  # fmt: skip
    st.markdown(
        f"**To pay {price.left:,} {quote.currency}**{tax}{_tell_most(price)}. "
        f"Valid until {quote.valid_until.isoformat()}. :small[{wording.get('quote.rules.total')}]"
    )


def _tell_most(price: Price) -> str:
    """What it may come to where prices are a range; nothing where they are not."""
    return "" if price.at_most == price.left else f", at most {price.at_most:,} if each range comes out at its top"


def _show_excluded(statement: Statement) -> None:
    left_out = ", ".join(name.label for name in statement.list_excluded(statement.decided))
    if left_out:
        st.markdown(f"Not included\\: {show_plain(left_out)}.")


def _show_text(estimate: CaseEstimate, quote: Quote) -> None:
    """The quote as plain text for an e-mail, in the patient's language; it names no patient."""
    with st.expander("As text, for an e-mail"):
        st.code(write_quote_text(open_quote_words(estimate, quote)), language=None, wrap_lines=True)
