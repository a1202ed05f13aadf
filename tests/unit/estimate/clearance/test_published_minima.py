"""Published minima beside the room: converted, counted, never averaged."""

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.estimate.clearance.published_minima import Opinion, count_met
from estimator.inputs.case.model import Arch, Jaw, Landmark, Measurement, Method
from tests.builders import CASTS, estimate_jaw, load_demo_practice, make_jaw, make_sites


def read(jaw: Jaw, option: str = "connecting_bar") -> dict[str, Opinion]:
    return {o.minimum.key: o for o in estimate_jaw(jaw)[option].clearance.opinions}


def make_lower(room: str, tissue: str = "2", **more: object) -> Jaw:
    return replace(make_jaw(room, sites=make_sites([room] * 4, tissue_mm=Decimal(tissue))), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(("key", "low", "high"), [
    ("muller_bar", "9", "9"), ("carpentieri_bar", "9", "11"), ("haggerty_bar", "10", "13"),
    ("phillips_wong", "11", "12"), ("review_clip", "12", "14"), ("review_ball", "14", "16"), ("block_bar", "10", "12"),
])  # fmt: skip
def test_a_minimum_for_a_bar_reads_from_the_soft_tissue_with_two_millimetres_taken_off(
    key: str, low: str, high: str
) -> None:
    """Sources and how sure: data/minima.csv. 11 from the bone is 9 from the tissue; 11 from nowhere is 9 to 11."""
    opinion = read(make_lower("11.5"))[key]
    assert (opinion.low_mm, opinion.high_mm) == (Decimal(low), Decimal(high))


@pytest.mark.parametrize(("room", "key", "met"), [
    ("10", "haggerty_bar", True), ("9.99", "haggerty_bar", False),
    ("10.99", "carpentieri_bar", False), ("11", "carpentieri_bar", True),
])  # fmt: skip
def test_a_known_landmark_counts_by_its_low_value_an_unknown_one_by_the_stricter_reading(
    room: str, key: str, met: bool
) -> None:
    assert read(make_lower(room))[key].met is met


def test_a_deeper_platform_takes_more_off() -> None:
    site = replace(make_sites(["11.5"], tissue_mm=Decimal(2))[0], platform_below_crest_mm=Decimal(1))
    opinions = read(make_jaw("11.5", implants=2, sites=(site,)))
    assert (opinions["haggerty_bar"].low_mm, opinions["muller_bar"].low_mm) == (Decimal(9), Decimal(9))


def test_how_many_are_met_is_counted() -> None:
    opinions = estimate_jaw(make_lower("11.5"))["connecting_bar"].clearance.opinions
    assert count_met(opinions) == (5, 8)


def test_without_a_room_nothing_is_met_or_missed() -> None:
    opinions = estimate_jaw(make_jaw())["connecting_bar"].clearance.opinions
    assert {o.met for o in opinions} == {None}
    assert count_met(opinions) is None


def test_a_minimum_of_the_upper_jaw_is_not_read_in_a_lower_one() -> None:
    """13 for any upper overdenture: Muller, Salinas 2022 (chapter)."""
    upper = make_jaw("11.5", arch=Arch.MAXILLA)
    assert "muller_upper" in read(upper)
    assert "muller_upper" not in read(make_lower("11.5"))
    assert "muller_upper" in read(upper, "individual_attachments")


def test_a_room_from_the_platform_is_compared_as_the_same_room() -> None:
    platform = Measurement(method=Method.MOUNTED_CASTS, landmark=Landmark.PLATFORM, set_up_accepted=True)
    from_platform = read(make_lower("13.5", measurement=platform))
    assert {k: o.met for k, o in from_platform.items()} == {k: o.met for k, o in read(make_lower("11.5")).items()}


def test_every_minimum_is_read_by_some_option_in_some_jaw() -> None:
    jaws = [make_jaw("12"), make_jaw("12", arch=Arch.MAXILLA)]
    keys = {o.minimum.key for jaw in jaws for e in estimate_jaw(jaw).values() for o in e.clearance.opinions}
    assert keys == {m.key for m in load_demo_practice().minima}


def test_the_casts_of_the_builders_read_from_the_soft_tissue() -> None:
    """The numbers above rest on it."""
    assert CASTS.landmark is Landmark.SOFT_TISSUE_CREST
