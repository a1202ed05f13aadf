"""The distribution of upkeep against a plain simulation, person by person; the simulation is an oracle only."""

import math
from decimal import Decimal

import numpy as np
import pytest
from numpy.typing import NDArray

from estimator.estimate.upkeep.distribution import choose_step, severity_of
from estimator.estimate.upkeep.plan import Lifetime, MeanLife, UpkeepEvent, UpkeepPlan
from estimator.estimate.upkeep.rates import Rate, shared_shape
from estimator.estimate.upkeep.years import Upkeep, build_total, estimate_upkeep

CENT = Decimal("0.01")


def build_event(key: str, units: int, first: float, later: float, low: int, high: int) -> UpkeepEvent:
    return UpkeepEvent(
        key=key,
        label=key,
        units=units,
        first_year=Rate(low=first / 3, value=first, high=first * 3),
        later=Rate(low=later / 3, value=later, high=later * 3),
        severity=severity_of(Decimal(low), Decimal(high)),
    )


PLAN = UpkeepPlan(
    events=(
        build_event("retention", 1, 0.8, 0.4, 120, 120),
        build_event("reline", 1, 0.1, 0.1, 310, 425),
        build_event("implant_lost", 4, 0.02, 0.02, 2500, 2500),
    ),
    lifetime=Lifetime(
        mean_years=MeanLife(low=7.0, value=11.0, high=15.0),
        shape=2.4,
        severity=severity_of(Decimal(2600), Decimal(3100)),
    ),
    recall_fee=Decimal(95),
)


def run(plan: UpkeepPlan) -> Upkeep:
    return estimate_upkeep((plan,), years=10, discount_rate=0.03, inflation=0.0, quantum=CENT)[0]


def simulate_renewals(
    rng: np.random.Generator, means: NDArray[np.float64], shape: float, years: int
) -> NDArray[np.int64]:
    lives = rng.weibull(shape, (means.size, 60)) * (means / math.gamma(1 + 1 / shape))[:, None]
    return np.asarray(np.sum(np.cumsum(lives, axis=1) <= years, axis=1))


def simulate_charges(
    rng: np.random.Generator, counts: NDArray[np.int64], event: UpkeepEvent | Lifetime
) -> NDArray[np.float64]:
    amounts = np.array([float(amount) for amount, _ in event.severity])
    weights = [weight for _, weight in event.severity]
    charges = rng.choice(amounts, p=weights, size=(counts.size, int(counts.max())))
    return np.asarray(np.sum(charges * (np.arange(charges.shape[1]) < counts[:, None]), axis=1))


def simulate(plan: UpkeepPlan, years: int, people: int) -> NDArray[np.float64]:
    """Return the upkeep of simulated people, one by one as the model tells the story; an oracle only."""
    rng = np.random.default_rng(20240229)
    total = np.full(people, float(plan.recall_fee) * years)
    for event in plan.events:
        shape = shared_shape(event.first_year, event.later)
        factor = rng.gamma(shape, 1 / shape, people)
        rate = event.units * (event.first_year.value + event.later.value * (years - 1))
        total += simulate_charges(rng, rng.poisson(rate * factor), event)
    assert plan.lifetime is not None
    life = plan.lifetime.mean_years
    means = rng.choice([life.low, life.value, life.high], p=[0.3, 0.4, 0.3], size=people)
    return total + simulate_charges(rng, simulate_renewals(rng, means, plan.lifetime.shape, years), plan.lifetime)


@pytest.fixture(scope="module")
def simulated() -> NDArray[np.float64]:
    return simulate(PLAN, 10, 40_000)


@pytest.mark.parametrize(("name", "chance"), [("p10", 0.1), ("p50", 0.5), ("p90", 0.9)])
def test_quantile_agrees_with_a_simulation_within_4_standard_errors(
    name: str, chance: float, simulated: NDArray[np.float64]
) -> None:
    quantile = float(getattr(run(PLAN), name))
    step = float(choose_step((build_total(PLAN, 10),), spread=Decimal(0), quantum=CENT))
    allowed = 4 * math.sqrt(chance * (1 - chance) / simulated.size)
    assert np.mean(simulated < quantile - step) <= chance + allowed
    assert np.mean(simulated <= quantile + step) >= chance - allowed


def test_expectation_agrees_with_a_simulation_within_4_standard_errors(simulated: NDArray[np.float64]) -> None:
    error = simulated.std() / math.sqrt(simulated.size)
    assert float(run(PLAN).expected) == pytest.approx(simulated.mean(), abs=4 * error)


def test_sd_of_the_total_agrees_with_a_simulation(simulated: NDArray[np.float64]) -> None:
    assert build_total(PLAN, 10).sd == pytest.approx(simulated.std(), rel=0.03)
