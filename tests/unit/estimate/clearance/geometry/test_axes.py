"""Axes in space: rows found by a second way, and what must hold for every set of axes."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize
from scipy.spatial.transform import Rotation
from scipy.stats import rice

from estimator import files
from estimator.estimate.clearance.chance.jaw import Floats
from estimator.estimate.clearance.geometry.axes import (
    bound_path_chance,
    find_angle,
    find_axis_lean,
    find_common_path,
    find_greatest_angle,
    make_axis,
)
from estimator.estimate.clearance.geometry.curve import place_along, shape_curve
from estimator.inputs.case.model import Arch
from tests.rows import Row, read_rows

ROWS = read_rows(__file__, "arch_axes.csv")
USUAL = files.load_usual_arches()
LIMIT = 10.0
GUIDED, FREEHAND_EDENTULOUS = 3.65 / 1.2533, 9.9 / 1.2533
lean = st.floats(-30, 30)


def build(along: float, mesiodistal: float, faciolingual: float, arch: Arch = Arch.MANDIBLE) -> Floats:
    heading = place_along(shape_curve(USUAL[arch]), along).heading_deg
    return make_axis(heading_deg=heading, right=along >= 0, mesiodistal_deg=mesiodistal, faciolingual_deg=faciolingual)


sets = st.lists(st.builds(build, st.floats(-40, 40), lean, lean), min_size=2, max_size=6)


def read_axes(row: Row) -> list[Floats]:
    columns = [row[key].split(";") for key in ("s_mm", "mesiodistal_lean_deg", "faciolingual_lean_deg")]
    return [build(float(s), float(md), float(fl), Arch(row["jaw"])) for s, md, fl in zip(*columns, strict=True)]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_greatest_pair_cone_and_lean_of_the_path_are_those_of_the_row(row: Row) -> None:
    axes = read_axes(row)
    path = find_common_path(axes)
    found = [find_greatest_angle(axes), path.cone_deg, find_axis_lean(path.axis)]
    expected = [float(row[column]) for column in ("greatest_pair_deg", "cone_deg", "path_lean_deg")]
    assert found == pytest.approx(expected, abs=float(row["tolerance_deg"]))


@pytest.mark.parametrize(
    ("error", "prefix"), [(GUIDED, "guided"), (FREEHAND_EDENTULOUS, "freehand_edentulous")], ids=str
)
@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_the_chance_of_a_path_has_the_bounds_of_the_row(row: Row, error: float, prefix: str) -> None:
    found = bound_path_chance(read_axes(row), error_deg=error, limit_deg=LIMIT)
    expected = [float(row[f"{prefix}_chance_{end}"]) for end in ("low", "high")]
    assert found == pytest.approx(expected, abs=float(row["tolerance_chance"]))


@given(st.floats(0, 40), st.floats(0.2, 12))
def test_a_pair_keeps_within_twice_the_limit_by_the_law_of_rice(apart: float, error: float) -> None:
    axes = [build(0, -apart / 2, 0), build(0, apart / 2, 0)]
    sd = error * math.sqrt(2)
    _, most = bound_path_chance(axes, error_deg=error, limit_deg=LIMIT)
    assert most == pytest.approx(rice.cdf(2 * LIMIT / sd, apart / sd), abs=1e-6)


def test_without_error_the_chance_is_whether_the_plan_has_a_path() -> None:
    for apart, chance in ((19.0, 1.0), (21.0, 0.0)):
        axes = [build(0, -apart / 2, 0), build(0, apart / 2, 0)]
        assert bound_path_chance(axes, error_deg=0, limit_deg=LIMIT) == (chance, chance)


def test_three_axes_each_twenty_apart_have_no_path_within_ten_of_all() -> None:
    half = math.asin(2 / math.sqrt(3) * math.sin(math.radians(10)))
    turns = [2 * math.pi * k / 3 for k in range(3)]
    axes = [np.array([math.sin(half) * math.cos(t), math.sin(half) * math.sin(t), math.cos(half)]) for t in turns]
    assert find_greatest_angle(axes) == pytest.approx(20)
    assert find_common_path(axes).cone_deg == pytest.approx(11.57, abs=0.005)


@given(sets)
def test_the_cone_lies_between_half_the_greatest_pair_and_that_of_three_alike(axes: list[Floats]) -> None:
    cone, pair = find_common_path(axes).cone_deg, find_greatest_angle(axes)
    assert pair / 2 - 1e-9 <= cone
    assert math.sin(math.radians(cone)) <= 2 / math.sqrt(3) * math.sin(math.radians(pair / 2)) + 1e-9


@given(sets, st.floats(-180, 180), st.floats(-180, 180))
def test_turning_all_axes_leaves_the_cone(axes: list[Floats], first: float, second: float) -> None:
    turned = list(Rotation.from_euler("xz", [first, second], degrees=True).apply(np.array(axes)))
    assert find_common_path(turned).cone_deg == pytest.approx(find_common_path(axes).cone_deg, abs=1e-6)


@given(sets, st.builds(build, st.floats(-40, 40), lean, lean))
def test_one_more_implant_never_narrows_the_cone(axes: list[Floats], more: Floats) -> None:
    assert find_common_path([*axes, more]).cone_deg >= find_common_path(axes).cone_deg - 1e-6


@given(st.builds(build, st.floats(-40, 40), lean, lean), st.integers(1, 6))
def test_equal_axes_are_their_own_path(axis: Floats, count: int) -> None:
    assert find_common_path([axis] * count).cone_deg == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_no_other_direction_holds_the_axes_in_a_narrower_cone(row: Row) -> None:
    axes = read_axes(row)

    def widen(slope: Floats) -> float:
        path = np.array([*slope, 1.0]) / math.hypot(*slope, 1.0)
        return max(find_angle(path, axis) for axis in axes)

    grid = [np.array([x, y]) for x in np.linspace(-0.6, 0.6, 41) for y in np.linspace(-0.6, 0.6, 41)]
    best = minimize(widen, min(grid, key=widen), method="Nelder-Mead", options={"xatol": 1e-8, "fatol": 1e-8})
    assert find_common_path(axes).cone_deg == pytest.approx(best.fun, abs=1e-3)
