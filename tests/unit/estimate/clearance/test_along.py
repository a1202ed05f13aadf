"""Room along the bar: attachments sit between implants, a length is the straight one, and its error is counted."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.estimate.clearance.along import AlongBar
from estimator.estimate.clearance.layers import Layer
from estimator.estimate.clearance.verdict import Clearance, Verdict
from estimator.inputs.case.model import Arch, BarCarries, Jaw, Site
from estimator.inputs.reference.layers import LayerKey, LayerState
from tests.builders import check_room, estimate_jaw, make_jaw

RIGHT_TO_LEFT = ("44", "43", "42", "32", "33", "34")


def make_bar(*positions: str, room: str | None = "14", arch: Arch = Arch.MANDIBLE, **more: Any) -> Jaw:
    """A bar of clips whose number nobody said, unless `more` says otherwise."""
    right = [p for p in positions if Decimal(p) >= 0]
    teeth = (*RIGHT_TO_LEFT[: len(right)], *RIGHT_TO_LEFT[3 : 3 + len(positions) - len(right)])
    if arch is Arch.MAXILLA:
        teeth = tuple(tooth.replace("4", "1", 1) if tooth[0] == "4" else f"2{tooth[1]}" for tooth in teeth)
    sites = tuple(
        Site(tooth=tooth, position_mm=Decimal(at), restorative_space_mm=Decimal(room) if room else None)
        for tooth, at in zip(teeth, positions, strict=True)
    )
    known = {"attachments_on_bar": None, "bar_carries": BarCarries.CLIP, "sites": sites, "arch": arch}
    return make_jaw(room or "14", implants=len(positions), **{**known, **more})


def make_chord(length: str, **more: Any) -> Jaw:
    """Two implants so far apart, straight."""
    half = Decimal(length) / 2
    jaw = make_bar("10", "-10", **more)
    sites = (("44", half), ("32", -half))
    return replace(
        jaw,
        sites=tuple(
            Site(tooth=tooth, x_mm=x, y_mm=Decimal(10), restorative_space_mm=Decimal(14)) for tooth, x in sites
        ),
    )


def check(jaw: Jaw) -> Clearance:
    return check_room(jaw, "connecting_bar")


def find_along(jaw: Jaw) -> AlongBar:
    along = check(jaw).along
    assert along is not None
    return along


def find_layer(jaw: Jaw) -> Layer:
    return next(layer for layer in check(jaw).layers if layer.key is LayerKey.ALONG)


def test_segments_are_the_straight_lengths_between_implants() -> None:
    """16 and 6.5 along the lower curve are 9.44 and 12.72 apart: the worked chords of the bar."""
    along = find_along(make_bar("16", "6.5", "-6.5", "-16"))
    assert [f"{s.length_mm}" for s in along.segments] == ["9.44", "12.72", "9.44"]


@pytest.mark.parametrize(("chord", "usual", "least", "state"), [
    ("12.8", 0.000, 0.286, LayerState.CLOSE), ("13.0", 0.002, 0.500, LayerState.CLOSE),
    ("14.3", 0.802, 1.000, LayerState.ROOM),
])  # fmt: skip
def test_a_tenth_of_a_millimetre_is_no_cliff(chord: str, usual: float, least: float, state: LayerState) -> None:
    """One attachment, implants in place: 13 least and 14 usual (derived from Shafie, Obeid p. 18)."""
    layer = find_layer(make_chord(chord, attachments_on_bar=1))
    assert layer.state is state
    assert [layer.chance_usual, layer.chance_least] == pytest.approx([usual, least], abs=6e-4)


@pytest.mark.parametrize(
    ("extension", "state", "least"), [("0", LayerState.NOT_ENOUGH, 0.0), ("12", LayerState.CLOSE, 0.555)]
)
def test_an_extension_holds_one_more(extension: str, state: LayerState, least: float) -> None:
    """Four clips on four lower implants have room only with extensions."""
    ends: dict[str, Any] = {f"bar_extension_{side}_mm": Decimal(extension) for side in ("right", "left")}
    layer = find_layer(make_bar("20.5", "7.5", "-7.5", "-20.5", attachments_on_bar=4, **ends))
    assert layer.state is state
    assert layer.chance_least == pytest.approx(least, abs=6e-4)


@pytest.mark.parametrize(("present", "usual", "least", "state"), [
    (True, 0.974, 1.000, LayerState.ROOM), (False, 0.697, 0.898, LayerState.CLOSE),
])  # fmt: skip
def test_implants_that_are_not_placed_yet_make_lengths_less_sure(
    present: bool, usual: float, least: float, state: LayerState
) -> None:
    layer = find_layer(make_bar("14", "-14", attachments_on_bar=2, implants_present=present))
    assert layer.state is state
    assert [layer.chance_usual, layer.chance_least] == pytest.approx([usual, least], abs=6e-4)


def test_three_of_four_planned_attachments_are_said_as_such_and_rule_the_bar_out() -> None:
    clearance = check(make_bar("30.5", "12", "-12", "-30.5", arch=Arch.MAXILLA, attachments_on_bar=4))
    assert (clearance.headline.key, clearance.verdict) == (LayerKey.ALONG, Verdict.DOES_NOT_FIT)
    assert "room for 3 of 4 attachments" in clearance.headline.text


def test_a_number_that_nobody_said_is_lowered_to_the_places_and_said() -> None:
    along = find_along(make_bar("30.5", "12", "-12", "-30.5", arch=Arch.MAXILLA))
    assert (along.attachments, along.lowered_from) == (3, 4)
    layer = find_layer(make_bar("30.5", "12", "-12", "-30.5", arch=Arch.MAXILLA))
    assert layer.state is LayerState.ROOM
    assert "3 are planned where 4 are usual" in layer.text


def test_a_lowered_number_is_priced_too() -> None:
    made = estimate_jaw(make_bar("30.5", "12", "-12", "-30.5", arch=Arch.MAXILLA))["connecting_bar"]
    line = next(line for line in made.fees.lines if "attachment" in line.label.lower())
    assert line.quantity == 3


def test_what_is_screwed_in_needs_less_than_a_clip() -> None:
    """Centres 11 against 14 apart, each further one 6 against 11 (memory, derived)."""
    places = {what: find_along(make_chord("17.6", bar_carries=what)).places for what in BarCarries}
    assert places == {BarCarries.CLIP: 1, BarCarries.SCREWED_IN: 2}


def test_segments_are_one_fewer_than_implants() -> None:
    assert find_along(make_bar("20", "6.5", "-6.5", "-20")).segment_count == 3


def test_four_implants_seven_or_eight_apart_leave_no_room_for_an_attachment() -> None:
    """Stated so in the facts of the trade (derived from 13 mm); height alone would let it in."""
    clearance = check(make_bar("11.25", "3.75", "-3.75", "-11.25"))
    assert (clearance.verdict, clearance.shortage_mm) == (Verdict.DOES_NOT_FIT, Decimal(0))
    assert clearance.headline.key is LayerKey.ALONG


def test_room_along_the_bar_rules_it_out_even_before_the_height_is_measured() -> None:
    assert check(make_bar("3.75", "-3.75", room=None)).verdict is Verdict.DOES_NOT_FIT


def test_a_shortage_of_height_is_named_before_one_along_the_bar() -> None:
    clearance = check(make_bar("3.75", "-3.75", room="7"))
    assert [layer.key for layer in (clearance.headline, *clearance.others)] == [LayerKey.HEIGHT, LayerKey.ALONG]


def test_a_position_that_is_not_known_leaves_the_bar_not_measured() -> None:
    jaw = make_bar("30.5", "12", "-12", "-30.5", arch=Arch.MAXILLA)
    first, *others = jaw.sites
    clearance = check(replace(jaw, sites=(replace(first, position_mm=None), *others)))
    assert clearance.along is not None
    assert (clearance.along.places, clearance.verdict) == (None, Verdict.NOT_MEASURED)
    assert clearance.headline.key is LayerKey.ALONG


def test_a_bar_without_attachments_needs_no_place_for_them() -> None:
    layer = find_layer(make_bar("3.75", "-3.75", attachments_on_bar=0))
    assert layer.state is LayerState.NOT_ASKED


def test_individual_attachments_have_nothing_along_a_bar() -> None:
    assert estimate_jaw(make_bar("3.75", "-3.75"))["individual_attachments"].clearance.along is None


@settings(max_examples=60, deadline=None)
@given(st.integers(20, 400), st.integers(0, 100), st.integers(1, 4))
def test_a_longer_segment_never_worsens_the_layer(tenths: int, more: int, attachments: int) -> None:
    def judge(length: int) -> tuple[float, float]:
        layer = find_layer(make_chord(f"{length / 10}", attachments_on_bar=attachments))
        assert layer.chance_usual is not None
        assert layer.chance_least is not None
        return layer.chance_usual, layer.chance_least

    now, after = judge(tenths), judge(tenths + more)
    assert after[0] >= now[0] - 1e-12
    assert after[1] >= now[1] - 1e-12
