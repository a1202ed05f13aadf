"""Chords instead of ways along the crest, and how far the crest leaves them."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator import files
from estimator.estimate.clearance.geometry.curve import ArchCurve, place_along, shape_curve
from estimator.estimate.clearance.geometry.polyline import (
    measure_chord,
    measure_chords,
    measure_sagitta,
    measure_spread,
    measure_turns,
)
from estimator.inputs.case.model import Arch
from tests.rows import Row, read_rows

CURVES = {arch: shape_curve(usual) for arch, usual in files.load_usual_arches().items()}
curves, along = st.sampled_from(list(CURVES.values())), st.floats(-50, 50)


@pytest.mark.parametrize("row", read_rows(__file__, "arch_chords.csv"), ids=lambda row: row["id"])
def test_chord_and_sagitta_are_those_of_the_row(row: Row) -> None:
    curve = CURVES[Arch(row["jaw"])]
    first, second = (place_along(curve, float(row[column])).point for column in ("s1_mm", "s2_mm"))
    found = [measure_chord(first, second), measure_sagitta(curve, first, second)]
    expected = [float(row["chord_mm"]), float(row["sagitta_mm"])]
    assert found == pytest.approx(expected, abs=float(row["tolerance_mm"]))


@given(curves, along, along)
def test_a_chord_is_never_longer_than_the_way_along_the_crest(curve: ArchCurve, first: float, second: float) -> None:
    chord = measure_chord(place_along(curve, first).point, place_along(curve, second).point)
    assert chord <= abs(first - second) + 1e-9


@given(curves, st.floats(0, 50))
def test_a_chord_across_the_midline_is_twice_the_half_width(curve: ArchCurve, s: float) -> None:
    right, left = place_along(curve, s), place_along(curve, -s)
    assert measure_chord(right.point, left.point) == pytest.approx(2 * right.x_mm)


@given(curves, along, along)
def test_no_point_of_the_crest_is_further_from_the_chord_than_the_sagitta(
    curve: ArchCurve, first: float, second: float
) -> None:
    a, b = place_along(curve, first).point, place_along(curve, second).point
    sagitta, length = measure_sagitta(curve, a, b), math.dist(a, b)
    for n in range(21):
        x, y = place_along(curve, first + (second - first) * n / 20).point
        off = abs((x - a[0]) * (b[1] - a[1]) - (y - a[1]) * (b[0] - a[0])) / length if length > 1e-6 else 0.0
        assert off <= sagitta + 1e-6


def test_a_right_angle_turns_by_ninety_degrees_and_a_straight_line_by_none() -> None:
    assert measure_turns([(1, 0), (0, 0), (-1, 0), (-1, 1)]) == pytest.approx((0, 90))


def test_a_turn_across_the_direction_where_angles_begin_again_is_still_small() -> None:
    assert measure_turns([(2, 0.1), (0, 0), (-2, 0.1)]) == pytest.approx((2 * math.degrees(math.atan(0.05)),))


def test_segments_follow_the_order_of_the_points() -> None:
    assert measure_chords([(0, 0), (3, 4), (3, 5)]) == (5, 1)


def test_the_spread_is_the_distance_of_the_farthest_inner_implant_from_the_line_through_the_ends() -> None:
    assert measure_spread([(10, 8), (5, 2), (-4, 1), (-10, 8)]) == 7


def test_two_implants_have_no_spread() -> None:
    assert measure_spread([(10, 8), (-10, 6)]) == 0


def test_four_lower_implants_in_the_usual_places_spread_within_what_is_published() -> None:
    """8.5 ± 1.5 in 74 jaws: Li et al. 2017, doi 10.3969/j.issn.1671-167X.2017.04.027 (abstract)."""
    points = [place_along(CURVES[Arch.MANDIBLE], s).point for s in (20.5, 7.5, -7.5, -20.5)]
    assert measure_spread(points) == pytest.approx(7.963, abs=0.001)
    assert abs(measure_spread(points) - 8.5) < 1.5
