"""The curve of the crest: rows found by a second way, and what must hold for every arch."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import minimize_scalar

from estimator import files
from estimator.estimate.clearance.geometry.curve import (
    REACH_MM,
    ArchCurve,
    find_usual_along,
    fit_curve,
    place_along,
    place_point,
    shape_curve,
)
from estimator.inputs.case.model import Arch
from tests.rows import Row, read_rows

USUAL = files.load_usual_arches()
CURVES = [shape_curve(USUAL[arch]) for arch in Arch]
curves = st.sampled_from(CURVES)
along = st.floats(0, REACH_MM)


def shape(row: Row) -> ArchCurve:
    width = row.get("molar_width_mm")
    return shape_curve(USUAL[Arch(row["jaw"])], float(width) if width else None)


@pytest.mark.parametrize("row", read_rows(__file__, "arch_curve.csv"), ids=lambda row: row["id"])
def test_a_place_along_the_crest_has_the_point_and_heading_of_the_row(row: Row) -> None:
    place = place_along(shape(row), float(row["s_mm"]))
    expected = [float(row[column]) for column in ("x_mm", "y_mm", "heading_deg")]
    assert [*place.point, place.heading_deg] == pytest.approx(expected, abs=float(row["tolerance_mm_or_deg"]))


@pytest.mark.parametrize("row", read_rows(__file__, "arch_points.csv"), ids=lambda row: row["id"])
def test_a_typed_point_takes_its_place_from_the_nearest_of_the_crest(row: Row) -> None:
    place = place_point(shape(row), float(row["typed_x_mm"]), float(row["typed_y_mm"]))
    expected = [float(row["s_mm"]), float(row["facial_offset_mm"])]
    assert [place.along_mm, place.facial_mm] == pytest.approx(expected, abs=float(row["tolerance_mm"]))


@pytest.mark.parametrize(("arch", "a", "b"), [("mandible", 2.8763e-8, 0.028764), ("maxilla", 6.4727e-8, 0.025400)])
def test_the_factors_of_the_usual_curves_follow_from_their_two_points(arch: str, a: float, b: float) -> None:
    curve = shape_curve(USUAL[Arch(arch)])
    assert (curve.a, curve.b) == pytest.approx((a, b), rel=1e-4)


def test_half_the_way_between_the_foramina_lies_as_far_from_the_midline_as_published() -> None:
    """54.43 along the bone (Moreschi et al.) and 25.86 to the midline (Sheikhi, Karbasi Kheir 2016)."""
    assert math.hypot(*place_along(shape_curve(USUAL[Arch.MANDIBLE]), 54.43 / 2).point) == pytest.approx(
        25.86, abs=0.05
    )


@given(curves, st.floats(0.01, 30))
def test_the_length_is_the_integral_of_the_line_element(curve: ArchCurve, x: float) -> None:
    exact, _ = quad(lambda t: math.hypot(1, curve.find_slope(t)), 0, x, epsabs=1e-11)
    assert curve.measure_along(x) == pytest.approx(exact, abs=1e-6)


@given(curves, along)
def test_along_and_back_is_where_it_started(curve: ArchCurve, s: float) -> None:
    assert curve.measure_along(curve.find_x(s)) == pytest.approx(s, abs=1e-9)


@given(curves, along)
def test_left_mirrors_right(curve: ArchCurve, s: float) -> None:
    right, left = place_along(curve, s), place_along(curve, -s)
    assert (left.x_mm, left.y_mm, left.heading_deg) == pytest.approx((-right.x_mm, right.y_mm, right.heading_deg))


@given(curves, along, along)
def test_the_heading_rises_along_the_crest(curve: ArchCurve, first: float, second: float) -> None:
    low, high = sorted((first, second))
    assert place_along(curve, low).heading_deg <= place_along(curve, high).heading_deg


@given(st.sampled_from(list(Arch)), st.floats(0, 45), st.floats(0.7, 1.3))
def test_a_wider_arch_is_the_same_arch_larger(arch: Arch, s: float, scale: float) -> None:
    usual = shape_curve(USUAL[arch])
    before, wider = place_along(usual, s), shape_curve(USUAL[arch], scale * 2 * usual.molar_mm)
    after = place_along(wider, scale * s)
    assert after.point == pytest.approx((scale * before.x_mm, scale * before.y_mm), abs=1e-6)
    assert after.heading_deg == pytest.approx(before.heading_deg, abs=1e-6)


@given(curves, st.floats(-24, 24), st.floats(-8, 35))
def test_no_point_of_the_crest_is_nearer_than_the_one_taken(curve: ArchCurve, x: float, y: float) -> None:
    place = place_point(curve, x, y)
    taken = place_along(curve, place.along_mm)
    steps = [place_along(curve, -59 + n).point for n in range(119)]
    assert math.dist(taken.point, (x, y)) <= min(math.dist(point, (x, y)) for point in steps) + 1e-6


@given(curves, st.floats(-50, 50), st.floats(-8, 8))
def test_a_point_off_the_crest_is_found_again_from_where_it_stands(curve: ArchCurve, s: float, offset: float) -> None:
    """8 is less than the least radius of the crest, so that the nearest point is the foot of the offset."""
    foot, side = place_along(curve, s), -1 if s < 0 else 1
    heading = math.radians(foot.heading_deg)
    x, y = foot.x_mm + side * offset * math.sin(heading), foot.y_mm - offset * math.cos(heading)
    place = place_point(curve, x, y)
    if x * side > 1e-3:
        assert (place.along_mm, place.facial_mm) == pytest.approx((s, offset), abs=1e-4)
        assert place.point == (x, y)


def test_the_nearest_place_agrees_with_an_outside_minimiser() -> None:
    curve = CURVES[0]
    found = minimize_scalar(lambda t: math.dist((t, curve.find_depth(t)), (15, 4)), bounds=(0, 25), method="bounded",
                            options={"xatol": 1e-10})  # fmt: skip
    assert place_point(curve, 15, 4).along_mm == pytest.approx(curve.measure_along(found.x), abs=1e-4)


def test_a_canine_that_would_bend_the_crest_inwards_is_not_used() -> None:
    curve = fit_curve((13, 9), (25, 25))
    assert (curve.a, curve.b, curve.canine_used) == (0.0, 25 / 625, False)


def test_measured_points_lie_on_their_own_curve() -> None:
    curve = fit_curve((14, 6), (23, 26))
    assert (curve.find_depth(14), curve.find_depth(23)) == pytest.approx((6, 26))
    assert curve.canine_used


@pytest.mark.parametrize(
    ("canine", "molar"), [((13, 5), (13, 25)), ((13, 5), (25, 5)), ((0, 5), (25, 25)), ((13, 0), (25, 25))]
)
def test_a_canine_that_is_not_in_front_of_the_molar_is_refused(
    canine: tuple[float, float], molar: tuple[float, float]
) -> None:
    with pytest.raises(ValueError, match="'canine_mm' must lie in front of 'molar_mm'"):
        fit_curve(canine, molar)


def test_a_place_beyond_the_arch_is_refused() -> None:
    with pytest.raises(ValueError, match=r"'along_mm' must be 60 or less to either side \(got -61\)"):
        place_along(CURVES[0], -61)


class TestUsualPlace:
    MANDIBLE = USUAL[Arch.MANDIBLE]

    def test_a_tooth_of_the_left_stands_at_the_left(self) -> None:
        assert find_usual_along(CURVES[0], self.MANDIBLE, 4, left=True) == pytest.approx(-20.5)

    def test_a_wider_arch_carries_it_further_along(self) -> None:
        wider = shape_curve(self.MANDIBLE, 60)
        assert find_usual_along(wider, self.MANDIBLE, 4, left=False) == pytest.approx(1.2 * 20.5)

    def test_a_third_molar_has_no_usual_place(self) -> None:
        assert find_usual_along(CURVES[0], self.MANDIBLE, 8, left=False) is None

    @pytest.mark.parametrize("arch", Arch)
    def test_the_first_molar_stands_near_the_point_of_the_crest_that_bears_its_name(self, arch: Arch) -> None:
        usual = USUAL[arch]
        place = place_along(shape_curve(usual), float(usual.along_mm[6]))
        assert place.x_mm == pytest.approx(float(usual.molar.half_width_mm), abs=0.1)
