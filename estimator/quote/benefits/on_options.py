"""What benefit plans pay of the options of one or both jaws on the days of their visits, as planned and in one year."""

from collections.abc import Sequence
from datetime import date

from estimator.estimate.result import Estimate, JawEstimate
from estimator.inputs.payment.jurisdiction import Profile
from estimator.inputs.payment.model import PaymentTerms
from estimator.inputs.plans.model import BenefitPlan
from estimator.inputs.practice.working_days import ClosedDays
from estimator.inputs.practice_bundle import Practice
from estimator.quote.benefits.claims import date_option, list_claim_lines
from estimator.quote.benefits.phasing import PhaseComparison, compare_phases
from estimator.quote.lines import QuoteLine


def compare_options(
    picks: Sequence[tuple[JawEstimate, Estimate]],
    lines: Sequence[QuoteLine],
    terms: PaymentTerms,
    plans: Sequence[BenefitPlan],
    profile: Profile,
    practice: Practice,
    *,
    first_visit: date,
    closed: ClosedDays,
) -> PhaseComparison:
    """An option a jaw, whose lines these are, after the discounts of `terms`; the profile is settled on a currency."""
    options = {option.key: option for option in practice.options}
    days = {
        jaw.jaw.arch: date_option(
            jaw.jaw, options[made.key], made.visits, practice.variants, first_visit=first_visit, closed=closed
        )
        for jaw, made in picks
    }
    return compare_phases(list_claim_lines(lines, terms, profile, days), plans, currency=profile.currency)
