"""Chance of fit against SciPy's normal law and against a seeded draw of a million jaws."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import multivariate_normal, norm

from estimator.estimate.clearance.chance.jaw import chance_at_site, chance_in_jaw, draw_chance

margins = st.lists(st.floats(-2, 2), min_size=1, max_size=6)


def test_one_site_is_the_normal_law() -> None:
    assert chance_at_site(0.25, 0.5) == pytest.approx(norm.cdf(0.5), abs=1e-12)


@pytest.mark.parametrize(("margin", "chance"), [(0.0, 1.0), (0.1, 1.0), (-0.1, 0.0)])
def test_without_error_it_fits_or_not_and_equality_fits(margin: float, chance: float) -> None:
    assert chance_at_site(margin, 0.0) == chance
    assert chance_in_jaw([margin], sd_mm=0.0, own_sds_mm=[0.0], correlation=0.5) == chance


@given(margins, st.floats(0.05, 1.5), st.sampled_from([0.0, 0.5, 0.9]), st.floats(0, 1))
def test_a_jaw_lies_between_the_product_and_the_least_of_its_sites(
    values: list[float], sd: float, correlation: float, own: float
) -> None:
    sites = [chance_at_site(m, math.hypot(sd, own)) for m in values]
    jaw = chance_in_jaw(values, sd_mm=sd, own_sds_mm=[own] * len(values), correlation=correlation)
    assert math.prod(sites) - 1e-6 <= jaw <= min(sites) + 1e-6


@pytest.mark.parametrize("correlation", [0.0, 0.5, 0.9, 1.0])
@pytest.mark.parametrize("own", [(0.0, 0.0, 0.0), (0.25, 0.6, 0.0), (1.3, 1.3, 1.3)])
def test_a_jaw_agrees_with_a_million_draws(correlation: float, own: tuple[float, ...]) -> None:
    values, sd, n = [0.2, 0.7, 1.1], 0.5, 10**6
    found, error = draw_chance(
        values, sd_mm=sd, own_sds_mm=own, correlation=correlation, draws=n, generator=np.random.default_rng(20261125)
    )
    jaw = chance_in_jaw(values, sd_mm=sd, own_sds_mm=own, correlation=correlation)
    assert abs(jaw - found) < 4 * error + 1e-6


def test_a_draw_without_error_holds_always_or_never() -> None:
    generator = np.random.default_rng(1)
    for margin, share in ((0.0, 1.0), (-0.1, 0.0)):
        drawn = draw_chance([margin], sd_mm=0, own_sds_mm=[0], correlation=0.5, draws=100, generator=generator)
        assert drawn == (share, 0.0)


def test_a_draw_of_one_site_is_the_normal_law() -> None:
    """Else the comparison above would only show that two codes share an error."""
    found, error = draw_chance(
        [0.25], sd_mm=0.4, own_sds_mm=[0.3], correlation=0.5, draws=10**6, generator=np.random.default_rng(7)
    )
    assert abs(found - norm.cdf(0.5)) < 4 * error


def test_a_jaw_agrees_with_the_multivariate_normal_law() -> None:
    values, sd, rho = np.array([0.1, 0.4]), 0.5, 0.5
    covariance = sd**2 * np.array([[1, rho], [rho, 1]])
    exact = multivariate_normal.cdf(values, mean=[0, 0], cov=covariance)
    assert chance_in_jaw(values.tolist(), sd_mm=sd, own_sds_mm=[0, 0], correlation=rho) == pytest.approx(
        exact, abs=1e-5
    )


def test_sites_with_hardly_any_error_of_their_own_use_the_fine_rule() -> None:
    """With a correlation of 0.999 the limit of fully shared error is near."""
    near = chance_in_jaw([0.2, 0.2], sd_mm=0.5, own_sds_mm=[0, 0], correlation=0.9999)
    assert near == pytest.approx(norm.cdf(0.4), abs=0.01)
