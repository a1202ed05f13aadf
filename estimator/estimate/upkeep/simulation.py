"""The upkeep model told person by person with drawn numbers: a check of the exact law that shares nothing with it."""

import math
from dataclasses import dataclass
from decimal import Decimal
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from estimator.estimate.upkeep.distribution import CostDistribution, Severity
from estimator.estimate.upkeep.plan import Lifetime, MeanLife, UpkeepEvent, UpkeepPlan, check_years
from estimator.estimate.upkeep.rates import Rate

Floats = NDArray[np.float64]
Counts = NDArray[np.int64]
BATCH = 50_000
"""People drawn at a time, which keeps the arrays small."""
LAST_DAY = 1e-9
"""A life that ends this much after the horizon [years] still ends on its last day; sums of lives are not exact."""


@dataclass(frozen=True, slots=True, kw_only=True)
class QuantileCheck:
    """A point of the exact law beside the same point of a simulation; `errors` is how far apart in standard errors.

    0 errors where they agree within one step of the grid.
    """

    chance: float
    exact: Decimal
    simulated: float
    errors: float


def simulate_upkeep(
    plans: tuple[UpkeepPlan, ...], *, years: int, people: int, generator: np.random.Generator
) -> tuple[Floats, ...]:
    """Return the upkeep of each plan for each of `people`, in today's money.

    The same person is drawn once for each plan: where two plans name the same row of mean life, it is the same mean.
    """
    check_years(years)
    if people < 1:
        raise ValueError(f"'people' must be 1 or more (got {people})")
    sizes = [min(BATCH, people - start) for start in range(0, people, BATCH)]
    batches = [_simulate_batch(plans, years, size, generator) for size in sizes]
    return tuple(np.concatenate(each) for each in zip(*batches, strict=True))


def check_quantiles(law: CostDistribution, totals: Floats) -> tuple[QuantileCheck, ...]:
    """Return the 10, 50 and 90 % points of a law beside those of simulated totals."""
    return tuple(_check_quantile(law, totals, chance) for chance in (0.1, 0.5, 0.9))


def _check_quantile(law: CostDistribution, totals: Floats, chance: float) -> QuantileCheck:
    exact = law.find_quantile(chance)
    error = math.sqrt(chance * (1 - chance) / totals.size)
    # A grid tells amounts apart by its step only; float sums of drawn charges need a hair more.
    reach = float(law.step) * (1 + 1e-9)
    too_low = float(np.mean(totals < float(exact) - reach)) - chance
    too_high = chance - float(np.mean(totals <= float(exact) + reach))
    errors = max(too_low, too_high, 0.0) / error
    return QuantileCheck(chance=chance, exact=exact, simulated=float(np.quantile(totals, chance)), errors=errors)


def _simulate_batch(
    plans: tuple[UpkeepPlan, ...], years: int, people: int, generator: np.random.Generator
) -> tuple[Floats, ...]:
    means: dict[MeanLife, Floats] = {}
    found = []
    for plan in plans:
        total = np.full(people, float(plan.recall_fee) * years)
        for event in plan.events:
            total += _draw_charges(_draw_events(event, years, people, generator), event.severity, generator)
        if plan.lifetime is not None:
            life = plan.lifetime.mean_years
            drawn = means[life] if life.figure and life in means else _draw_means(life, people, generator)
            means[life] = drawn
            renewals = _draw_renewals(plan.lifetime, drawn, years, generator)
            total += _draw_charges(renewals, plan.lifetime.severity, generator)
        found.append(total)
    return tuple(found)


def _draw_events(event: UpkeepEvent, years: int, people: int, generator: np.random.Generator) -> Counts:
    """Draw a multiplier a person, then the events of the first year and of the years after it."""
    multiplier = _draw_multipliers(event.first_year, event.later, people, generator)
    first = generator.poisson(event.units * event.first_year.value * multiplier)
    later = generator.poisson(event.units * event.later.value * (years - 1) * multiplier)
    return np.asarray(first + later)


def _draw_multipliers(first_year: Rate, later: Rate, people: int, generator: np.random.Generator) -> Floats:
    """Draw gamma multipliers of mean 1, as wide as the wider of two ranges: 1/a + 1/(2 a²) is the log variance."""
    tenth_to_ninetieth = 2 * NormalDist().inv_cdf(0.9)
    logs = [math.log(rate.high / rate.low) if rate.high > rate.low else 0.0 for rate in (first_year, later)]
    variance = (max(logs) / tenth_to_ninetieth) ** 2
    spread = math.sqrt(1 + 2 * variance) - 1
    return generator.gamma(1 / spread, spread, people) if spread > 0 else np.ones(people)


def _draw_means(life: MeanLife, people: int, generator: np.random.Generator) -> Floats:
    points = np.array([life.low, life.value, life.high])
    return points[generator.choice(3, size=people, p=[0.3, 0.4, 0.3])]


def _draw_renewals(lifetime: Lifetime, means: Floats, years: int, generator: np.random.Generator) -> Counts:
    """Draw one life after the other until each person's horizon is passed, and count those that ended within it."""
    fixed = math.isinf(lifetime.shape)
    scales = means if fixed else means / math.gamma(1 + 1 / lifetime.shape)
    ages, counts = np.zeros(means.size), np.zeros(means.size, dtype=np.int64)
    going = np.arange(means.size)
    while going.size:
        lives = np.ones(going.size) if fixed else generator.weibull(lifetime.shape, going.size)
        ages[going] += scales[going] * lives
        going = going[ages[going] <= years + LAST_DAY]
        counts[going] += 1
    return counts


def _draw_charges(counts: Counts, severity: Severity, generator: np.random.Generator) -> Floats:
    """Draw what so many events cost: each falls on one of the amounts, by its weight."""
    total, left, weight_left = np.zeros(counts.size), counts, 1.0
    for amount, weight in severity[:-1]:
        here = generator.binomial(left, min(weight / weight_left, 1.0))
        total += float(amount) * here
        left, weight_left = left - here, weight_left - weight
    return np.asarray(total + float(severity[-1][0]) * left)
