"""Rates, their gamma shapes, and the law of the count."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special, stats

from estimator.estimate.upkeep.rates import (
    Rate,
    count_pgf,
    gamma_shape,
    implied_range,
    mean_count,
    shared_shape,
)

CIRCLE = np.exp(2j * np.pi * np.arange(16) / 16)


def build_rate(low: float, value: float, high: float) -> Rate:
    return Rate(low=low, value=value, high=high)


def sum_pgf(chances: np.ndarray[tuple[int], np.dtype[np.float64]], z: complex) -> complex:
    return complex(np.sum(chances * z ** np.arange(chances.size)))


@pytest.mark.parametrize("ratio", [1.5, 5.0, 17.0, 100.0])
def test_shape_gives_the_variance_of_the_logarithm_that_the_range_has(ratio: float) -> None:
    shape = gamma_shape(build_rate(1.0, 1.2, ratio))
    assert 1 / shape + 1 / (2 * shape**2) == pytest.approx((math.log(ratio) / 2.5631) ** 2)


@pytest.mark.parametrize("shape", [2.0, 5.0, 30.0])
def test_shape_of_a_true_gamma_range_is_close_to_the_shape_it_came_from(shape: float) -> None:
    low, high = stats.gamma.ppf([0.1, 0.9], shape)
    assert gamma_shape(build_rate(float(low), shape, float(high))) == pytest.approx(shape, rel=0.1)


def test_rate_without_a_range_is_poisson() -> None:
    assert gamma_shape(build_rate(0.4, 0.4, 0.4)) == math.inf


def test_rate_of_zero_is_poisson() -> None:
    assert gamma_shape(build_rate(0.0, 0.0, 0.0)) == math.inf


def test_two_periods_share_the_smaller_shape() -> None:
    narrow, wide = build_rate(0.3, 0.8, 1.0), build_rate(0.1, 0.4, 1.7)
    assert shared_shape(narrow, wide) == shared_shape(wide, narrow) == gamma_shape(wide)


@pytest.mark.parametrize(
    ("low", "value", "high", "message"),
    [
        (-0.1, 0.2, 0.3, "'low' must be a finite number of 0 or more"),
        (0.1, math.nan, 0.3, "'value' must be a finite number"),
        (0.1, 0.2, math.inf, "'high' must be a finite number"),
        (0.3, 0.2, 0.4, "'value' must be from 'low' 0.3 to 'high' 0.4"),
        (0.0, 0.2, 0.4, "'low' must be above 0 where 'high' is"),
    ],
)
def test_impossible_rate_is_refused(low: float, value: float, high: float, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        build_rate(low, value, high)


@pytest.mark.parametrize(("years", "expected"), [(0.5, 1.6), (1.0, 3.2), (10.0, 3.2 + 4 * 9 * 0.4)])
def test_mean_count_uses_the_first_year_rate_for_one_year_only(years: float, expected: float) -> None:
    found = mean_count(4, build_rate(0.3, 0.8, 2.2), build_rate(0.1, 0.4, 1.7), years)
    assert found == pytest.approx(expected)


@pytest.mark.parametrize("shape", [0.5, 1.17, 31.5])
def test_pgf_is_that_of_the_negative_binomial(shape: float) -> None:
    chances = stats.nbinom.pmf(np.arange(600), shape, shape / (shape + 2.7))
    expected = [sum_pgf(chances, z) for z in CIRCLE]
    assert count_pgf(2.7, shape, CIRCLE) == pytest.approx(expected, abs=1e-12)


def test_pgf_of_infinite_shape_is_that_of_the_poisson() -> None:
    chances = stats.poisson.pmf(np.arange(60), 2.7)
    assert count_pgf(2.7, math.inf, CIRCLE) == pytest.approx([sum_pgf(chances, z) for z in CIRCLE], abs=1e-12)


def test_pgf_of_a_huge_shape_runs_into_the_poisson() -> None:
    assert count_pgf(2.7, 1e14, CIRCLE) == pytest.approx(count_pgf(2.7, math.inf, CIRCLE), abs=1e-12)


@given(st.floats(0.05, 1e6))
def test_implied_range_agrees_with_scipy(shape: float) -> None:
    expected = special.gammaincinv(shape, [0.1, 0.9]) * 0.4 / shape
    assert implied_range(0.4, shape) == pytest.approx(tuple(expected), rel=1e-6)


def test_implied_range_of_infinite_shape_is_the_value() -> None:
    assert implied_range(0.4, math.inf) == (0.4, 0.4)


def test_implied_range_of_no_shape_is_refused() -> None:
    with pytest.raises(ValueError, match="'shape' must be above 0"):
        implied_range(0.4, 0.0)
