"""What is offered to the patient of this tab, read from the working copy, and the one statement that is made of it."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Any

import streamlit as st

from estimator import files
from estimator.base.problems import InputError, Problem
from estimator.inputs.case.model import Case
from estimator.inputs.fees.schedule import FeeSchedule
from estimator.proposal.document import OFFER, make_help_document, read_offer
from estimator.proposal.model import PlanHelp, Proposal
from estimator.ui.shell import session
from estimator.ui.shell.working_copy import get_value, put_value

if TYPE_CHECKING:
    from estimator.estimate.result import CaseEstimate
    from estimator.proposal.statement import Chosen, Statement

_HELP = (OFFER, "help")
_SETTLED = "settled"
_MOST_SETTLED = 4
"""How many statements a tab holds: with and without a plan's answer, on the page before and on this one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """A proposal and its statement. Where `problems` say what of it cannot be read, both are of the options alone."""

    proposal: Proposal
    statement: "Statement"
    problems: tuple[Problem, ...] = ()


def settle_shown(
    estimate: "CaseEstimate",
    chosen: "tuple[Chosen, ...] | None" = None,
    *,
    counted: bool | None = None,
    start_on: date | None = None,
) -> Offered:
    """What is offered in this tab, settled; made once until something of it changes.

    `chosen` are the options that a page shows, by default those that were chosen; `counted` is whether a plan's answer
    is counted, `start_on` the first visit that the page shows, by default as they were chosen.
    """
    problems: tuple[Problem, ...] = ()
    try:
        proposal = read_held(estimate.case, estimate.practice.fees)
    except InputError as error:
        proposal, problems = Proposal(case=estimate.case), error.problems
    proposal = replace(proposal, years=estimate.years)
    if chosen is not None:
        proposal = replace(proposal, chosen=chosen)
    if counted is not None:
        proposal = replace(proposal, help=replace(proposal.help, counted=counted))
    if start_on is not None:
        proposal = replace(proposal, start_on=start_on)
    return Offered(proposal=proposal, statement=_settle(proposal, estimate), problems=problems)


def read_held(case: Case, fees: FeeSchedule | None = None) -> Proposal:
    """What the working copy holds for its case, without discounts that are half typed. Raises InputError."""
    held: Mapping[str, Any] = get_value((OFFER,)) or {}
    counted = {"adjustments": list_counted(held.get("adjustments", []))}
    proposal = read_offer(
        {OFFER: {**held, **counted}},
        case,
        file="proposal",
        today=session.get_today(),
        languages=files.list_languages(),
        fees=fees,
    )
    # Nothing but a case that could not be read has no proposal, and this one could.
    return proposal or Proposal(case=case)


def list_counted(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Discounts that say how much they are; the others are half typed."""
    return [row for row in rows if "percent" in row or "amount" in row]


def _settle(proposal: Proposal, estimate: "CaseEstimate") -> "Statement":
    made: list[tuple[object, Proposal, object, Statement]] = st.session_state.setdefault(_SETTLED, [])
    today = session.get_today()
    for of, offered, day, statement in made:
        if of is estimate and day == today and offered == proposal:
            return statement
    statement = files.settle_offer(proposal, estimate, today=today)
    st.session_state[_SETTLED] = [(estimate, proposal, today, statement), *made[: _MOST_SETTLED - 1]]
    return statement


def put_help(help_: PlanHelp) -> None:
    """Hold in the working copy what is known of benefit plans."""
    document = make_help_document(help_)
    if document != (get_value(_HELP) or {}):
        put_value(_HELP, document or None)


def get_help() -> Mapping[str, Any]:
    """What the working copy holds of benefit plans, as it stands."""
    held: Mapping[str, Any] = get_value(_HELP) or {}
    return held
