"""What is left to pay, and the ways to pay it side by side, under the lines of the Quote page."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import streamlit as st

from estimator import files
from estimator.base.problems import InputError
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate
from estimator.files.user import data_folder
from estimator.inputs.case.model import Arch
from estimator.inputs.case.writer import Document
from estimator.inputs.fees.schedule import FeeSchedule
from estimator.inputs.payment.jurisdiction import Profile
from estimator.inputs.payment.reader import read_payment_terms
from estimator.quote.benefits.claims import sum_up_answer
from estimator.quote.benefits.explanations import say_promise
from estimator.quote.benefits.phasing import PhaseComparison
from estimator.quote.change_words import name_arch
from estimator.quote.lines import QuoteLine, list_quote_lines
from estimator.quote.quote import Quote, QuoteHeading, make_quote
from estimator.sheets.financial.quote_email import write_quote_text
from estimator.ui.quote.benefits.section import Help, ask_help, show_help
from estimator.ui.quote.payment_form import edit_terms, label_payment_fields
from estimator.ui.quote.payment_plans import show_payment_ways
from estimator.ui.shell import session
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.render import show_problems
from estimator.ui.table.patient_wording import open_quote_words

Chosen = Sequence[tuple[JawEstimate, Estimate]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A quote, and what plans are expected to pay of it where there are any."""

    quote: Quote
    benefits: tuple[PhaseComparison, ...] = ()


def show_paying(estimate: CaseEstimate, chosen: Chosen) -> Made | None:
    """Help, discounts and ways as typed, then what comes of them; problems are listed and nothing else is lost.

    Returns None where nothing is chosen or something does not go together yet.
    """
    if not chosen:
        return None
    fees = estimate.practice.fees
    lines = list_quote_lines([(jaw.jaw.arch, made.fees) for jaw, made in chosen], fees)
    help_ = ask_help(estimate, chosen, lines)
    st.header("Paying")
    settings = estimate.practice.settings
    names = {one.key: name_quote_line(one, lines) for one in lines if one.amount}
    document = edit_terms(settings.pay_at, session.get_today(), names, _name_lines(fees))
    try:
        made = _make_quote(estimate, chosen, document, lines, help_)
    except InputError as error:
        show_problems(
            "These ways to pay do not work out yet", error.problems, labels=label_payment_fields(document), typed=True
        )
        return None
    promise = _say_promise(made.quote, settings.locale)
    _show_total(made.quote, promise)
    show_payment_ways(made.quote)
    _show_text(estimate, made.quote)
    return made


def _name_lines(fees: FeeSchedule) -> dict[str, str]:
    """Every line that a quote may have, by the key that it has there in either jaw."""
    return {
        key: line.label for name, line in fees.lines.items() for key in (name, *(f"{arch}.{name}" for arch in Arch))
    }


def name_quote_line(line: QuoteLine, lines: Sequence[QuoteLine]) -> str:
    """Its label, with the jaw where two jaws have one of that name."""
    twice = sum(one.label == line.label for one in lines) > 1
    return f"{line.label}, {name_arch(line.arch, files.load_wording())}" if twice and line.arch else line.label


def _make_quote(
    estimate: CaseEstimate, chosen: Chosen, document: Document, lines: tuple[QuoteLine, ...], help_: Help
) -> Made:
    fees, profile = estimate.practice.fees, find_profile(estimate)
    # Where a place wants one amount, the middle of a range is quoted; the lines above say so.
    quoted = lines if profile.ranges else tuple(replace(line, amount_to=None) for line in lines)
    terms = read_payment_terms(
        document,
        file="ways to pay",
        currency=fees.currency,
        signed_on=session.get_today(),
        lines=[one.key for one in lines],
    )
    helped, years = show_help(help_, estimate, quoted, terms, profile)
    answered = sum_up_answer(years[0].as_planned) if years else None
    quote = make_quote(_head(estimate, chosen), quoted, terms, profile, benefits=helped, answered=answered)
    return Made(quote=quote, benefits=years)


def _say_promise(quote: Quote, locale: str) -> str:
    """That what plans pay is no promise; nothing where no plan helps and none has answered."""
    if not (quote.answered or quote.plan_pays or quote.write_off):
        return ""
    return say_promise(quote.answered, files.load_wording(), locale=locale)


def find_profile(estimate: CaseEstimate) -> Profile:
    """The practice's profile in the currency of its fees; without taxes of its own, with those of the settings."""
    return files.load_profile(data_folder.find_practice_folder()).settle_fees(estimate.practice.fees)


def _head(estimate: CaseEstimate, chosen: Chosen) -> QuoteHeading:
    """The options stand in the patient's words: a quote is read by the patient. Its number comes when it is kept."""
    return QuoteHeading(
        reference=estimate.case.reference,
        made_by="",
        made_on=session.get_today(),
        price_date=estimate.practice.fees.price_date,
        creditor=estimate.practice.settings.practice_name,
        options=tuple((jaw.jaw.arch.value, made.patient_name) for jaw, made in chosen),
        rooms=tuple((jaw.jaw.arch.value, made.clearance.verdict) for jaw, made in chosen),
    )


def _show_total(quote: Quote, promise: str) -> None:
    wording = files.load_wording()
    for applied in quote.adjusted.applied:
        reason, change = show_plain(applied.adjustment.reason), f"{applied.change:,}"
        st.markdown(f"{reason}\\: **{change}** :small[{wording.get(f'quote.rules.{applied.rounding}')}]")
    tax = f", tax {quote.tax:,} in it" if quote.tax else ""
    if promise:
        off = f", written off {quote.write_off:,}" if quote.write_off else ""
        st.markdown(f"Charged {quote.total:,}. Plans are expected to pay {quote.plan_pays:,}{off}. "
                    f"{show_plain(promise)}")  # fmt: skip
    st.markdown(
        f"**To pay {quote.left:,} {quote.currency}**{tax}{_tell_most(quote)}. "
        f"Valid until {quote.valid_until.isoformat()}. :small[{wording.get('quote.rules.total')}]"
    )


def _tell_most(quote: Quote) -> str:
    """What it may come to where prices are a range; nothing where they are not."""
    return "" if quote.at_most == quote.left else f", at most {quote.at_most:,} if each range comes out at its top"


def _show_text(estimate: CaseEstimate, quote: Quote) -> None:
    """The quote as plain text for an e-mail, in the patient's language; it names no patient."""
    with st.expander("As text, for an e-mail"):
        st.code(write_quote_text(open_quote_words(estimate, quote)), language=None, wrap_lines=True)
