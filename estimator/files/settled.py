"""A proposal settled by what a practice has on disk: its own ways to pay, and the days on which it is closed."""

from datetime import date

from estimator.estimate.result import CaseEstimate
from estimator.files.languages import load_family
from estimator.files.practice.closed_days import load_closed_days
from estimator.proposal.model import Proposal
from estimator.proposal.settle import settle
from estimator.proposal.statement import Statement
from estimator.proposal.usual import make_usual_terms


def settle_offer(proposal: Proposal, estimate: CaseEstimate, *, today: date) -> Statement:
    """The statement of a proposal, made on that day. Days are looked up only where something depends on them."""
    settings = estimate.practice.settings
    dated = proposal.start_on is not None or proposal.help.plans
    closed = load_closed_days(settings.calendar, start=proposal.start_on or today) if dated else None
    usual = make_usual_terms(settings.pay_at, load_family("paying"))
    return settle(proposal, estimate, usual, today=today, closed=closed)
