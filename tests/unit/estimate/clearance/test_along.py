"""Room along the bar: attachments sit between implants, and a segment may be too short for one."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.estimate.clearance.along import AlongBar
from estimator.estimate.clearance.verdict import Clearance, Verdict
from estimator.inputs.case.model import Jaw, Site
from tests.builders import check_room, estimate_jaw, make_jaw

RIGHT_TO_LEFT = ("44", "43", "42", "32", "33", "34")


def make_bar(*positions: str, attachments: int | None = None, room: str | None = "14") -> Jaw:
    right = [p for p in positions if Decimal(p) >= 0]
    teeth = (*RIGHT_TO_LEFT[: len(right)], *RIGHT_TO_LEFT[3 : 3 + len(positions) - len(right)])
    sites = tuple(
        Site(tooth=tooth, position_mm=Decimal(at), restorative_space_mm=Decimal(room) if room else None)
        for tooth, at in zip(teeth, positions, strict=True)
    )
    jaw = make_jaw(room or "14", implants=len(positions), sites=sites)
    return jaw if attachments is None else replace(jaw, attachments_on_bar=attachments)


def check(jaw: Jaw) -> Clearance:
    return check_room(jaw, "connecting_bar")


def find_along(jaw: Jaw) -> AlongBar:
    along = check(jaw).along
    assert along is not None
    return along


@pytest.mark.parametrize(("apart", "places"), [("12.9", 0), ("13", 1), ("23.9", 1), ("24", 2), ("35", 3)])
def test_a_segment_holds_as_many_attachments_as_its_length_allows(apart: str, places: int) -> None:
    """One needs implants 13 to 15 apart (derived), two 24 to 26: Shafie, Obeid p. 18 (chapter)."""
    half = Decimal(apart) / 2
    assert find_along(make_bar(f"{half}", f"-{half}")).places == places


def test_segments_are_one_fewer_than_implants() -> None:
    along = find_along(make_bar("20", "6.5", "-6.5", "-20"))
    assert (along.segment_count, [s.length_mm for s in along.segments]) == (3, [Decimal("13.5"), 13, Decimal("13.5")])


def test_attachments_are_not_the_implants() -> None:
    assert find_along(make_bar("20", "6.5", "-6.5", "-20", attachments=2)).attachments == 2


def test_four_implants_seven_or_eight_apart_leave_no_room_for_an_attachment() -> None:
    """Stated so in the facts of the trade (derived from 13 mm); height alone would let it in."""
    clearance = check(make_bar("11.25", "3.75", "-3.75", "-11.25"))
    assert (clearance.verdict, clearance.shortage_mm, clearance.short_along) == (Verdict.DOES_NOT_FIT, Decimal(0), True)
    assert clearance.lacking_mm == Decimal("5.5")


def test_room_along_the_bar_rules_it_out_even_before_the_height_is_measured() -> None:
    assert check(make_bar("3.75", "-3.75", room=None)).verdict is Verdict.DOES_NOT_FIT


def test_a_shortage_of_height_is_named_before_one_along_the_bar() -> None:
    clearance = check(make_bar("3.75", "-3.75", room="7"))
    assert (clearance.short_along, clearance.lacking_mm) == (False, Decimal("1.25"))


def test_fewer_places_than_attachments_are_said_and_decide_nothing() -> None:
    """A five-implant bar had no room in 90 % of 30 lower jaws with a mean height of 13.69 mm: Bhargava 2016 (abstract)."""
    clearance = check(make_bar("20", "6.5", "-6.5", "-20"))
    assert clearance.verdict is Verdict.FITS
    assert any(c.key == "bar_places" and "3 of the 4" in c.text for c in clearance.cautions)


def test_a_position_that_is_not_known_leaves_the_room_along_the_bar_not_known() -> None:
    clearance = check(make_jaw("14"))
    assert clearance.along is not None
    assert (clearance.along.places, clearance.verdict) == (None, Verdict.FITS)
    assert "bar_places_not_known" in {c.key for c in clearance.cautions}


def test_a_bar_without_attachments_needs_no_place_for_them() -> None:
    assert check(make_bar("3.75", "-3.75", attachments=0)).verdict is Verdict.FITS


def test_individual_attachments_have_nothing_along_a_bar() -> None:
    assert estimate_jaw(make_bar("3.75", "-3.75"))["individual_attachments"].clearance.along is None


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 200), st.integers(0, 100))
def test_a_longer_segment_never_holds_fewer(tenths: int, more: int) -> None:
    def count(length: int) -> int:
        half = Decimal(length) / 20
        return find_along(make_bar(f"{half}", f"{-half}" if half else "0", attachments=2)).places or 0

    assert count(tenths + more) >= count(tenths)
