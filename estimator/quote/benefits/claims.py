"""Benefit plans on a quote: its lines as a plan sees them, and what plans take off each of them, cent for cent."""

from collections.abc import Mapping, Sequence
from datetime import date

from estimator.base.money import get_quantum
from estimator.estimate.variants import apply_variants
from estimator.estimate.visits.appointments import VisitPlan
from estimator.estimate.visits.calendar import date_visits
from estimator.inputs.case.model import Arch, Jaw
from estimator.inputs.fees.schedule import FeeKind
from estimator.inputs.options.model import Option
from estimator.inputs.options.variants import Variant
from estimator.inputs.payment.jurisdiction import Profile
from estimator.inputs.payment.model import PaymentTerms
from estimator.inputs.practice.working_days import ClosedDays
from estimator.quote.benefits.claim import ClaimLine
from estimator.quote.benefits.estimate import BenefitEstimate
from estimator.quote.benefits.service_dates import ServiceDays, find_service_days
from estimator.quote.discounts import apply_adjustments
from estimator.quote.lines import QuoteLine
from estimator.quote.quote import CountedAnswer, LineHelp, PricedLine, price_lines

Days = Mapping[str, ServiceDays]
"""Days of service by the key of the fee line."""
_DONE_AT_ONCE = (FeeKind.SURGERY, FeeKind.IMAGING)


def date_option(
    jaw: Jaw,
    option: Option,
    visits: VisitPlan,
    variants: Mapping[str, Variant],
    *,
    first_visit: date,
    closed: ClosedDays,
) -> Days:
    """The days of an option's lines in a jaw, on the days that its visits have in the calendar."""
    if not visits.visits:
        return find_service_days(option, {}, first_visit=first_visit, teeth_on=first_visit)
    plan = date_visits(visits, first_visit, closed)
    days = {dated.visit.key: dated.day for dated in plan.visits}
    asked = apply_variants(option, jaw, variants)
    return find_service_days(asked, days, first_visit=plan.visits[0].day, teeth_on=plan.teeth_on)


def list_claim_lines(
    lines: Sequence[QuoteLine], terms: PaymentTerms, profile: Profile, days: Mapping[Arch, Days]
) -> tuple[ClaimLine, ...]:
    """The lines of a quote as plans see them, in its order: what each comes to after discounts, tax included.

    `days` of each jaw that the quote is about. Surgery, images and what is charged once a case are delivered on the day
    they are done, the rest with the teeth. The profile must be settled on a currency.
    """
    quantum = get_quantum(profile.currency)
    adjusted = apply_adjustments([one.key for one in lines], [one.amount for one in lines], terms.adjustments, quantum)
    return tuple(_make_claim_line(one, days) for one in price_lines(lines, adjusted, profile, (), quantum))


def _make_claim_line(priced: PricedLine, days: Mapping[Arch, Days]) -> ClaimLine:
    line = priced.line
    arch = Arch(line.arch) if line.arch else None
    served = _find_days(line.fee_key, arch, days)
    return ClaimLine(
        key=line.fee_key,
        label=line.label,
        kind=line.kind,
        fee=priced.net + priced.tax,
        prepared_on=served.prepared_on,
        delivered_on=served.prepared_on if arch is None or line.kind in _DONE_AT_ONCE else served.delivered_on,
        quantity=line.quantity,
        benefit_class=line.benefit_class,
        arch=arch,
    )


def _find_days(key: str, arch: Arch | None, days: Mapping[Arch, Days]) -> ServiceDays:
    """Those of the line's jaw; what is charged once a case is done where it comes first."""
    if arch is not None:
        return days[arch][key]
    found = (by_line[key] for by_line in days.values() if key in by_line)
    return min(found, key=lambda served: (served.prepared_on, served.delivered_on))


def list_help(lines: Sequence[QuoteLine], made: BenefitEstimate) -> tuple[LineHelp, ...]:
    """What plans take off each line of the quote, from the estimate of its claim lines in the same order.

    Raises ValueError where the estimate is not of as many lines.
    """
    return tuple(
        LineHelp(key=line.key, plan_pays=helped.plan_pays, write_off=helped.write_off)
        for line, helped in zip(lines, made.lines, strict=True)
    )


def sum_up_answer(made: BenefitEstimate) -> CountedAnswer | None:
    """Whose answer is counted, of which day, and whether nothing is left that is estimated; None where none is."""
    answer = made.answer
    if answer is None:
        return None
    priced = [line for line in made.lines if line.line.fee]
    every = all(any(reason.key == "answered" for reason in share.reasons) for one in priced for share in one.shares)
    name = next(plan.name for plan in made.plans if plan.key == answer.plan)
    return CountedAnswer(plan=name, answered_on=answer.answered_on, every_line=every)
