"""The exact law of upkeep with empty caches, against a seeded simulation of a million people and against FFTs."""

import tracemalloc
from collections.abc import Callable
from decimal import Decimal
from itertools import combinations
from typing import Any

import numpy as np

from estimator import files
from estimator.estimate import bands
from estimator.estimate.look_ahead import plan_upkeep
from estimator.estimate.result import estimate_case
from estimator.estimate.upkeep import distribution, years
from estimator.estimate.upkeep.distribution import severity_of
from estimator.estimate.upkeep.pairs import find_chance_of_more
from estimator.estimate.upkeep.plan import UpkeepEvent, UpkeepPlan, shares_life
from estimator.estimate.upkeep.rates import Rate
from estimator.estimate.upkeep.simulation import simulate_upkeep
from estimator.estimate.upkeep.years import estimate_upkeep
from tests.bench.reference import do_transforms, race
from tests.builders import TODAY

CASE, PRACTICE = files.load_demo(today=TODAY)
PLANS = tuple(plan_upkeep(CASE.jaws[0], option, PRACTICE.fees) for option in PRACTICE.options)
FIRST_COSTS = (Decimal(2250), Decimal(4980), Decimal(8590))
PEOPLE = 1_000_000
SEED = 20240229
CACHES = (
    years._count_renewals,
    years._count_renewals_by_year,
    years._expect_renewals,
    distribution._transform_charge,
    bands._find_range,
)


def forget() -> None:
    for cache in CACHES:
        cache.cache_clear()


def find_chances(plans: tuple[UpkeepPlan, ...], horizon: int) -> list[float]:
    """Expectation, distribution and every pair, from nothing."""
    forget()
    first_costs = FIRST_COSTS[: len(plans)]
    ahead = estimate_upkeep(
        plans, years=horizon, discount_rate=0.03, inflation=0.0, quantum=Decimal("0.01"), first_costs=first_costs
    )
    return [
        find_chance_of_more(
            ahead[a].law,
            ahead[b].law,
            ahead=first_costs[a] - first_costs[b],
            shared=shares_life(plans[a], plans[b]),
        )
        for a, b in combinations(range(len(plans)), 2)
    ]


def simulate_chances(plans: tuple[UpkeepPlan, ...], horizon: int, people: int = PEOPLE) -> list[float]:
    """The same by simulation: points of each option, and how often each costs more than each later one."""
    totals = simulate_upkeep(plans, years=horizon, people=people, generator=np.random.default_rng(SEED))
    for total in totals:
        np.quantile(total, (0.1, 0.5, 0.9))
    paid = [total + float(first) for total, first in zip(totals, FIRST_COSTS, strict=False)]
    return [float(np.mean(a > b)) for a, b in combinations(paid, 2)]


def build_plan(events: int) -> UpkeepPlan:
    """The bar's plan with so many events, each with its own rate and fee."""
    made = tuple(
        UpkeepEvent(
            key=f"event_{i}",
            label="",
            units=1,
            first_year=Rate(low=0.02 * i, value=0.05 * i, high=0.2 * i),
            later=Rate(low=0.01 * i, value=0.03 * i, high=0.1 * i),
            severity=severity_of(Decimal(90 + 37 * i), Decimal(120 + 41 * i)),
        )
        for i in range(1, events + 1)
    )
    return UpkeepPlan(events=made, lifetime=PLANS[2].lifetime, recall_fee=Decimal(150))


def say(what: str, ours: float, reference: float) -> None:
    print(f"\n{what} {1000 * ours:.1f} ms, reference {1000 * reference:.0f} ms, {reference / ours:.1f} times as long")


def measure(benchmark: Any, what: str, work: Callable[[], object], most: float) -> None:
    """Hold work to so many times the reference transforms, which take 40 ms on a quiet machine with two cores."""
    benchmark(work)
    ours, reference = race(work, do_transforms, rounds=9)
    say(what, ours, reference)
    assert ours <= most * reference


def test_law_and_simulation_of_the_race_agree() -> None:
    for exact, simulated in zip(find_chances(PLANS, 10), simulate_chances(PLANS, 10, 100_000), strict=True):
        assert abs(exact - simulated) < 0.006


def test_three_options_are_a_hundred_times_faster_than_a_simulation() -> None:
    """About 15 ms where a million people with each of three options take 4 s."""
    ours, reference = race(lambda: find_chances(PLANS, 10), lambda: simulate_chances(PLANS, 10), rounds=3)
    say("three options, 10 years", ours, reference)
    assert 100 * ours <= reference


def test_thirty_years_of_twelve_events_are_a_hundred_times_faster_than_a_simulation() -> None:
    plan = (build_plan(12),)
    ours, reference = race(lambda: find_chances(plan, 30), lambda: simulate_chances(plan, 30), rounds=3)
    say("twelve events, 30 years", ours, reference)
    assert 100 * ours <= reference


def test_three_options_and_their_pairs_take_under_30_ms(benchmark: Any) -> None:
    measure(benchmark, "three options and pairs, 10 years", lambda: find_chances(PLANS, 10), 0.75)


def test_thirty_years_of_twelve_events_take_under_100_ms(benchmark: Any) -> None:
    plan = (build_plan(12),)
    measure(benchmark, "twelve events, 30 years", lambda: find_chances(plan, 30), 2.5)


def test_year_bands_of_three_options_take_under_150_ms(benchmark: Any) -> None:
    estimate = estimate_case(CASE, PRACTICE, years=10)

    def draw() -> object:
        forget()
        return bands.list_costs_so_far(estimate, estimate.jaws[0])

    measure(benchmark, "year bands, 10 years", draw, 3.75)


def test_year_bands_of_thirty_years_take_under_150_ms(benchmark: Any) -> None:
    estimate = estimate_case(CASE, PRACTICE, years=30)

    def draw() -> object:
        forget()
        return bands.list_costs_so_far(estimate, estimate.jaws[0])

    measure(benchmark, "year bands, 30 years", draw, 3.75)


def test_thirty_year_bands_stay_under_50_mb() -> None:
    estimate = estimate_case(CASE, PRACTICE, years=30)
    forget()
    tracemalloc.start()
    try:
        bands.list_costs_so_far(estimate, estimate.jaws[0])
        find_chances(PLANS, 30)
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    print(f"\nmost memory {peak / 1e6:.1f} MB")
    assert peak < 50e6
