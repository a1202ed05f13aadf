"""What the next years cost: expectation by year, spread of the total, and its worth today."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

import numpy as np

from estimator.estimate.upkeep.distribution import (
    POINT_WEIGHTS,
    CompoundCost,
    CostDistribution,
    Floats,
    Severity,
    Total,
    check_severity,
    choose_step,
    distribute_total,
    event_cost,
    mean_amount,
    renewal_cost,
)
from estimator.estimate.upkeep.rates import Rate, check_points, mean_count, shared_shape
from estimator.estimate.upkeep.renewal import (
    expect_renewals_by_year,
    renewal_counts,
    weibull_cdf,
)

LONGEST_YEARS = 30
SHORTEST_LIFE_YEARS = 1.0
LIFE_SHAPES = (0.5, 50.0)
"""Lives sharper than this, but not fixed, would fall between the nodes of the renewal lattice."""
RENEWAL_KEY = "denture_renewal"
RECALL_KEY = "recall"
CENT = Decimal("0.01")


@dataclass(frozen=True, slots=True, kw_only=True)
class UpkeepEvent:
    """Something that happens now and then: how many units it can happen to, how often, and what it costs."""

    key: str
    label: str
    units: int
    first_year: Rate
    later: Rate
    severity: Severity

    def __post_init__(self) -> None:
        if self.units < 0:
            raise ValueError(f"'units' must be 0 or more (got {self.units})")
        check_severity(self.severity)


@dataclass(frozen=True, slots=True, kw_only=True)
class MeanLife:
    """How long a denture lasts on average: low, central and high assumption [years], 1 or more."""

    low: float
    value: float
    high: float

    def __post_init__(self) -> None:
        check_points(self.low, self.value, self.high)
        if self.low < SHORTEST_LIFE_YEARS:
            raise ValueError(f"'low' must be {SHORTEST_LIFE_YEARS:g} year or more (got {self.low:g})")


@dataclass(frozen=True, slots=True, kw_only=True)
class Lifetime:
    """How long a denture lasts and what a new one costs; Weibull shape from 0.5 to 50, infinite where fixed."""

    mean_years: MeanLife
    shape: float
    severity: Severity
    label: str = "Denture remade"

    def __post_init__(self) -> None:
        low, high = LIFE_SHAPES
        if not (low <= self.shape <= high or self.shape == math.inf):
            raise ValueError(f"'shape' must be from {low:g} to {high:g}, or infinite (got {self.shape:g})")
        check_severity(self.severity)


@dataclass(frozen=True, slots=True, kw_only=True)
class UpkeepPlan:
    """All that one treatment option needs after it is delivered."""

    events: tuple[UpkeepEvent, ...]
    lifetime: Lifetime | None
    recall_fee: Decimal
    recall_label: str = "Recall"


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedEvent:
    """How often something is expected within the horizon, and what that costs in today's money."""

    key: str
    label: str
    count: float
    cost: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Upkeep:
    """Upkeep over the horizon in today's money; `discounted` alone is worth at delivery.

    Each amount is rounded once by itself, so the years need not add up to `expected` to the cent.
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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Stream:
    """Expected number of one kind of charge by year, its discounted number, and the expected charge."""

    key: str
    label: str
    counts: Floats
    discounted_count: float
    charge: float


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
    if not 1 <= years <= LONGEST_YEARS:
        raise ValueError(f"'years' must be from 1 to {LONGEST_YEARS} (got {years})")
    _check_rate("discount_rate", discount_rate)
    _check_rate("inflation", inflation)
    if not quantum > 0:
        raise ValueError(f"'quantum' must be above 0 (got {quantum})")
    totals = tuple(build_total(plan, years) for plan in plans)
    factor = (1 + inflation) / (1 + discount_rate)
    spread = max(first_costs) - min(first_costs) if first_costs else Decimal(0)
    step = choose_step(totals, spread=spread, quantum=quantum)
    return tuple(
        _summarise(_list_streams(plan, years, factor), distribute_total(total, step), quantum)
        for plan, total in zip(plans, totals, strict=True)
    )


def build_total(plan: UpkeepPlan, years: int) -> Total:
    """Return the random costs of a plan over the horizon, with its recalls as the certain sum."""
    parts: list[CompoundCost] = [
        event_cost(
            mean_count(event.units, event.first_year, event.later, years),
            shared_shape(event.first_year, event.later),
            event.severity,
        )
        for event in plan.events
    ]
    if plan.lifetime is not None:
        parts.append(renewal_cost(_mix_renewal_counts(plan.lifetime, years), plan.lifetime.severity))
    return Total(parts=tuple(parts), certain=plan.recall_fee * years)


def present_value(amounts_by_year_end: Sequence[Decimal], rate: float, *, quantum: Decimal = CENT) -> Decimal:
    """Return what amounts at the ends of years 1, 2, … are worth today at a yearly rate."""
    _check_rate("rate", rate)
    worths = (float(amount) * (1 + rate) ** -year for year, amount in enumerate(amounts_by_year_end, start=1))
    return _round(math.fsum(worths), quantum)


def annuity_factor(rate: float, years: int) -> float:
    """Return the present value of 1 at the end of each year; the number of years where the rate is 0."""
    _check_rate("rate", rate)
    if years < 1:
        raise ValueError(f"'years' must be 1 or more (got {years})")
    return years if rate == 0 else -math.expm1(-years * math.log1p(rate)) / rate


def equivalent_annual_cost(
    first_cost: Decimal, discounted: Decimal, rate: float, years: int, *, quantum: Decimal = CENT
) -> Decimal:
    """Return the level yearly amount that is worth as much as the first cost and the discounted upkeep together."""
    return _round(float(first_cost + discounted) / annuity_factor(rate, years), quantum)


def _list_streams(plan: UpkeepPlan, years: int, factor: float) -> tuple[_Stream, ...]:
    streams = [_expect_event(event, years, factor) for event in plan.events]
    if plan.lifetime is not None:
        streams.append(_expect_renewals(plan.lifetime, years, factor))
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


def _expect_renewals(lifetime: Lifetime, years: int, factor: float) -> _Stream:
    cumulated = np.zeros(years)
    discounted = 0.0
    for mean, weight in _weigh_means(lifetime.mean_years):
        expectation = expect_renewals_by_year(weibull_cdf(mean, lifetime.shape), years, factor)
        cumulated += weight * expectation.by_year
        discounted += weight * expectation.discounted
    return _Stream(
        key=RENEWAL_KEY,
        label=lifetime.label,
        counts=np.diff(cumulated, prepend=0.0),
        discounted_count=discounted,
        charge=mean_amount(lifetime.severity),
    )


def _mix_renewal_counts(lifetime: Lifetime, years: int) -> Floats:
    """Return P(N >= k) with the mean life itself uncertain."""
    laws = [
        weight * renewal_counts(weibull_cdf(mean, lifetime.shape), years)
        for mean, weight in _weigh_means(lifetime.mean_years)
    ]
    mixed = np.zeros(max(law.size for law in laws))
    for law in laws:
        mixed[: law.size] += law
    return mixed


def _weigh_means(mean_years: MeanLife) -> tuple[tuple[float, float], ...]:
    if mean_years.low == mean_years.high:
        return ((mean_years.value, 1.0),)
    return tuple(zip((mean_years.low, mean_years.value, mean_years.high), POINT_WEIGHTS, strict=True))


def _summarise(streams: tuple[_Stream, ...], distribution: CostDistribution, quantum: Decimal) -> Upkeep:
    by_year = np.sum([stream.counts * stream.charge for stream in streams], axis=0)
    p10, p50, p90 = (_round(distribution.find_quantile(chance), quantum) for chance in (0.1, 0.5, 0.9))
    return Upkeep(
        years=len(by_year),
        expected=_round(math.fsum(by_year), quantum),
        p10=p10,
        p50=p50,
        p90=p90,
        first_year_expected=_round(float(by_year[0]), quantum),
        discounted=_round(math.fsum(stream.discounted_count * stream.charge for stream in streams), quantum),
        by_year=tuple(_round(float(amount), quantum) for amount in by_year),
        events=tuple(_describe(stream, quantum) for stream in streams),
    )


def _describe(stream: _Stream, quantum: Decimal) -> ExpectedEvent:
    count = math.fsum(stream.counts)
    return ExpectedEvent(key=stream.key, label=stream.label, count=count, cost=_round(count * stream.charge, quantum))


def _round(amount: float | Decimal, quantum: Decimal) -> Decimal:
    """Return an amount rounded half up to a multiple of `quantum`."""
    # Twelve digits of a float are the amount; the rest is noise of binary sums, which must not decide a half cent.
    exact = amount if isinstance(amount, Decimal) else Decimal(f"{amount:.12g}")
    return (exact / quantum).to_integral_value(ROUND_HALF_UP) * quantum


def _check_rate(name: str, rate: float) -> None:
    if not (math.isfinite(rate) and rate > -1):
        raise ValueError(f"'{name}' must be above -1 (got {rate:g})")
