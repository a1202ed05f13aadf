"""The law of one option's upkeep, renewals left out, against the general-purpose library aggregate on the same model."""

from decimal import Decimal
from typing import Any

import pytest

from estimator import files
from estimator.estimate.look_ahead import plan_upkeep
from estimator.estimate.upkeep import distribution
from estimator.estimate.upkeep.distribution import CostDistribution, choose_step, distribute_total, mean_amount
from estimator.estimate.upkeep.plan import UpkeepPlan
from estimator.estimate.upkeep.rates import mean_count, shared_shape
from estimator.estimate.upkeep.years import build_total
from tests.bench.reference import race
from tests.builders import TODAY

aggregate = pytest.importorskip("aggregate", reason="the bench extra is not installed")

CASE, PRACTICE = files.load_demo(today=TODAY)
WHOLE = plan_upkeep(CASE.jaws[0], PRACTICE.options[2], PRACTICE.fees)
PLAN = UpkeepPlan(events=WHOLE.events, lifetime=None, recall_fee=Decimal(0))
YEARS, STEP, LOG2_NODES = 10, 2, 13


def find_law() -> CostDistribution:
    """Ours, from nothing."""
    distribution._transform_charge.cache_clear()
    total = build_total(PLAN, YEARS)
    return distribute_total(total, choose_step((total,), spread=Decimal(0), quantum=Decimal("0.01")))


def write_program() -> str:
    """The same events in the library's language: mean number, charge, gamma mixing with CV 1/√a."""
    lines = []
    for event in PLAN.events:
        mean = mean_count(event.units, event.first_year, event.later, YEARS)
        cv = shared_shape(event.first_year, event.later) ** -0.5
        lines.append(f"\tagg {event.key} {mean} claims dsev [{mean_amount(event.severity)}] mixed gamma {cv}")
    return "\n".join(["port Upkeep", *lines])


@pytest.mark.filterwarnings("ignore")
def test_the_law_takes_a_twenty_fifth_of_the_time_of_the_library_and_agrees_with_it(benchmark: Any) -> None:
    program = write_program()
    law = benchmark(find_law)
    theirs = aggregate.build(program, log2=LOG2_NODES, bs=STEP)
    for chance in (0.1, 0.5, 0.9):
        assert abs(float(law.find_quantile(chance)) - theirs.q(chance)) <= STEP + float(law.step)
    ours_s, theirs_s = race(find_law, lambda: aggregate.build(program, log2=LOG2_NODES, bs=STEP), rounds=3)
    benchmark.extra_info.update(ours_ms=1000 * ours_s, aggregate_ms=1000 * theirs_s)
    print(f"\nlaw {1000 * ours_s:.1f} ms, aggregate {1000 * theirs_s:.0f} ms, {theirs_s / ours_s:.0f} times")
    assert 25 * ours_s <= theirs_s
