"""Chance of fit against SciPy's normal laws, against a seeded draw of a million jaws, and by rows found another way."""

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import multivariate_normal, norm

from estimator.estimate.clearance.chance.jaw import (
    JawMargins,
    chance_at_site,
    chance_in_jaws,
    draw_chance,
    find_bite_lever,
    share_method_error,
)
from tests.rows import Row, read_numbers, read_rows

margins = st.lists(st.floats(-2, 2), min_size=1, max_size=6)


def chance_in_jaw(values: Sequence[float], *, sd_mm: float, own_sds_mm: Sequence[float], correlation: float) -> float:
    return chance_in_jaws(share_method_error(values, sd_mm=sd_mm, own_sds_mm=own_sds_mm, correlation=correlation))


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
    jaw = share_method_error(values, sd_mm=sd, own_sds_mm=own, correlation=correlation)
    found, error = draw_chance(jaw, draws=n, generator=np.random.default_rng(20261125))
    assert abs(chance_in_jaws(jaw) - found) < 4 * error + 1e-6


def test_a_jaw_whose_bite_and_plane_are_open_agrees_with_a_million_draws() -> None:
    jaw = JawMargins(
        margins_mm=(1.5, 2.0), own_sds_mm=(0.4, 0.5), bias_sd_mm=0.354, bite_sds_mm=(0.9, 0.7), plane_sd_mm=-1.0
    )
    found, error = draw_chance(jaw, draws=10**6, generator=np.random.default_rng(20261128))
    assert abs(chance_in_jaws(jaw) - found) < 4 * error


def test_a_draw_without_error_holds_always_or_never() -> None:
    generator = np.random.default_rng(1)
    for margin, share in ((0.0, 1.0), (-0.1, 0.0)):
        drawn = draw_chance(JawMargins(margins_mm=(margin,), own_sds_mm=(0,)), draws=100, generator=generator)
        assert drawn == (share, 0.0)


def test_a_draw_of_one_site_is_the_normal_law() -> None:
    """Else the comparison above would only show that two codes share an error."""
    jaw = share_method_error([0.25], sd_mm=0.4, own_sds_mm=[0.3], correlation=0.5)
    found, error = draw_chance(jaw, draws=10**6, generator=np.random.default_rng(7))
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


def covary(jaws: tuple[JawMargins, ...]) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """Covariance of the margins of all sites, straight from the sum of their errors."""
    sites = [(number, jaw, place) for number, jaw in enumerate(jaws) for place in range(len(jaw.margins_mm))]
    bites = [jaw.bite_sds_mm[place] if jaw.bite_sds_mm else 0.0 for _, jaw, place in sites]
    planes = [jaw.plane_sd_mm for _, jaw, _ in sites]
    biases = np.array([[jaw.bias_sd_mm * (number == n) for n in range(len(jaws))] for number, jaw, _ in sites])
    own = np.diag([jaw.own_sds_mm[place] ** 2 for _, jaw, place in sites])
    return np.asarray(np.outer(bites, bites) + np.outer(planes, planes) + biases @ biases.T + own)


def integrate_whole(*jaws: JawMargins) -> float:
    """The same chance by SciPy's integral over as many dimensions as there are sites."""
    values = [margin for jaw in jaws for margin in jaw.margins_mm]
    law = multivariate_normal(mean=np.zeros(len(values)), cov=covary(jaws), allow_singular=True, seed=5)
    return float(law.cdf(np.array(values)))


def read_jaw(row: Row) -> JawMargins:
    loads = [tuple(read_numbers(cell)) for cell in row["shared_loadings_mm"].split(" | ") if cell]
    none: tuple[float, ...] = ()
    bias, bite, plane = [*loads, none, none, none][:3]
    return JawMargins(
        margins_mm=tuple(read_numbers(row["margins_mm"])), own_sds_mm=tuple(read_numbers(row["own_sd_mm"])),
        bias_sd_mm=bias[0] if bias else 0.0, bite_sds_mm=bite, plane_sd_mm=plane[0] if plane else 0.0,
    )  # fmt: skip


def read_two_jaws(row: Row) -> tuple[JawMargins, JawMargins]:
    own, bias = tuple(read_numbers(row["own_sd_mm"])), float(row["method_bias_sd_each_jaw_mm"])
    bite, plane = tuple(read_numbers(row["bite_height_loadings_mm"])), float(row["plane_sd_mm"])
    upper, lower = (
        JawMargins(
            margins_mm=tuple(read_numbers(row[column])), own_sds_mm=own, bias_sd_mm=bias, bite_sds_mm=bite,
            plane_sd_mm=sign * plane,
        )
        for column, sign in (("upper_margins_mm", 1), ("lower_margins_mm", -1))
    )  # fmt: skip
    return upper, lower


@pytest.mark.parametrize("row", read_rows(__file__, "arch_chance.csv"), ids=lambda row: row["id"])
def test_a_jaw_with_shared_errors_has_the_chance_of_its_row(row: Row) -> None:
    expected = pytest.approx(float(row["chance_all_sites"]), abs=float(row["tolerance"]))
    assert chance_in_jaws(read_jaw(row)) == expected


@pytest.mark.parametrize("row", read_rows(__file__, "arch_two_jaws.csv"), ids=lambda row: row["id"])
def test_two_jaws_have_the_chance_of_their_row(row: Row) -> None:
    assert chance_in_jaws(*read_two_jaws(row)) == pytest.approx(float(row["chance_both"]), abs=float(row["tolerance"]))


def make_jaw(values: list[float], own: float, bias: float, bite: float = 0.0, plane: float = 0.0) -> JawMargins:
    levers = [find_bite_lever(5.0 * n, share=1.0, hinge_distance_mm=88) for n in range(len(values))]
    return JawMargins(
        margins_mm=tuple(values), own_sds_mm=(own,) * len(values), bias_sd_mm=bias,
        bite_sds_mm=tuple(bite * lever for lever in levers) if bite else (), plane_sd_mm=plane,
    )  # fmt: skip


few = st.lists(st.floats(-2, 2), min_size=1, max_size=3)
sds, open_sds = st.floats(0.05, 1.0), st.sampled_from([0.0, 0.5, 2.0])


@settings(max_examples=40, deadline=None)
@given(few, sds, sds, open_sds, open_sds)
def test_a_jaw_with_bite_and_plane_open_agrees_with_the_whole_law(
    values: list[float], own: float, bias: float, bite: float, plane: float
) -> None:
    jaw = make_jaw(values, own, bias, bite, plane)
    assert chance_in_jaws(jaw) == pytest.approx(integrate_whole(jaw), abs=5e-4)


@settings(max_examples=25, deadline=None)
@given(few, few, sds, sds, open_sds, open_sds)
def test_two_jaws_agree_with_the_whole_law(
    uppers: list[float], lowers: list[float], own: float, bias: float, bite: float, plane: float
) -> None:
    jaws = make_jaw(uppers, own, bias, bite, plane), make_jaw(lowers, own, bias, bite, -plane)
    assert chance_in_jaws(*jaws) == pytest.approx(integrate_whole(*jaws), abs=1e-3)


@settings(max_examples=25, deadline=None)
@given(few, few, sds, sds, open_sds, open_sds)
def test_two_jaws_may_change_places_with_the_sign_of_the_plane(
    uppers: list[float], lowers: list[float], own: float, bias: float, bite: float, plane: float
) -> None:
    upper, lower = make_jaw(uppers, own, bias, bite, plane), make_jaw(lowers, own, bias, bite, -plane)
    turned = replace(upper, plane_sd_mm=-plane), replace(lower, plane_sd_mm=plane)
    assert chance_in_jaws(*turned[::-1]) == pytest.approx(chance_in_jaws(upper, lower), abs=1e-9)


@given(few, few, sds, sds)
def test_two_jaws_with_bite_and_plane_settled_are_independent(
    uppers: list[float], lowers: list[float], own: float, bias: float
) -> None:
    upper, lower = make_jaw(uppers, own, bias), make_jaw(lowers, own, bias)
    assert chance_in_jaws(upper, lower) == pytest.approx(chance_in_jaws(upper) * chance_in_jaws(lower), abs=1e-7)


@given(few, sds, sds, open_sds, open_sds, st.floats(0, 2))
def test_more_room_never_lowers_the_chance_of_a_jaw(
    values: list[float], own: float, bias: float, bite: float, plane: float, more: float
) -> None:
    jaw = make_jaw(values, own, bias, bite, plane)
    roomier = replace(jaw, margins_mm=(jaw.margins_mm[0] + more, *jaw.margins_mm[1:]))
    assert chance_in_jaws(roomier) >= chance_in_jaws(jaw) - 1e-7


@given(few, sds, sds, open_sds, open_sds)
def test_an_open_jaw_lies_between_the_product_and_the_least_of_its_sites(
    values: list[float], own: float, bias: float, bite: float, plane: float
) -> None:
    jaw = make_jaw(values, own, bias, bite, plane)
    variances = np.diag(covary((jaw,)))
    sites = [chance_at_site(m, math.sqrt(v)) for m, v in zip(values, variances, strict=True)]
    assert math.prod(sites) - 1e-6 <= chance_in_jaws(jaw) <= min(sites) + 1e-6


@pytest.mark.parametrize("count", [1, 2, 4, 6])
def test_sites_without_margin_whose_own_error_is_as_large_as_the_shared_one_have_one_in_one_more(count: int) -> None:
    jaw = make_jaw([0.0] * count, 0.7, 0.7)
    assert chance_in_jaws(jaw) == pytest.approx(1 / (count + 1), abs=1e-7)


@pytest.mark.parametrize(
    ("bias", "bite", "plane"), [(0.0, 2.0, 0.0), (0.0, 0.0, 1.0), (0.0, 2.0, 1.0), (0.4, 2.0, 0.0)]
)
def test_sites_without_an_error_of_their_own_hold_as_far_as_what_they_share_lets_them(
    bias: float, bite: float, plane: float
) -> None:
    jaw = make_jaw([0.5, 0.4, 0.9], 0.0, bias, bite, plane)
    assert chance_in_jaws(jaw) == pytest.approx(integrate_whole(jaw), abs=1e-3)


def test_one_exact_site_beside_one_with_an_error_agrees_with_the_whole_law() -> None:
    jaw = JawMargins(margins_mm=(0.2, 0.5), own_sds_mm=(0.0, 0.6), bias_sd_mm=0.5, bite_sds_mm=(0.9, 0.8))
    assert chance_in_jaws(jaw) == pytest.approx(integrate_whole(jaw), abs=1e-4)


def test_two_jaws_measured_without_error_take_the_plane_from_each_other() -> None:
    """The plane may err by less than 1 either way, or one of the two loses: a share of 0.683."""
    upper, lower = make_jaw([1.0], 0.0, 0.0, plane=1.0), make_jaw([1.0], 0.0, 0.0, plane=-1.0)
    assert chance_in_jaws(upper, lower) == pytest.approx(0.6827, abs=0.01)


def test_with_bite_and_plane_settled_it_is_the_chance_of_the_method_alone() -> None:
    values, own = [0.75, 1.25, 1.5], [0.2, 0.3, 0.25]
    jaw = share_method_error(values, sd_mm=0.5, own_sds_mm=own, correlation=0.5)
    assert chance_in_jaws(jaw) == chance_in_jaw(values, sd_mm=0.5, own_sds_mm=own, correlation=0.5)


@pytest.mark.parametrize(("depth", "share", "lever"), [(0, 1, 1), (9.5, 1, 0.892), (44, 0.5, 0.25), (95, 1, 0)])
def test_a_site_nearer_to_the_hinge_takes_less_of_the_bite(depth: float, share: float, lever: float) -> None:
    assert find_bite_lever(depth, share=share, hinge_distance_mm=88) == pytest.approx(lever, abs=5e-4)
