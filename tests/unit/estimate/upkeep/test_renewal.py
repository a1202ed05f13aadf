"""Lives, renewal counts, and expected and discounted renewals."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from estimator.estimate.upkeep.renewal import (
    FixedLife,
    Floats,
    LifeCdf,
    expect_renewals_by_year,
    renewal_counts,
    renewal_counts_by_year,
    weibull_cdf,
)


def build_exponential(rate: float) -> LifeCdf:
    return lambda ages: -np.expm1(-rate * ages)


def build_erlang(ages: Floats) -> Floats:
    return np.asarray(stats.gamma.cdf(ages, 2, scale=5.0))


@pytest.mark.parametrize("mean", [0.0, -1.0, math.inf, math.nan])
def test_impossible_mean_life_is_refused(mean: float) -> None:
    with pytest.raises(ValueError, match="'mean' must be above 0"):
        weibull_cdf(mean, 2.4)


@pytest.mark.parametrize("shape", [0.0, math.nan, -2.0])
def test_impossible_weibull_shape_is_refused(shape: float) -> None:
    with pytest.raises(ValueError, match="'shape' must be"):
        weibull_cdf(10.0, shape)


@pytest.mark.parametrize("shape", [0.72, 2.4, 50.0])
def test_weibull_distribution_agrees_with_scipy(shape: float) -> None:
    ages = np.linspace(0.0, 40.0, 81)
    scale = 11 / math.gamma(1 + 1 / shape)
    assert weibull_cdf(11.0, shape)(ages) == pytest.approx(stats.weibull_min.cdf(ages, shape, scale=scale), abs=1e-12)


@pytest.mark.parametrize("years", [1, 10, 30])
def test_renewals_of_an_exponential_life_are_poisson(years: int) -> None:
    found = renewal_counts(build_exponential(0.27), years)
    expected = stats.poisson.sf(np.arange(found.size), 0.27 * years)
    assert found == pytest.approx(expected, abs=3e-5)


@pytest.mark.parametrize("years", [5, 20])
def test_renewals_of_an_erlang_life_are_pairs_of_poisson_stages(years: int) -> None:
    found = renewal_counts(build_erlang, years)
    expected = stats.poisson.sf(2 * np.arange(1, found.size + 1) - 1, years / 5)
    assert found == pytest.approx(expected, abs=1e-6)


def test_count_chances_agree_with_a_plain_convolution() -> None:
    cdf, nodes = weibull_cdf(7.0, 2.4), 64
    step = 30 / nodes
    edges = np.maximum((np.arange(nodes + 2) - 0.5) * step, 0.0)
    masses = np.diff(cdf(edges))
    twice = np.convolve(masses, masses)[: nodes + 1]
    thrice = np.convolve(twice, masses)[: nodes + 1]
    expected = [float(cdf(np.array([30.0]))[0]), *(ends[:-1].sum() + ends[-1] / 2 for ends in (twice, thrice))]
    assert renewal_counts(cdf, 30.0, nodes)[:3] == pytest.approx(expected, abs=1e-11)


def test_chance_of_a_first_renewal_is_the_distribution_function_itself() -> None:
    cdf = weibull_cdf(11.0, 2.4)
    assert renewal_counts(cdf, 10.0)[0] == cdf(np.array([10.0]))[0]


@given(mean=st.floats(2.0, 40.0), shape=st.floats(0.7, 20.0), years=st.integers(1, 30))
def test_count_chances_never_rise_and_add_up_to_the_expectation(mean: float, shape: float, years: int) -> None:
    cdf = weibull_cdf(mean, shape)
    counts = renewal_counts(cdf, years)
    assert np.all(np.diff(counts) <= 0)
    assert counts.sum() == pytest.approx(expect_renewals_by_year(cdf, years).by_year[-1], abs=1e-3)


def test_lives_far_shorter_than_the_lattice_are_refused() -> None:
    with pytest.raises(ValueError, match="a life must mostly be longer than"):
        renewal_counts(weibull_cdf(0.001, 2.4), 30)


@pytest.mark.parametrize("mean", [2.0, 7.0, 15.0])
@pytest.mark.parametrize("shape", [0.72, 2.4, 20.0])
def test_counts_of_all_years_at_once_agree_with_those_of_each(mean: float, shape: float) -> None:
    cdf = weibull_cdf(mean, shape)
    for year, found in enumerate(renewal_counts_by_year(cdf, 30), start=1):
        alone = renewal_counts(cdf, year)
        shorter = min(found.size, alone.size)
        assert found[:shorter] == pytest.approx(alone[:shorter], abs=2e-4)
        assert max([*found[shorter:], *alone[shorter:]], default=0.0) < 2e-4


@pytest.mark.parametrize("years", [1, 12])
def test_counts_of_all_years_of_an_exponential_life_are_poisson(years: int) -> None:
    for year, found in enumerate(renewal_counts_by_year(build_exponential(0.27), years), start=1):
        assert found == pytest.approx(stats.poisson.sf(np.arange(found.size), 0.27 * year), abs=3e-5)


def test_fixed_life_is_counted_in_each_year() -> None:
    assert [counts.size for counts in renewal_counts_by_year(FixedLife(years=2.5), 6)] == [0, 0, 1, 1, 2, 2]


@pytest.mark.parametrize("years", [0.0, -1.0, math.inf])
def test_impossible_horizon_is_refused(years: float) -> None:
    with pytest.raises(ValueError, match="'years' must be above 0"):
        renewal_counts(weibull_cdf(10.0, 2.4), years)


def test_longer_horizon_repeats_the_years_of_a_shorter_one() -> None:
    cdf = weibull_cdf(7.0, 2.4)
    short, long = expect_renewals_by_year(cdf, 10), expect_renewals_by_year(cdf, 30)
    assert long.by_year[:10] == pytest.approx(short.by_year, abs=1e-11)


@pytest.mark.parametrize(("rate", "years"), [(0.27, 10), (1.0, 20)])
def test_discounted_renewals_of_an_exponential_life_meet_the_closed_form(rate: float, years: int) -> None:
    force = math.log(1.03)
    expected = rate * (1 - 1.03**-years) / force
    found = expect_renewals_by_year(build_exponential(rate), years, 1 / 1.03).discounted
    assert found == pytest.approx(expected, abs=1e-6)


def test_discounting_at_factor_one_changes_nothing() -> None:
    found = expect_renewals_by_year(weibull_cdf(7.0, 2.4), 20, 1.0)
    assert found.discounted == found.by_year[-1]


def test_discounting_is_continuous_at_factor_one() -> None:
    cdf = weibull_cdf(7.0, 2.4)
    near = expect_renewals_by_year(cdf, 20, 1 - 1e-9).discounted
    assert near == pytest.approx(expect_renewals_by_year(cdf, 20, 1.0).discounted, abs=1e-6)


def test_fixed_life_counts_a_renewal_on_the_last_day() -> None:
    assert renewal_counts(FixedLife(years=8.0), 16.0).tolist() == [1.0, 1.0]


def test_fixed_life_longer_than_the_horizon_is_never_renewed() -> None:
    assert renewal_counts(FixedLife(years=8.0), 7.0).size == 0


def test_fixed_life_is_renewed_at_its_multiples() -> None:
    found = expect_renewals_by_year(FixedLife(years=2.5), 6)
    assert found.by_year.tolist() == [0, 0, 1, 1, 2, 2]


def test_nearly_fixed_life_runs_into_the_fixed_one() -> None:
    cdf = weibull_cdf(8.0, 513.0)  # an SD of about 0.02 years
    fixed = expect_renewals_by_year(FixedLife(years=8.0), 20).by_year[-1]
    assert expect_renewals_by_year(cdf, 20).by_year[-1] == pytest.approx(fixed, abs=1e-6)


def test_fixed_life_is_a_step_as_a_distribution_function() -> None:
    assert FixedLife(years=8.0)(np.array([7.9, 8.0, 8.1])).tolist() == [0.0, 1.0, 1.0]
