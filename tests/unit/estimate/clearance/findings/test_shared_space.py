"""Two rooms that face each other against ridge to ridge: what cannot be is a contradiction in both jaws."""

from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.cli import main
from estimator.estimate.clearance.findings.shared_space import compare_shared_space, list_contradictions
from estimator.estimate.clearance.layers import Layer
from estimator.estimate.clearance.verdict import Clearance, Verdict, check_clearance
from estimator.inputs.case.model import Arch, Case, Jaw, Site
from estimator.inputs.reference.layers import LayerKey, LayerState
from tests.builders import CASTS, find_option, load_demo_practice, make_case, make_jaw

PRACTICE = load_demo_practice()
IMPOSSIBLE = """
reference = "T-1"
ridge_to_ridge_mm = 20
[[jaws]]
arch = "maxilla"
implants = 1
[jaws.measurement]
method = "mounted_casts"
landmark = "soft_tissue_crest"
set_up_accepted = true
[[jaws.sites]]
tooth = "13"
restorative_space_mm = 14
[[jaws]]
arch = "mandible"
implants = 1
[jaws.measurement]
method = "mounted_casts"
landmark = "soft_tissue_crest"
set_up_accepted = true
[[jaws.sites]]
tooth = "43"
restorative_space_mm = 14
"""


def make_one(arch: Arch, tooth: str, room: str, **more: Any) -> Jaw:
    site = Site(tooth=tooth, restorative_space_mm=Decimal(room))
    return make_jaw(room, arch=arch, implants=1, sites=(site,), **more)


def make_both(upper: str, lower: str, ridges: str, *, teeth: tuple[str, str] = ("13", "43"), **more: Any) -> Case:
    jaws = make_one(Arch.MAXILLA, teeth[0], upper, **more), make_one(Arch.MANDIBLE, teeth[1], lower, **more)
    return make_case(*jaws, ridge_to_ridge_mm=Decimal(ridges))


def check(case: Case, jaw: Jaw, option: str = "individual_attachments") -> Clearance:
    return check_clearance(case, jaw, find_option(option), PRACTICE)


def find_layer(clearance: Clearance) -> Layer:
    return next(layer for layer in clearance.layers if layer.key is LayerKey.SHARED_SPACE)


@pytest.mark.parametrize("option", [option.key for option in PRACTICE.options])
@pytest.mark.parametrize("number", [0, 1])
def test_14_and_14_mm_between_ridges_20_mm_apart_are_a_contradiction_of_each_option_in_both_jaws(
    option: str, number: int
) -> None:
    case = make_both("14", "14", "20")
    clearance = check(case, case.jaws[number], option)
    assert clearance.headline.key is LayerKey.SHARED_SPACE
    assert clearance.headline.state is LayerState.CONTRADICTION
    assert ("excess_mm", Decimal(8)) in clearance.headline.values
    assert "more than ridge to ridge" in clearance.headline.text
    assert clearance.verdict is Verdict.NOT_MEASURED


def test_rooms_that_agree_with_ridge_to_ridge_are_said_to() -> None:
    case = make_both("10", "10", "20")
    assert find_layer(check(case, case.jaws[0])).state is LayerState.ROOM


@pytest.mark.parametrize("case", [make_case(make_jaw("12"), ridge_to_ridge_mm=Decimal(20)), make_both("14", "14", "0")])
def test_one_jaw_or_no_distance_asks_for_nothing(case: Case) -> None:
    case = replace(case, ridge_to_ridge_mm=None) if len(case.jaws) > 1 else case
    assert find_layer(check(case, case.jaws[0])).state is LayerState.NOT_ASKED


def test_sites_far_apart_across_the_jaw_do_not_face_each_other() -> None:
    case = make_both("14", "14", "20", teeth=("13", "33"))
    assert find_layer(check(case, case.jaws[0])).state is LayerState.NOT_MEASURED
    assert compare_shared_space(case, PRACTICE.usual_arches, PRACTICE.evidence) is None


def test_two_distances_between_the_same_ridges_that_differ_by_more_than_their_error_are_a_contradiction() -> None:
    """2 √2 · 0.5 = 1.41."""
    for other, state in (("21.4", LayerState.ROOM), ("21.5", LayerState.CONTRADICTION)):
        case = make_both("10", "10", "20")
        upper = replace(case.jaws[0], ridge_to_ridge_mm=Decimal(other))
        assert find_layer(check(replace(case, jaws=(upper, case.jaws[1])), upper)).state is state


def test_incisors_measured_to_their_edges_may_overlap() -> None:
    """2.0 too much where 1.73 is explained: 1.5 more for edges in front, nothing further back or from the plane."""
    edges = replace(CASTS, to_incisal_edge=True)
    for teeth, measurement, state in (
        (("11", "41"), edges, LayerState.ROOM),
        (("11", "41"), CASTS, LayerState.CONTRADICTION),
        (("13", "43"), edges, LayerState.CONTRADICTION),
    ):
        case = make_both("11", "11", "20", teeth=teeth, measurement=measurement)
        assert find_layer(check(case, case.jaws[0])).state is state


def test_rooms_that_leave_millimetres_over_ask_whether_both_were_measured_to_one_plane() -> None:
    def list_keys(upper: str) -> set[str]:
        case = make_both(upper, "9", "20")
        return {caution.key for caution in check(case, case.jaws[0]).cautions}

    assert "rooms_fall_short" in list_keys("8")
    assert "rooms_fall_short" not in list_keys("11")


def test_what_the_page_asks_with_more_room_is_compared_too() -> None:
    """The jaw that is checked stands for the one of the case."""
    case = make_both("10", "10", "20")
    wider = make_one(Arch.MAXILLA, "13", "15")
    assert find_layer(check(case, wider)).state is LayerState.CONTRADICTION


@settings(max_examples=25, deadline=None)
@given(*[st.integers(50, 150).map(lambda n: Decimal(n) / 10)] * 2, st.integers(0, 30).map(lambda n: Decimal(n) / 10))
def test_more_distance_between_the_ridges_never_makes_a_contradiction(
    upper: Decimal, lower: Decimal, more: Decimal
) -> None:
    def contradicts(ridges: Decimal) -> bool:
        case = make_both(f"{upper}", f"{lower}", f"{ridges}")
        return bool(list_contradictions(case, PRACTICE.usual_arches, PRACTICE.evidence, file="case.toml"))

    assert contradicts(Decimal(20)) or not contradicts(20 + more)


@pytest.mark.parametrize("command", ["check", "estimate"])
def test_an_impossible_case_is_sent_back_with_file_field_and_all_lengths(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "case.toml"
    path.write_text(IMPOSSIBLE, encoding="utf-8")
    assert main([command, str(path)]) == 1
    told = capsys.readouterr()
    line = next(line for line in told.err.splitlines() if "ridge_to_ridge_mm" in line)
    assert line.startswith("case.toml, ridge_to_ridge_mm: got 20; expected at least as much as the upper room of 14 mm")
    assert "8 mm more" in line
    path.write_text(IMPOSSIBLE.replace("= 20", "= 28"), encoding="utf-8")
    assert main([command, str(path)]) == 0


def test_a_distance_that_stands_in_a_jaw_is_named_there() -> None:
    case = make_both("14", "14", "20")
    lower = replace(case.jaws[1], ridge_to_ridge_mm=Decimal("19.5"))
    problems = list_contradictions(
        replace(case, jaws=(case.jaws[0], lower)), PRACTICE.usual_arches, PRACTICE.evidence, file="case.toml"
    )
    assert [(p.code, p.path) for p in problems] == [("case.shared_space_rooms", ("jaws", 2, "ridge_to_ridge_mm"))]
