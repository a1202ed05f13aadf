"""estimate_benefits(): what each plan would pay of each line, what is written off, and what the patient pays.

An estimate, not a guarantee of payment. Lines use up deductible and maxima in the order of the days the plan counts
them on, those of one day in the order they stand. What a plan answered comes before all that is estimated.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.base.money import add_up, get_quantum
from estimator.inputs.plans.model import BenefitPlan
from estimator.inputs.plans.predetermination import PlanAnswer
from estimator.quote.benefits.adjudication import ZERO, Before, Draft, Ledger, PlanStanding, open_ledger
from estimator.quote.benefits.bundles import find_allowed, share_alternates, share_subsidies
from estimator.quote.benefits.claim import ClaimLine, Reason, find_class_key, find_counted_day, give_reason
from estimator.quote.benefits.coordination import find_allowable, split_fee
from estimator.quote.benefits.predetermination import find_answered, take_answer
from estimator.quote.benefits.rules import apply_rules
from estimator.quote.benefits.service_dates import find_benefit_year

MOST_PLANS = 2
YearRule = Callable[[Sequence[int]], int]
"""Picks the one benefit year that all lines are counted in, from the years they fall in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BenefitLine:
    """A line with what each plan pays of it, first plan first. Plans, write-off and patient add up to the fee.

    `reasons` say how the rest came out; each share has the reasons of its own plan.
    """

    line: ClaimLine
    shares: tuple[Draft, ...]
    plan_pays: Decimal
    write_off: Decimal
    patient_pays: Decimal
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class YearUse:
    """What the lines take from a plan in one benefit year."""

    year: int
    deductible: Decimal
    paid: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class BenefitEstimate:
    """All lines in the order they were given, and their sums; each total is the sum of its printed lines.

    `answer` is what a plan answered, where that is counted in place of the estimate of the lines it is about.
    """

    plans: tuple[BenefitPlan, ...]
    lines: tuple[BenefitLine, ...]
    fee: Decimal
    write_off: Decimal
    plan_pays: tuple[Decimal, ...]
    patient_pays: Decimal
    years: tuple[tuple[YearUse, ...], ...]
    answer: PlanAnswer | None = None


def estimate_benefits(
    lines: Sequence[ClaimLine],
    plans: Sequence[BenefitPlan],
    *,
    currency: str,
    one_year: YearRule | None = None,
    answer: PlanAnswer | None = None,
) -> BenefitEstimate:
    """What one or two plans would pay, the first plan first. `one_year` counts all lines in one benefit year.

    `answer` is counted in place of the estimate. Raises ValueError for more than two plans, a plan in another currency,
    a fee below 0, and an answer of another plan; InputError for an answer that does not go with the lines.
    """
    _check(lines, plans, currency)
    _check_answer(plans, answer, currency)
    quantum = get_quantum(currency)
    by_plan: list[tuple[Draft, ...]] = []
    for plan in plans:
        before = _list_before(lines, plans, by_plan[0], quantum) if by_plan else None
        answered = find_answered(lines, plan, before, answer, "answer")
        drafts = _begin_drafts(lines, plan, one_year)
        by_plan.append(_run_plan(drafts, plan, before, quantum, answered, answer))
    settled = tuple(
        _settle_line(line, plans, [drafts[i] for drafts in by_plan], quantum) for i, line in enumerate(lines)
    )
    return BenefitEstimate(
        plans=tuple(plans),
        lines=settled,
        fee=add_up((line.fee for line in lines), quantum),
        write_off=add_up((line.write_off for line in settled), quantum),
        plan_pays=tuple(add_up((draft.paid for draft in drafts), quantum) for drafts in by_plan),
        patient_pays=add_up((line.patient_pays for line in settled), quantum),
        years=tuple(_add_years(drafts, quantum) for drafts in by_plan),
        answer=answer,
    )


def _check(lines: Sequence[ClaimLine], plans: Sequence[BenefitPlan], currency: str) -> None:
    if len(plans) > MOST_PLANS:
        raise ValueError(f"'plans' must be at most {MOST_PLANS} (got {len(plans)})")
    for plan in plans:
        if plan.currency != currency:
            raise ValueError(f"'plans' must be in {currency} (got {plan.currency} in plan '{plan.key}')")
    for line in lines:
        if line.fee < 0:
            raise ValueError(f"'fee' must be 0 or more (got {line.fee} in line '{line.key}')")


def _check_answer(plans: Sequence[BenefitPlan], answer: PlanAnswer | None, currency: str) -> None:
    if answer is not None and (answer.plan not in [plan.key for plan in plans] or answer.currency != currency):
        raise ValueError(f"'answer' must be of one of the plans in {currency} (got {answer.plan}, {answer.currency})")


def _list_before(
    lines: Sequence[ClaimLine], plans: Sequence[BenefitPlan], paid: Sequence[Draft], quantum: Decimal
) -> tuple[Before, ...]:
    """What the first plan paid of each line, and the most that both may base payment on."""
    first, second = plans
    return tuple(
        Before(
            paid=draft.paid,
            allowable=find_allowable((first, draft.allowed), (second, find_allowed(line, second, quantum))),
        )
        for line, draft in zip(lines, paid, strict=True)
    )


def _run_plan(
    drafts: list[Draft],
    plan: BenefitPlan,
    before: Sequence[Before] | None,
    quantum: Decimal,
    answered: Mapping[int, Decimal],
    answer: PlanAnswer | None,
) -> tuple[Draft, ...]:
    """One plan through all lines by day, what it answered first; the ledger passes from line to line."""
    lines = [draft.line for draft in drafts]
    alternates, subsidies = share_alternates(lines, plan, quantum), share_subsidies(lines, plan, quantum)
    order = sorted(range(len(lines)), key=lambda i: (i not in answered, drafts[i].counted_on))
    ledger: Ledger = open_ledger(plan, first_year=min((draft.year for draft in drafts), default=0))
    for i in order:
        standing = PlanStanding(
            plan=plan,
            ledger=ledger,
            quantum=quantum,
            alternate=alternates[i],
            subsidy=subsidies[i],
            before=before[i] if before else None,
        )
        drafts[i] = apply_rules(drafts[i], standing)
        if answer is not None and i in answered:
            drafts[i] = take_answer(drafts[i], answered[i].quantize(quantum), answer.answered_on)
        ledger = ledger.record(drafts[i], plan)
    return tuple(drafts)


def _begin_drafts(lines: Sequence[ClaimLine], plan: BenefitPlan, one_year: YearRule | None) -> list[Draft]:
    days = [find_counted_day(line, plan) for line in lines]
    years = [find_benefit_year(day, plan.year_begins_month) for day in days]
    if one_year and years:
        years = [one_year(years)] * len(years)
    return [
        Draft(
            line=line,
            benefit_class=find_class_key(line, plan),
            counted_on=day,
            year=year,
            allowed=line.fee,
            basis=line.fee,
        )
        for line, day, year in zip(lines, days, years, strict=True)
    ]


def _settle_line(
    line: ClaimLine, plans: Sequence[BenefitPlan], shares: Sequence[Draft], quantum: Decimal
) -> BenefitLine:
    known = [(plan, share.allowed, share.paid) for plan, share in zip(plans, shares, strict=True)]
    settled = split_fee(line.fee, known, quantum)
    reasons: tuple[Reason, ...] = ()
    if settled.write_off:
        reasons += (give_reason("written_off", amount=settled.write_off),)
    over = line.fee - max((share.allowed for share in shares), default=line.fee)
    if over > 0 and settled.patient and not any(plan.in_network for plan in plans):
        reasons += (give_reason("over_allowed", amount=min(over, settled.patient)),)
    return BenefitLine(
        line=line,
        shares=tuple(shares),
        plan_pays=settled.paid,
        write_off=settled.write_off,
        patient_pays=settled.patient,
        reasons=reasons,
    )


def _add_years(drafts: Sequence[Draft], quantum: Decimal) -> tuple[YearUse, ...]:
    """By benefit year, what the plan pays and what the patient pays of its deductible."""
    return tuple(
        YearUse(
            year=year,
            deductible=add_up((d.deductible for d in drafts if d.year == year), quantum),
            paid=add_up((d.paid for d in drafts if d.year == year), quantum),
        )
        for year in sorted({d.year for d in drafts})
    )


def find_total(estimate: BenefitEstimate) -> Decimal:
    """What all plans pay together."""
    return sum(estimate.plan_pays, ZERO)
