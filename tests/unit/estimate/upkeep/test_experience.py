"""Published rates and own counts together: the closed form against plain integration, weights, and extremes."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from estimator.estimate.upkeep.experience import Blend, CountedEvents, Multiplier, blend_rates, spread_rate
from estimator.estimate.upkeep.rates import Rate, gamma_shape, shared_shape

FIRST, LATER = Rate(low=0.3, value=0.8, high=2.2), Rate(low=0.1, value=0.4, high=1.7)
NOTHING = CountedEvents(events=0, unit_years=0.0)


def blend(first: tuple[int, float] = (0, 0.0), later: tuple[int, float] = (0, 0.0)) -> Blend:
    counts = [CountedEvents(events=events, unit_years=years) for events, years in (first, later)]
    return blend_rates(FIRST, LATER, *counts)


def integrate_mean(first: tuple[int, float], later: tuple[int, float]) -> float:
    """The mean of the multiplier after both counts, by Bayes' rule and quadrature."""
    shape = shared_shape(FIRST, LATER)

    def weigh(g: float) -> float:
        chance = float(stats.gamma.pdf(g, shape, scale=1 / shape))
        for (events, years), rate in ((first, FIRST.value), (later, LATER.value)):
            chance *= float(stats.poisson.pmf(events, g * rate * years))
        return chance

    whole, part = (integrate.quad(lambda g, p=p: g**p * weigh(g), 0, 20, limit=400)[0] for p in (0, 1))
    return float(part / whole)


@pytest.mark.parametrize(
    ("first", "later"), [((3, 5.0), (0, 0.0)), ((0, 0.0), (12, 37.5)), ((9, 10.0), (2, 20.0)), ((0, 4.0), (0, 9.0))]
)
def test_the_blended_rates_are_those_of_bayes_rule(first: tuple[int, float], later: tuple[int, float]) -> None:
    found, mean = blend(first, later), integrate_mean(first, later)
    assert (found.first_year.value, found.later.value) == pytest.approx((0.8 * mean, 0.4 * mean), rel=1e-6)


def test_a_worked_example() -> None:
    """s = ln 17 / 2.5631 = 1.10538, a = (1 + √3.44374) / 2.44374 = 1.16859; 12 seen where 15 were expected (derived)."""
    found = blend(later=(12, 37.5))
    assert found.later.value == pytest.approx(0.4 * 13.16859 / 16.16859, abs=1e-5)
    assert found.own_weight == pytest.approx(15 / 16.16859, abs=1e-5)


@given(events=st.integers(0, 200), years=st.floats(0.01, 500))
def test_the_blended_rate_is_the_published_and_the_own_one_by_their_weights(events: int, years: float) -> None:
    found, own = blend(later=(events, years)), CountedEvents(events=events, unit_years=years).rate
    assert own is not None
    assert found.later.value == pytest.approx(found.own_weight * own + (1 - found.own_weight) * LATER.value)


def test_both_periods_move_together() -> None:
    found = blend(first=(20, 10.0))
    assert found.first_year.value / FIRST.value == pytest.approx(found.later.value / LATER.value)


def test_the_law_has_the_shape_of_published_and_own_data_together() -> None:
    found = blend((3, 5.0), (12, 37.5))
    assert shared_shape(found.first_year, found.later) == pytest.approx(shared_shape(FIRST, LATER) + 15)


def test_more_data_narrow_the_range() -> None:
    few, many = blend(later=(4, 10.0)).later, blend(later=(400, 1000.0)).later
    assert many.high / many.low < few.high / few.low < LATER.high / LATER.low


def test_years_without_an_event_lower_the_rate() -> None:
    assert blend(later=(0, 10.0)).later.value < LATER.value


def test_nothing_counted_has_no_weight_and_leaves_the_rate() -> None:
    found = blend()
    assert found.own_weight == 0
    assert found.later.value == LATER.value
    assert shared_shape(found.first_year, found.later) == pytest.approx(shared_shape(FIRST, LATER))


def test_a_rate_that_is_taken_as_certain_is_moved_by_nothing() -> None:
    sure = Rate(low=0.4, value=0.4, high=0.4)
    found = blend_rates(sure, sure, NOTHING, CountedEvents(events=100, unit_years=10.0))
    assert (found.first_year, found.later, found.own_weight) == (sure, sure, 0.0)


@given(value=st.floats(0.001, 20), shape=st.floats(0.2, 1e5))
def test_a_spread_rate_has_the_shape_it_was_spread_by(value: float, shape: float) -> None:
    assert gamma_shape(spread_rate(value, shape)) == pytest.approx(shape, rel=1e-6)


def test_a_certain_rate_and_a_rate_of_zero_are_not_spread() -> None:
    assert spread_rate(0.4, math.inf) == Rate(low=0.4, value=0.4, high=0.4)
    assert spread_rate(0.0, 2.0) == Rate(low=0.0, value=0.0, high=0.0)


def test_the_rate_as_counted_is_plain_division() -> None:
    assert CountedEvents(events=3, unit_years=12.0).rate == 0.25
    assert NOTHING.rate is None


@pytest.mark.parametrize(("events", "years", "message"), [
    (-1, 3.0, "'events' must be 0 or more"), (1, -3.0, "'unit_years' must be 0 or more"),
    (1, math.inf, "'unit_years' must be 0 or more"), (1, 0.0, "'unit_years' must be above 0 where there are events"),
])  # fmt: skip
def test_an_impossible_count_is_refused(events: int, years: float, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        CountedEvents(events=events, unit_years=years)


def test_the_order_of_counts_does_not_matter() -> None:
    start = Multiplier(shape=0.8, rate=0.8)
    one = start.learn(events=3, expected=2.0).learn(events=1, expected=7.0)
    other = start.learn(events=1, expected=7.0).learn(events=3, expected=2.0)
    assert (one.shape, one.rate) == pytest.approx((other.shape, other.rate))
