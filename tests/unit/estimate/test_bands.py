"""The cost so far, year by year."""

from decimal import Decimal

import pytest

from estimator.estimate.bands import list_costs_so_far
from tests.builders import estimate_all, make_jaw


@pytest.mark.parametrize("years", [1, 10, 30])
def test_the_last_year_agrees_with_the_estimate(years: int) -> None:
    made = estimate_all(make_jaw("12"), years=years)
    for cost, option in zip(list_costs_so_far(made, made.jaws[0]), made.jaws[0].estimates, strict=True):
        last, first = cost.years[-1], option.fees.total
        assert len(cost.years) == years
        assert (last.low, last.high) == (first + option.upkeep.p10, first + option.upkeep.p90)
        assert abs(last.expected - first - option.upkeep.expected) <= Decimal("0.01") * years


def test_cost_and_range_never_fall_and_hold_the_expectation() -> None:
    made = estimate_all(make_jaw("12"), years=20)
    for cost in list_costs_so_far(made, made.jaws[0]):
        lows, highs = [band.low for band in cost.years[:-1]], [band.high for band in cost.years[:-1]]
        assert lows == sorted(lows)
        assert highs == sorted(highs)
        assert all(band.low <= band.expected <= band.high for band in cost.years)


def test_a_longer_look_ahead_repeats_the_years_of_a_shorter_one() -> None:
    short, long = (estimate_all(make_jaw("12"), years=years) for years in (10, 30))
    for a, b in zip(list_costs_so_far(short, short.jaws[0]), list_costs_so_far(long, long.jaws[0]), strict=True):
        assert a.years[:9] == b.years[:9]
