"""What the next years cost: expectation by year, spread of the total, and its worth today."""

import math
from dataclasses import dataclass, field
from decimal import Decimal
from functools import lru_cache

import numpy as np

from estimator.estimate.upkeep.discounting import find_yearly_factor, round_amount
from estimator.estimate.upkeep.distribution import (
    CompoundCost,
    CostDistribution,
    Floats,
    Total,
    choose_step,
    distribute_total,
    event_cost,
    mean_amount,
    renewal_cost,
)
from estimator.estimate.upkeep.plan import LONGEST_YEARS, Lifetime, MeanLife, UpkeepEvent, UpkeepPlan, check_years
from estimator.estimate.upkeep.rates import mean_count, shared_shape
from estimator.estimate.upkeep.renewal import (
    RenewalExpectation,
    expect_renewals_by_year,
    renewal_counts,
    renewal_counts_by_year,
    weibull_cdf,
)

RENEWAL_KEY = "denture_renewal"
RECALL_KEY = "recall"


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedEvent:
    """How often something is expected within the horizon, in all and by year, and its cost in today's money."""

    key: str
    label: str
    count: float
    cost: Decimal
    by_year: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Upkeep:
    """Upkeep over the horizon in today's money; `discounted` alone is worth at delivery.

    Each amount is rounded once by itself, so the years need not add up to `expected` to the cent. `law` is the whole
    distribution that the points are read from, on the grid that all options of the jaw share.
    """

    years: int
    expected: Decimal
    p10: Decimal
    p50: Decimal
    p90: Decimal
    first_year_expected: Decimal
    discounted: Decimal
    by_year: tuple[Decimal, ...]
    events: tuple[ExpectedEvent, ...]
    law: CostDistribution = field(compare=False, repr=False)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Stream:
    """Expected number of one kind of charge by year, its discounted number, and the expected charge."""

    key: str
    label: str
    counts: Floats
    discounted_count: float
    charge: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedCost:
    """Expected upkeep over the horizon without its spread: in today's money, and worth at delivery; not rounded."""

    by_year: tuple[float, ...]
    discounted: float

    @property
    def total(self) -> float:
        """Expected upkeep of all years in today's money."""
        return math.fsum(self.by_year)


def estimate_upkeep(
    plans: tuple[UpkeepPlan, ...],
    *,
    years: int,
    discount_rate: float,
    inflation: float,
    quantum: Decimal,
    first_costs: tuple[Decimal, ...] = (),
) -> tuple[Upkeep, ...]:
    """Return the upkeep of each plan over 1 to 30 whole years, every amount rounded half up once to `quantum`.

    All plans share one money grid, wide enough for their difference, first costs included. Rates are per year.
    """
    check_years(years)
    factor = find_yearly_factor(discount_rate, inflation)
    if not quantum > 0:
        raise ValueError(f"'quantum' must be above 0 (got {quantum})")
    totals = tuple(build_total(plan, years) for plan in plans)
    spread = max(first_costs) - min(first_costs) if first_costs else Decimal(0)
    step = choose_step(totals, spread=spread, quantum=quantum)
    return tuple(
        _summarise(_list_streams(plan, years, factor), distribute_total(total, step), quantum)
        for plan, total in zip(plans, totals, strict=True)
    )


def expect_cost(plan: UpkeepPlan, *, years: int, discount_rate: float = 0.0, inflation: float = 0.0) -> ExpectedCost:
    """Return the expected upkeep of a plan alone, at a fraction of the time that its distribution takes."""
    check_years(years)
    streams = _list_streams(plan, years, find_yearly_factor(discount_rate, inflation))
    return ExpectedCost(
        by_year=tuple(float(amount) for amount in _add_streams(streams)), discounted=_discount_streams(streams)
    )


def build_total(plan: UpkeepPlan, years: int, *, one_of_many: bool = False) -> Total:
    """Return the random costs of a plan over the horizon, with its recalls as the certain sum.

    Each mean life that the denture may have is an alternative of its own, because another option may share it.
    `one_of_many` takes the renewals from a lattice that all years share, where many years are asked for.
    """
    count = _count_renewals_of_year if one_of_many else _count_renewals
    parts: list[CompoundCost] = [
        event_cost(
            mean_count(event.units, event.first_year, event.later, years),
            shared_shape(event.first_year, event.later),
            event.severity,
        )
        for event in plan.events
    ]
    alternatives: tuple[tuple[float, CompoundCost], ...] = ()
    if plan.lifetime is not None:
        shape, severity = plan.lifetime.shape, plan.lifetime.severity
        alternatives = tuple(
            (weight, renewal_cost(count(mean, shape, years), severity))
            for mean, weight in plan.lifetime.mean_years.weighted
        )
    return Total(parts=tuple(parts), alternatives=alternatives, certain=plan.recall_fee * years)


def _list_streams(plan: UpkeepPlan, years: int, factor: float) -> tuple[_Stream, ...]:
    streams = [_expect_event(event, years, factor) for event in plan.events]
    if plan.lifetime is not None:
        streams.append(_expect_lifetime(plan.lifetime, years, factor))
    streams.append(
        _Stream(
            key=RECALL_KEY,
            label=plan.recall_label,
            counts=np.ones(years),
            discounted_count=math.fsum(factor**year for year in range(1, years + 1)),
            charge=float(plan.recall_fee),
        )
    )
    return tuple(streams)


def _expect_event(event: UpkeepEvent, years: int, factor: float) -> _Stream:
    counts = np.full(years, event.units * event.later.value)
    counts[0] = event.units * event.first_year.value
    # Events fall evenly within a year: (v^(y−1) − v^y)/(−ln v), which is 1 where v = 1.
    force = math.log(factor)
    within = math.expm1(force) / force if force else 1.0
    return _Stream(
        key=event.key,
        label=event.label,
        counts=counts,
        discounted_count=within * float(counts @ factor ** np.arange(years)),
        charge=mean_amount(event.severity),
    )


def _expect_lifetime(lifetime: Lifetime, years: int, factor: float) -> _Stream:
    expectation = _expect_renewals(lifetime.mean_years, lifetime.shape, years, factor)
    return _Stream(
        key=RENEWAL_KEY,
        label=lifetime.label,
        counts=np.diff(expectation.by_year, prepend=0.0),
        discounted_count=expectation.discounted,
        charge=mean_amount(lifetime.severity),
    )


# Options share the life of a denture, so each law of it is made once; the laws hold nothing of a patient.
@lru_cache(maxsize=128)
def _count_renewals(mean_years: float, shape: float, years: int) -> Floats:
    """Return P(N >= k) for one mean life."""
    counts = renewal_counts(weibull_cdf(mean_years, shape), years)
    counts.flags.writeable = False
    return counts


def _count_renewals_of_year(mean_years: float, shape: float, year: int) -> Floats:
    return _count_renewals_by_year(mean_years, shape)[year - 1]


@lru_cache(maxsize=128)
def _count_renewals_by_year(mean_years: float, shape: float) -> tuple[Floats, ...]:
    """Return P(N >= k) for one mean life and every year that anybody may look ahead to."""
    return renewal_counts_by_year(weibull_cdf(mean_years, shape), LONGEST_YEARS)


@lru_cache(maxsize=128)
def _expect_renewals(mean_years: MeanLife, shape: float, years: int, factor: float) -> RenewalExpectation:
    """Return expected renewals with the mean life itself uncertain."""
    found = [
        (weight, expect_renewals_by_year(weibull_cdf(mean, shape), years, factor))
        for mean, weight in mean_years.weighted
    ]
    return RenewalExpectation(
        by_year=np.sum([weight * each.by_year for weight, each in found], axis=0),
        discounted=math.fsum(weight * each.discounted for weight, each in found),
    )


def _summarise(streams: tuple[_Stream, ...], law: CostDistribution, quantum: Decimal) -> Upkeep:
    by_year = _add_streams(streams)
    p10, p50, p90 = (round_amount(law.find_quantile(chance), quantum) for chance in (0.1, 0.5, 0.9))
    return Upkeep(
        years=len(by_year),
        expected=round_amount(math.fsum(by_year), quantum),
        p10=p10,
        p50=p50,
        p90=p90,
        first_year_expected=round_amount(float(by_year[0]), quantum),
        discounted=round_amount(_discount_streams(streams), quantum),
        by_year=tuple(round_amount(float(amount), quantum) for amount in by_year),
        events=tuple(_describe(stream, quantum) for stream in streams),
        law=law,
    )


def _add_streams(streams: tuple[_Stream, ...]) -> Floats:
    """Return the expected cost by year."""
    return np.asarray(np.sum([stream.counts * stream.charge for stream in streams], axis=0))


def _discount_streams(streams: tuple[_Stream, ...]) -> float:
    return math.fsum(stream.discounted_count * stream.charge for stream in streams)


def _describe(stream: _Stream, quantum: Decimal) -> ExpectedEvent:
    count = math.fsum(stream.counts)
    cost = round_amount(count * stream.charge, quantum)
    by_year = tuple(float(each) for each in stream.counts)
    return ExpectedEvent(key=stream.key, label=stream.label, count=count, cost=cost, by_year=by_year)
