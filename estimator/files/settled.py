"""A proposal settled by what a practice has on disk: its own ways to pay, and the days on which it is closed."""

from datetime import date

from estimator.estimate.result import CaseEstimate
from estimator.files.languages import load_family
from estimator.files.practice.closed_days import load_closed_days
from estimator.inputs.payment.model import PaymentTerms
from estimator.inputs.practice_bundle import Practice
from estimator.proposal.model import Proposal
from estimator.proposal.settle import settle
from estimator.proposal.statement import Statement
from estimator.proposal.usual import make_usual_terms


def load_usual_terms(practice: Practice) -> PaymentTerms:
    """The ways to pay that a practice offers where nobody has chosen any."""
    return make_usual_terms(practice.settings.pay_at, load_family("paying"))


def settle_offer(proposal: Proposal, estimate: CaseEstimate, *, today: date) -> Statement:
    """The statement of a proposal, made on that day. Days are looked up only where something depends on them."""
    calendar = estimate.practice.settings.calendar
    dated = proposal.start_on is not None or proposal.help.plans
    closed = load_closed_days(calendar, start=proposal.start_on or today) if dated else None
    return settle(proposal, estimate, load_usual_terms(estimate.practice), today=today, closed=closed)
