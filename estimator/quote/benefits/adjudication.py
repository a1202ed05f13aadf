"""A line on its way through the rules of one plan, and what the plan has used up so far."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal

from estimator.inputs.plans.model import BenefitPlan, Limit
from estimator.quote.benefits.claim import ClaimLine, Reason
from estimator.quote.benefits.service_dates import find_benefit_year

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """What is known of a line after each rule.

    `basis` is what the benefit is computed on, `normal` what the plan would pay alone, `paid` what it pays.
    `percent` is the plan's, 100 where it pays a fixed amount or from an allowance. `year` is the benefit year.
    """

    line: ClaimLine
    benefit_class: str
    counted_on: date
    year: int
    allowed: Decimal
    basis: Decimal
    deductible: Decimal = ZERO
    percent: Decimal = ZERO
    normal: Decimal = ZERO
    paid: Decimal = ZERO
    from_allowance: bool = False
    reasons: tuple[Reason, ...] = ()

    def add(self, *reasons: Reason, **changes: object) -> "Draft":
        """The draft with further reasons and changed amounts."""
        return replace(self, reasons=self.reasons + reasons, **changes)  # type: ignore[arg-type]

    @property
    def excluded(self) -> bool:
        """Whether nothing is left to compute a benefit on."""
        return self.basis <= 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """What another plan paid of a line before this one, and the most that both may base payment on."""

    paid: Decimal
    allowable: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledger:
    """What a plan has used up: by benefit year, ever, and the services it has paid for."""

    deductible: Mapping[int, Decimal] = field(default_factory=dict)
    annual: Mapping[int, Decimal] = field(default_factory=dict)
    allowance: Mapping[int, Decimal] = field(default_factory=dict)
    lifetime: Decimal = ZERO
    services: tuple[tuple[str, str, date, int], ...] = ()

    def record(self, draft: Draft, plan: BenefitPlan) -> "Ledger":
        """The ledger after a line: what it took from the deductible, the maxima and the allowance."""
        service = (draft.line.key, draft.benefit_class, draft.counted_on, draft.line.quantity)
        return Ledger(
            deductible=_add(self.deductible, draft.year, draft.deductible),
            annual=_add(self.annual, draft.year, _count(plan.annual_maximum, draft)),
            allowance=_add(self.allowance, draft.year, draft.paid if draft.from_allowance else ZERO),
            lifetime=self.lifetime + _count(plan.lifetime_maximum, draft),
            services=self.services if draft.excluded else (*self.services, service),
        )


def open_ledger(plan: BenefitPlan, *, first_year: int) -> Ledger:
    """What the plan had used up before the first line.

    Used amounts count in the benefit year they were told for, or in the lines' first where that day is not known.
    """
    told = plan.member.as_of
    year = find_benefit_year(told, plan.year_begins_month) if told else first_year
    return Ledger(
        deductible=_start(plan.deductible, year),
        annual=_start(plan.annual_maximum, year),
        allowance=_start(plan.yearly_allowance, year),
        lifetime=plan.lifetime_maximum.used if plan.lifetime_maximum else ZERO,
        services=tuple((s.line, s.benefit_class, s.on, 1) for s in plan.member.past),
    )


def _start(limit: Limit | None, year: int) -> Mapping[int, Decimal]:
    return {year: limit.used} if limit else {}


def _add(used: Mapping[int, Decimal], year: int, amount: Decimal) -> Mapping[int, Decimal]:
    return {**used, year: used.get(year, ZERO) + amount} if amount else used


def _count(limit: Limit | None, draft: Draft) -> Decimal:
    """What a line takes from a maximum that is about it."""
    return draft.paid if limit and limit.scope.holds(draft.line.key, draft.benefit_class) else ZERO


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanStanding:
    """What a rule may look at besides the line: the plan, what it has used up, and this line's part of a group."""

    plan: BenefitPlan
    ledger: Ledger
    quantum: Decimal
    alternate: tuple[str, Decimal] | None = None
    subsidy: tuple[str, Decimal] | None = None
    before: Before | None = None


Rule = Callable[[Draft, PlanStanding], Draft]
