"""What a practice offers when nobody has chosen anything but an option: its own ways to pay, no discount, no plan."""

from collections.abc import Sequence
from datetime import date

from estimator.base.problems import InputError, Problem, offer_names
from estimator.estimate.result import CaseEstimate
from estimator.inputs.payment.model import Milestone, Milestones, PayInFull, PaymentTerms, Way
from estimator.inputs.reference.wording import Wording
from estimator.proposal.model import Proposal
from estimator.proposal.settle import settle
from estimator.proposal.statement import Statement


def make_usual_terms(pay_at: Sequence[str], wording: Wording) -> PaymentTerms:
    """The practice's milestones in equal parts; without any, all at signing."""
    if not pay_at:
        return PaymentTerms(ways=(PayInFull(key="in_full", label=wording.say("paying.usual_in_full")),))
    stages = tuple(Milestone(what=what) for what in pay_at)
    way: Way = Milestones(key="milestones", label=wording.say("paying.usual_milestones"), stages=stages)
    return PaymentTerms(ways=(way,))


def make_usual_proposal(estimate: CaseEstimate, key: str = "") -> Proposal:
    """One option in every jaw that has it, at the practice's usual terms; without a key nothing is chosen."""
    jaws = [jaw for jaw in estimate.jaws if any(made.key == key for made in jaw.estimates)]
    return Proposal(case=estimate.case, chosen=tuple((jaw.jaw.arch, key) for jaw in jaws), years=estimate.years)


def settle_usual(estimate: CaseEstimate, key: str, wording: Wording, *, today: date) -> Statement:
    """The statement of one option in every jaw that has it, at the practice's usual terms."""
    usual = make_usual_terms(estimate.practice.settings.pay_at, wording)
    return settle(make_usual_proposal(estimate, key), estimate, usual, today=today)


def check_chosen(chosen: str, estimate: CaseEstimate) -> None:
    """Raises InputError for an option agreed on that no jaw of the case has a price for."""
    known = dict.fromkeys(made.key for jaw in estimate.jaws for made in jaw.estimates)
    if chosen and chosen not in known:
        expected = offer_names(chosen, known)
        raise InputError([Problem(file="option", code="known", found=chosen, expected=expected)])
