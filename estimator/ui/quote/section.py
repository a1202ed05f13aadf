"""The Quote page: an option a jaw, what plans pay, how it is paid, papers, kept versions; all as the statement says.

What an option costs the practice is never here.
"""

from dataclasses import dataclass
from typing import Any

import streamlit as st

from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate
from estimator.inputs.payment.jurisdiction import DocumentKind
from estimator.proposal.pricing import settle_profile
from estimator.proposal.statement import Chosen, Statement
from estimator.quote.lines import QuoteLine, join_lines
from estimator.ui.quote.benefits.section import ask_help, settle_answered, show_help
from estimator.ui.quote.documents import offer_papers
from estimator.ui.quote.payment import ask_terms, show_paying
from estimator.ui.quote.price_lines import show_jaw_lines, show_pair, show_prices
from estimator.ui.quote.self_pay.section import show_self_pay
from estimator.ui.quote.unfinished import forget_unfinished
from estimator.ui.quote.version_history import show_quote_versions
from estimator.ui.shell.ask import hold_option
from estimator.ui.shell.markup import say_word
from estimator.ui.shell.offer import settle_shown
from estimator.ui.table.patient_view import AT_THE_TABLE, put_on_table, show_at_table


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shown:
    """The option that is shown of a jaw, and where its lines stand."""

    jaw: JawEstimate
    made: Estimate
    place: Any

    @property
    def chosen(self) -> Chosen:
        return (self.jaw.jaw.arch, self.made.key)


def show_quote(estimate: CaseEstimate) -> None:
    """For the office one option a jaw, chosen here, and all that follows; for the patient only what is said of it."""
    if st.toggle("At the table", key=AT_THE_TABLE):
        show_at_table(estimate)
        return
    forget_unfinished()
    show_prices(estimate.practice.fees)
    asked = [_ask_option(jaw, number) for number, jaw in enumerate(estimate.jaws)]
    shown = [one for one in asked if one is not None]
    if shown:
        _show_offer(estimate, shown)
    else:
        put_on_table(estimate, None)


def _ask_option(jaw: JawEstimate, number: int) -> _Shown | None:
    st.header(say_word(jaw.jaw.arch).capitalize())
    options = {option.key: option for option in jaw.estimates}
    if not options:
        return None
    held = hold_option(f"quote_{number}", jaw.jaw.arch, list(options), next(iter(options)))
    key = st.selectbox("Option", list(options), format_func=lambda k: options[k].name, **held)
    return _Shown(jaw=jaw, made=options[key], place=st.container())


def _show_offer(estimate: CaseEstimate, shown: list[_Shown]) -> None:
    """What is asked stands among what is said, so that each part is filled once all is known."""
    chosen = tuple(one.chosen for one in shown)
    together = st.container()
    lines = _list_lines(settle_shown(estimate, chosen).statement, chosen)
    asked = ask_help(estimate, lines)
    terms = ask_terms(estimate, lines)
    offered = settle_answered(asked, estimate, chosen)
    statement = offered.statement
    for one in shown:
        with one.place:
            show_jaw_lines(one.made, statement.find_jaw(one.jaw.jaw.arch))
    with together:
        show_pair(statement, chosen)
    show_help(asked, estimate, statement)
    quote = show_paying(estimate, offered, terms, lines)
    put_on_table(estimate, quote)
    papers = st.container()
    profile = settle_profile(estimate.practice)[0]
    show_quote_versions(estimate, offered if quote else None, profile)
    self_pay = show_self_pay(estimate, quote, profile)
    if quote is not None:
        with papers:
            title = profile.name_document(DocumentKind.BENEFIT)
            offer_papers(estimate, quote, statement.help, self_pay, benefit_title=title)


def _list_lines(statement: Statement, chosen: tuple[Chosen, ...]) -> tuple[QuoteLine, ...]:
    """The lines of these options, also while discounts or ways to pay do not go with them."""
    offers = [statement.find_jaw(arch).find_offer(key) for arch, key in chosen]
    return join_lines([one.line for one in offer.price.lines] for offer in offers if offer is not None)
