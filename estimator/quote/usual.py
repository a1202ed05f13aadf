"""The quote that a practice makes when nobody has chosen anything but an option: its own milestones, no discount."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal

from estimator.base.problems import InputError, Problem
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate
from estimator.inputs.payment.jurisdiction import Profile
from estimator.inputs.payment.model import HUNDRED, Milestone, Milestones, PayInFull, PaymentTerms, Way
from estimator.inputs.reference.wording import Wording
from estimator.quote.lines import list_quote_lines
from estimator.quote.quote import Quote, QuoteHeading, make_quote


def make_usual_terms(pay_at: Sequence[str], wording: Wording) -> PaymentTerms:
    """The practice's milestones in equal parts, the last one with what is left of 100; without any, all at signing."""
    if not pay_at:
        return PaymentTerms(ways=(PayInFull(key="in_full", label=wording.say("paying.usual_in_full")),))
    equal = Decimal(100 // len(pay_at))
    shares = [equal] * (len(pay_at) - 1)
    shares.append(HUNDRED - sum(shares, Decimal(0)))
    stages = tuple(Milestone(what=what, percent=share) for what, share in zip(pay_at, shares, strict=True))
    way: Way = Milestones(key="milestones", label=wording.say("paying.usual_milestones"), stages=stages)
    return PaymentTerms(ways=(way,))


def make_usual_quote(estimate: CaseEstimate, key: str, profile: Profile, wording: Wording, *, made_on: date) -> Quote:
    """The quote for one option in every jaw that has it, at the practice's usual terms.

    Raises InputError where no jaw has it, or the profile does not go with the fees.
    """
    practice = estimate.practice
    chosen = _list_chosen(estimate, key)
    settled = profile.settle_fees(practice.fees)
    lines = list_quote_lines([(jaw.jaw.arch, made.fees) for jaw, made in chosen], practice.fees)
    # Where a place wants one amount, the middle of a range is quoted.
    quoted = lines if settled.ranges else tuple(replace(line, amount_to=None) for line in lines)
    heading = QuoteHeading(
        reference=estimate.case.reference,
        made_by="",
        made_on=made_on,
        price_date=practice.fees.price_date,
        creditor=practice.settings.practice_name,
        options=tuple((jaw.jaw.arch.value, made.patient_name) for jaw, made in chosen),
        rooms=tuple((jaw.jaw.arch.value, made.clearance.verdict) for jaw, made in chosen),
    )
    return make_quote(heading, quoted, make_usual_terms(practice.settings.pay_at, wording), settled)


def _list_chosen(estimate: CaseEstimate, key: str) -> list[tuple[JawEstimate, Estimate]]:
    chosen = [(jaw, made) for jaw in estimate.jaws for made in jaw.estimates if made.key == key]
    if not chosen:
        raise InputError([Problem(file="quote", path=("option",), code="quote.option", found=key)])
    return chosen
