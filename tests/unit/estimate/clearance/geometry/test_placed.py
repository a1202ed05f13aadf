"""Implants on the curve of the crest: what is assumed is said, and leans are axes in space."""

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.estimate.clearance.snapshot import clearance_to_dict
from estimator.estimate.clearance.verdict import Clearance, Verdict
from estimator.inputs.case.model import Arch, Jaw, Site
from estimator.inputs.reference.layers import LayerKey, LayerState
from tests.builders import check_room, make_jaw

Lean = tuple[str, str | None, str | None, str | None]


def make_leaning(*leans: Lean, arch: Arch = Arch.MANDIBLE) -> Jaw:
    """Tooth, position, distal and facial lean of each implant."""
    sites = tuple(
        Site(
            tooth=tooth,
            restorative_space_mm=Decimal(18),
            position_mm=None if at is None else Decimal(at),
            angle_md_deg=None if distal is None else Decimal(distal),
            angle_fl_deg=None if facial is None else Decimal(facial),
        )
        for tooth, at, distal, facial in leans
    )
    return make_jaw("18", implants=len(sites), arch=arch, sites=sites)


def check(jaw: Jaw) -> Clearance:
    return check_room(jaw, "individual_attachments")


def find_state(clearance: Clearance) -> LayerState:
    return next(layer.state for layer in clearance.layers if layer.key is LayerKey.PATH)


def find_cone(clearance: Clearance) -> float:
    assert clearance.placed.path is not None
    return clearance.placed.path.cone_deg


def test_upper_second_premolars_that_lean_16_facially_are_30_apart_and_not_parallel() -> None:
    clearance = check(make_leaning(("15", None, "0", "16"), ("25", None, "0", "16"), arch=Arch.MAXILLA))
    assert clearance.placed.list_angles()[0][2] == pytest.approx(30.23, abs=0.01)
    assert find_cone(clearance) == pytest.approx(15.11, abs=0.01)
    assert find_state(clearance) is LayerState.CLOSE


def test_lower_first_molars_that_lean_12_distally_are_7_apart() -> None:
    clearance = check(make_leaning(("46", "38", "12", "0"), ("36", "-38", "12", "0")))
    assert clearance.placed.list_angles()[0][2] == pytest.approx(7.2339, abs=0.001)
    assert find_state(clearance) is LayerState.ROOM


def test_axes_that_no_parts_take_rule_attachments_on_implants_out_by_name() -> None:
    clearance = check(make_leaning(("43", "14", "30", "0"), ("33", "-14", "30", "0")))
    assert (clearance.verdict, clearance.headline.key) == (Verdict.DOES_NOT_FIT, LayerKey.PATH)


def test_a_lean_of_which_one_direction_is_missing_leaves_the_path_open() -> None:
    clearance = check(make_leaning(("43", "14", "5", None), ("33", "-14", "5", "0")))
    assert (find_state(clearance), clearance.verdict) == (LayerState.NOT_MEASURED, Verdict.FITS)


def test_a_cone_too_wide_stands_whatever_the_missing_lean_is() -> None:
    leans: tuple[Lean, ...] = (("43", "14", "30", "0"), ("33", "-14", "30", "0"), ("32", "-6", None, None))
    assert find_state(check(make_leaning(*leans))) is LayerState.NOT_ENOUGH


def test_a_bar_is_not_asked_for_a_common_path() -> None:
    jaw = make_leaning(("43", "14", "25", "0"), ("33", "-14", "25", "0"))
    assert find_state(check_room(jaw, "connecting_bar")) is LayerState.NOT_ASKED


def test_both_sides_of_a_mirrored_jaw_agree() -> None:
    jaw = make_leaning(("43", "14", "3", "9"), ("32", "-7", "8", "-4"))
    mirrored = make_leaning(("42", "7", "8", "-4"), ("33", "-14", "3", "9"))
    assert find_cone(check(jaw)) == pytest.approx(find_cone(check(mirrored)), abs=1e-9)


def test_a_position_that_was_not_given_is_assumed_and_named_and_gives_no_length() -> None:
    jaw = make_leaning(("43", None, None, None), ("33", "-14", None, None))
    told = clearance_to_dict(check(jaw))["geometry"]
    assert (told["assumed"], told["spread_mm"], told["common_path_deg"]) == (["43"], None, None)


def test_the_spread_is_told_by_centres() -> None:
    """Lower s ± 20.5, ± 7.5: 7.96 mm."""
    leans: tuple[Lean, ...] = tuple(
        (tooth, at, None, None) for tooth, at in (("44", "20.5"), ("42", "7.5"), ("32", "-7.5"), ("34", "-20.5"))
    )
    assert clearance_to_dict(check(make_leaning(*leans)))["geometry"]["spread_mm"] == 7.96


def test_angles_are_told_with_three_decimals() -> None:
    jaw = make_leaning(("46", "38", "12", "0"), ("36", "-38", "12", "0"))
    assert clearance_to_dict(check(jaw))["geometry"]["angles_deg"] == [["46", "36", 7.234]]


def test_an_implant_without_a_usual_place_is_left_out() -> None:
    jaw = make_leaning(("48", None, None, None), ("33", "-14", None, None))
    assert [one.tooth for one in check(replace(jaw, earlier=None)).placed.implants] == ["33"]
