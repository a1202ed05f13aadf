"""What the plan shows and says: points of the curve, names of teeth, lengths between implants."""

import math
from itertools import pairwise
from typing import Any

import pytest

from estimator import files
from estimator.inputs.case.model import Arch
from estimator.inputs.case.teeth import ToothNumbers
from estimator.ui.case.plan_view import find_curve, list_plan_teeth, list_points, say_places

USUAL = files.load_usual_arches()[Arch.MANDIBLE]
CURVE = find_curve({}, USUAL)


def place(*sites: tuple[str, float | None]) -> list[dict[str, Any]]:
    return [{"tooth": tooth} | ({} if at is None else {"position_mm": at}) for tooth, at in sites]


def test_points_of_the_curve_are_half_a_millimetre_apart() -> None:
    points = list_points(CURVE)
    assert points[0][:2] == (0.0, 0.0)
    assert all(math.dist(a[:2], b[:2]) == pytest.approx(0.5, abs=0.002) for a, b in pairwise(points))


def test_a_measured_width_widens_the_curve() -> None:
    assert find_curve({"arch_form": {"width_mm": 60}}, USUAL).molar_mm == pytest.approx(30.0)


@pytest.mark.parametrize("width", ["wide", 4000, None, "NaN"])
def test_a_width_that_cannot_be_leaves_the_usual_curve(width: Any) -> None:
    assert find_curve({"arch_form": {"width_mm": width}}, USUAL) == CURVE


def test_teeth_have_the_names_that_the_practice_reads() -> None:
    teeth = list_plan_teeth(Arch.MANDIBLE, CURVE, USUAL, ToothNumbers.US)
    assert (teeth["44"]["name"], teeth["34"]["name"]) == ("28", "21")
    assert teeth["44"]["usual"] == pytest.approx(20.5)
    assert teeth["34"]["usual"] == pytest.approx(-20.5)


def test_a_distance_is_straight_from_implant_to_implant() -> None:
    """28 along the lower curve at 14 to either side is 25.69 straight."""
    assert "**Between implants** 25.7 mm" in say_places(place(("43", 14.0), ("33", -14.0)), CURVE, USUAL)


def test_no_length_counts_while_a_place_is_assumed() -> None:
    said = say_places(place(("43", 14.0), ("33", None)), CURVE, USUAL)
    assert "Between implants" not in said
    assert "**Place not given** at 33" in said


def test_lean_in_one_direction_alone_makes_no_angle() -> None:
    sites = place(("43", 14.0), ("33", -14.0))
    sites[0]["angle_md_deg"] = 12
    assert "apart in lean" not in say_places(sites, CURVE, USUAL)


def test_two_upright_implants_that_lean_distally_by_twelve_are_seven_apart_at_the_molars() -> None:
    sites = [one | {"angle_md_deg": 12, "angle_fl_deg": 0} for one in place(("46", 38.0), ("36", -38.0))]
    assert "**Most apart in lean** 46 and 36, 7.2°" in say_places(sites, CURVE, USUAL)
