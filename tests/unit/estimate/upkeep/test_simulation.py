"""The exact law of upkeep against the seeded simulation of the same model, shipped options and extremes."""

import math
from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest

from estimator.estimate.look_ahead import plan_upkeep
from estimator.estimate.upkeep.distribution import Severity, severity_of
from estimator.estimate.upkeep.pairs import find_chance_of_more
from estimator.estimate.upkeep.plan import Lifetime, MeanLife, UpkeepEvent, UpkeepPlan, shares_life
from estimator.estimate.upkeep.rates import Rate
from estimator.estimate.upkeep.simulation import check_quantiles, simulate_upkeep
from estimator.estimate.upkeep.years import Upkeep, build_total, estimate_upkeep
from estimator.inputs.case.model import Arch
from tests.builders import find_option, load_demo_practice, make_jaw

CENT = Decimal("0.01")
PEOPLE = 100_000
SEED = 20240229
LIFE = MeanLife(low=7.0, value=11.0, high=15.0, figure="life")
JAWS = {
    "lower jaw, 4 implants": make_jaw(implants=4),
    "upper jaw, 3 implants": make_jaw(arch=Arch.MAXILLA, implants=3),
}
KEYS = ("conventional_denture", "individual_attachments", "connecting_bar")


def build_rate(value: float, spread: float = 3.0) -> Rate:
    return Rate(low=value / spread, value=value, high=value * spread)


def build_event(first: float, later: float, severity: Severity, *, units: int = 1, spread: float = 3.0) -> UpkeepEvent:
    return UpkeepEvent(
        key="event",
        label="event",
        units=units,
        first_year=build_rate(first, spread),
        later=build_rate(later, spread),
        severity=severity,
    )


def build_lifetime(low: int, high: int, *, mean_years: MeanLife = LIFE, shape: float = 2.4) -> Lifetime:
    return Lifetime(mean_years=mean_years, shape=shape, severity=severity_of(Decimal(low), Decimal(high)))


def fee(low: str, high: str | None = None) -> Severity:
    return severity_of(Decimal(low), None if high is None else Decimal(high))


PLAN = UpkeepPlan(
    events=(
        build_event(0.8, 0.4, fee("120")),
        build_event(0.1, 0.1, fee("310", "425")),
        build_event(0.02, 0.02, fee("2500"), units=4),
    ),
    lifetime=build_lifetime(2600, 3100),
    recall_fee=Decimal(95),
)
FIXED = MeanLife(low=4.0, value=4.0, high=4.0)
ALONE = replace(PLAN, events=())
EXTREMES: dict[str, tuple[UpkeepPlan, int]] = {
    "rate 0": (replace(PLAN, events=(build_event(0.0, 0.0, fee("120")),)), 10),
    "rate 20": (replace(PLAN, events=(build_event(20.0, 20.0, fee("120"), spread=1.5),)), 10),
    "rate 20 for thirty years": (replace(PLAN, events=(build_event(20.0, 20.0, fee("120"), spread=1.5),)), 30),
    "a rate without a range": (replace(PLAN, events=(build_event(0.8, 0.4, fee("120"), spread=1.0),)), 10),
    "fee 0": (replace(PLAN, events=(build_event(0.8, 0.4, fee("0")),), recall_fee=Decimal(0)), 10),
    "one year": (PLAN, 1),
    "thirty years": (PLAN, 30),
    "a fixed life that ends on the last day": (replace(PLAN, lifetime=build_lifetime(1000, 1000, mean_years=FIXED, shape=math.inf)), 8),
    "three fixed lives": (replace(ALONE, lifetime=build_lifetime(1000, 1000, shape=math.inf)), 30),
    "equal fees": (
        replace(PLAN, events=(build_event(0.8, 0.4, fee("120")), build_event(0.3, 0.3, fee("120"))), lifetime=build_lifetime(120, 120)),
        10,
    ),
    "fees that are no multiple of the grid": (
        replace(PLAN, events=(build_event(0.8, 0.4, fee("123.47")), build_event(0.2, 0.2, fee("311.13", "427.91")))),
        10,
    ),
    "no denture to renew": (replace(PLAN, lifetime=None), 10),
}  # fmt: skip


def estimate(*plans: UpkeepPlan, years: int = 10) -> tuple[Upkeep, ...]:
    return estimate_upkeep(plans, years=years, discount_rate=0.03, inflation=0.0, quantum=CENT)


def find_shipped_plan(jaw: str, key: str) -> UpkeepPlan:
    return plan_upkeep(JAWS[jaw], find_option(key), load_demo_practice().fees)


def check(plan: UpkeepPlan, years: int) -> None:
    (totals,) = simulate_upkeep((plan,), years=years, people=PEOPLE, generator=np.random.default_rng(SEED))
    (found,) = estimate(plan, years=years)
    assert [point for point in check_quantiles(found.law, totals) if point.errors > 4] == []
    error = float(totals.std()) / math.sqrt(PEOPLE)
    assert float(found.expected) == pytest.approx(totals.mean(), abs=4 * error + 0.01)


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("jaw", JAWS)
def test_shipped_option_agrees_with_a_simulation_within_4_standard_errors(jaw: str, key: str) -> None:
    check(find_shipped_plan(jaw, key), 10)


@pytest.mark.parametrize("name", EXTREMES)
def test_extreme_agrees_with_a_simulation_within_4_standard_errors(name: str) -> None:
    check(*EXTREMES[name])


def test_sd_of_the_total_agrees_with_a_simulation() -> None:
    (totals,) = simulate_upkeep((PLAN,), years=10, people=PEOPLE, generator=np.random.default_rng(SEED))
    assert build_total(PLAN, 10).sd == pytest.approx(totals.std(), rel=0.03)


def compare(first: UpkeepPlan, second: UpkeepPlan, ahead: Decimal, years: int) -> tuple[float, float]:
    """The exact chance that the first costs more, and how often it did in a simulation."""
    a, b = estimate(first, second, years=years)
    exact = find_chance_of_more(a.law, b.law, ahead=ahead, shared=shares_life(first, second))
    costs, others = simulate_upkeep((first, second), years=years, people=PEOPLE, generator=np.random.default_rng(SEED))
    apart = np.round(costs + float(ahead) - others, 6)
    return exact, float(np.mean(apart > 0) + np.mean(apart == 0) / 2)


@pytest.mark.parametrize("years", [1, 10, 30])
@pytest.mark.parametrize(("first", "second"), [(0, 1), (0, 2), (1, 2)])
def test_chance_of_costing_more_agrees_with_a_simulation(first: int, second: int, years: int) -> None:
    plans = [find_shipped_plan("lower jaw, 4 implants", key) for key in KEYS]
    ahead = Decimal(-1800) if first == 0 else Decimal(-250)
    exact, simulated = compare(plans[first], plans[second], ahead, years)
    assert exact == pytest.approx(simulated, abs=4 * math.sqrt(exact * (1 - exact) / PEOPLE) + 1e-3)


def test_a_shared_row_of_mean_life_is_told_from_two_equal_ones() -> None:
    """The same life moves both together, and the dear remake loses more often than where each has its own."""
    dear = replace(ALONE, lifetime=build_lifetime(1200, 1200))
    cheap = replace(ALONE, lifetime=build_lifetime(1000, 1000))
    own = replace(cheap, lifetime=build_lifetime(1000, 1000, mean_years=replace(LIFE, figure="another")))
    together, apart = (compare(dear, other, Decimal(0), 30) for other in (cheap, own))
    assert together[0] - apart[0] > 0.02
    for exact, simulated in (together, apart):
        assert exact == pytest.approx(simulated, abs=4 * math.sqrt(exact * (1 - exact) / PEOPLE))


@pytest.mark.parametrize(
    "wrong",
    [
        replace(PLAN, lifetime=build_lifetime(2600, 3100, shape=1.0)),
        replace(PLAN, events=(build_event(1.6, 0.4, fee("120")), *PLAN.events[1:])),
        replace(PLAN, events=tuple(replace(event, units=1) for event in PLAN.events)),
        replace(PLAN, recall_fee=Decimal(99)),
    ],
    ids=["memoryless lives", "first year", "units", "recalls"],
)
def test_a_wrong_law_is_found_out(wrong: UpkeepPlan) -> None:
    (totals,) = simulate_upkeep((wrong,), years=10, people=PEOPLE, generator=np.random.default_rng(SEED))
    assert max(point.errors for point in check_quantiles(estimate(PLAN)[0].law, totals)) > 4


def test_the_same_seed_draws_the_same_people() -> None:
    one, two = (simulate_upkeep((PLAN,), years=10, people=500, generator=np.random.default_rng(7))[0] for _ in range(2))
    assert np.array_equal(one, two)


def test_people_come_in_batches_but_as_many_as_asked_for() -> None:
    (totals,) = simulate_upkeep((ALONE,), years=3, people=50_001, generator=np.random.default_rng(SEED))
    assert totals.size == 50_001


@pytest.mark.parametrize(("years", "people"), [(0, 10), (31, 10), (10, 0)])
def test_impossible_simulation_is_refused(years: int, people: int) -> None:
    with pytest.raises(ValueError, match="must be"):
        simulate_upkeep((PLAN,), years=years, people=people, generator=np.random.default_rng(SEED))
