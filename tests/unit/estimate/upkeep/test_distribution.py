"""The money grid: charges, the common step, the product of generating functions, and its checks."""

import math
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from estimator.estimate.upkeep.distribution import (
    NODES,
    CompoundCost,
    Severity,
    Total,
    check_severity,
    choose_step,
    distribute_total,
    event_cost,
    renewal_cost,
    severity_of,
)
from estimator.estimate.upkeep.renewal import renewal_counts, weibull_cdf

CENT = Decimal("0.01")


def build_total(*parts: CompoundCost, certain: str = "0") -> Total:
    return Total(parts=parts, certain=Decimal(certain))


def build_event(mean: float = 2.7, shape: float = math.inf, fee: str = "50") -> CompoundCost:
    return event_cost(mean, shape, severity_of(Decimal(fee)))


def find_step(*totals: Total, spread: str = "0", quantum: Decimal = CENT) -> Decimal:
    return choose_step(totals, spread=Decimal(spread), quantum=quantum)


def test_fixed_fee_has_one_point() -> None:
    assert severity_of(Decimal("120.50")) == ((Decimal("120.50"), 1.0),)


def test_from_to_fee_has_three_points() -> None:
    assert severity_of(Decimal(310), Decimal(425)) == (
        (Decimal(310), 0.3),
        (Decimal("367.5"), 0.4),
        (Decimal(425), 0.3),
    )


def test_from_to_fee_without_a_range_has_one_point() -> None:
    assert severity_of(Decimal(310), Decimal(310)) == ((Decimal(310), 1.0),)


@pytest.mark.parametrize(("low", "high"), [("-1", None), ("NaN", None), ("Infinity", None), ("200", "100")], ids=str)
def test_impossible_fee_is_refused(low: str, high: str | None) -> None:
    with pytest.raises(ValueError, match="must be"):
        severity_of(Decimal(low), None if high is None else Decimal(high))


@pytest.mark.parametrize(
    ("reach", "step"), [("81.92", "0.01"), ("81.93", "0.02"), ("500", "0.1"), ("8192", "1"), ("49000", "10")]
)
def test_step_is_the_least_one_two_or_five_that_covers_the_reach(reach: str, step: str) -> None:
    assert find_step(build_total(certain=reach)) == Decimal(step)


def test_step_covers_the_widest_total_and_the_spread_of_first_costs() -> None:
    wide, narrow = build_total(build_event(fee="500")), build_total(build_event(fee="5"))
    reach = wide.mean + 14 * wide.sd + 4000
    step = find_step(narrow, wide, spread="4000")
    assert step == Decimal(5)
    assert 8192 * step >= reach > 8192 * 2


def test_step_is_never_below_the_quantum() -> None:
    assert find_step(build_total(build_event(fee="5")), quantum=Decimal(1)) == 1


def test_moments_of_a_renewal_cost_are_those_of_its_count() -> None:
    chances = stats.poisson.pmf(np.arange(60), 1.3)
    cost = renewal_cost(1 - np.cumsum(chances)[:40], severity_of(Decimal(10)))
    assert (cost.mean, cost.variance) == pytest.approx((13.0, 130.0))


def test_renewals_with_poisson_counts_spread_like_poisson_events() -> None:
    at_least = stats.poisson.sf(np.arange(40), 1.3)
    renewals = distribute_total(build_total(renewal_cost(at_least, severity_of(Decimal(10)))), Decimal("0.1"))
    events = distribute_total(build_total(build_event(mean=1.3, fee="10")), Decimal("0.1"))
    assert renewals.chances == pytest.approx(events.chances, abs=1e-12)


def test_two_kinds_of_events_spread_like_their_plain_convolution() -> None:
    first, second = build_event(mean=1.2, shape=1.5, fee="2"), build_event(mean=0.7, fee="3")
    found = distribute_total(build_total(first, second), Decimal(1)).chances[:60]
    counts = np.arange(40)
    twos, threes = np.zeros(120), np.zeros(120)
    twos[2 * counts] = stats.nbinom.pmf(counts, 1.5, 1.5 / 2.7)
    threes[3 * counts] = stats.poisson.pmf(counts, 0.7)
    assert found == pytest.approx(np.convolve(twos, threes)[:60], abs=1e-12)


def test_variance_on_the_grid_is_that_of_the_total() -> None:
    total = build_total(event_cost(2.7, 1.2, severity_of(Decimal(20), Decimal(80))), build_event(mean=0.4, fee="100"))
    found = distribute_total(total, Decimal("0.5"))
    amounts = np.arange(found.chances.size) * 0.5
    assert found.chances @ (amounts - found.mean) ** 2 == pytest.approx(total.sd**2, rel=1e-6)


@given(
    fee=st.decimals("0.01", "9999.99", places=2),
    mean=st.floats(1e-6, 30.0),
    shape=st.floats(0.3, 50.0),
    remake=st.decimals("0.01", "9999.99", places=2),
)
@settings(max_examples=40, deadline=None)
def test_mean_on_the_grid_is_the_expectation(fee: Decimal, mean: float, shape: float, remake: Decimal) -> None:
    renewals = renewal_cost(renewal_counts(weibull_cdf(11.0, 2.4), 20), severity_of(remake, 2 * remake))
    total = build_total(event_cost(mean, shape, severity_of(fee)), renewals, certain="950")
    found = distribute_total(total, find_step(total))
    assert found.mean == pytest.approx(total.mean, rel=1e-6)


@pytest.mark.parametrize("chance", [0.1, 0.5, 0.9])
def test_quantiles_are_within_a_step_of_a_cent_grid(chance: float) -> None:
    total = build_total(event_cost(3.1, 1.17, severity_of(Decimal("7.37"), Decimal("9.99"))), build_event(fee="3.21"))
    step = find_step(total)
    coarse, fine = (distribute_total(total, width).find_quantile(chance) for width in (step, CENT))
    assert step > CENT
    assert abs(coarse - fine) <= step


def test_certain_sum_moves_every_quantile() -> None:
    part = build_event(shape=1.2)
    plain, moved = (distribute_total(build_total(part, certain=sum_), Decimal("0.5")) for sum_ in ("0", "33.33"))
    assert moved.find_quantile(0.9) - plain.find_quantile(0.9) == Decimal("33.33")


def test_long_tail_doubles_the_grid() -> None:
    total = build_total(build_event(mean=30.0, shape=1.0, fee="35"))
    assert distribute_total(total, find_step(total)).chances.size > NODES


def test_rare_dear_event_still_fits_on_the_grid() -> None:
    total = build_total(build_event(mean=1e-9, fee="10000"))
    found = distribute_total(total, find_step(total))
    assert found.chances[int(10000 / found.step)] == pytest.approx(1e-9, rel=1e-4)


def test_tail_beyond_the_largest_grid_is_an_error_not_a_wrong_number() -> None:
    total = build_total(build_event(mean=1.0, shape=0.001, fee="100"))
    with pytest.raises(ArithmeticError, match="failed its check on a grid of 131072"):
        distribute_total(total, find_step(total))


def test_amount_far_beyond_the_largest_grid_is_an_error() -> None:
    with pytest.raises(ArithmeticError, match=r"the mean is .* steps instead of"):
        distribute_total(build_total(build_event(mean=0.1, fee="10000000")), CENT)


def test_total_without_costs_is_certainly_zero() -> None:
    total = build_total()
    assert distribute_total(total, find_step(total)).find_quantile(0.9) == 0


@pytest.mark.parametrize(
    "severity", [((Decimal(5), 0.5),), ((Decimal(5), 1.5), (Decimal(6), -0.5)), ()], ids=["half", "negative", "none"]
)
def test_weights_that_are_no_chances_are_refused(severity: Severity) -> None:
    with pytest.raises(ValueError, match="weight"):
        check_severity(severity)
