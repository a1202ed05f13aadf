"""Abutment heights in the stack: a chosen collar stands for tissue and rise, and never costs a verdict."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.estimate.clearance.abutment_heights import find_rises, list_heights
from estimator.estimate.clearance.abutment_levels import Rises
from estimator.estimate.clearance.stack import Stack, add_stack
from estimator.estimate.clearance.verdict import Clearance, Verdict
from estimator.inputs.case.model import Jaw, Landmark, Measurement, Method, Site
from estimator.inputs.practice.settings import Settings
from tests.builders import CASTS, check_room, find_option, load_demo_practice, make_jaw, make_sites

INDIVIDUAL = find_option("individual_attachments")
SIX = tuple(Decimal(n) for n in range(1, 7))
ORDER = [Verdict.DOES_NOT_FIT, Verdict.TIGHT, Verdict.FITS]


def check(jaw: Jaw, option: str = "individual_attachments") -> Clearance:
    return check_room(jaw, option)


def make_two(first: tuple[str, str], second: tuple[str, str], **more: object) -> Jaw:
    sites = tuple(
        Site(tooth=tooth, restorative_space_mm=Decimal(room), tissue_mm=Decimal(tissue))
        for tooth, (room, tissue) in zip(("43", "33"), (first, second), strict=True)
    )
    return replace(make_jaw("13", implants=2, sites=sites), **more)  # type: ignore[arg-type]


class TestHeights:
    def test_without_a_list_they_are_one_to_six(self) -> None:
        """Collars of 1 to 6 mm in about six heights (practice)."""
        assert list_heights(make_jaw(), load_demo_practice()) == SIX

    def test_a_practice_lists_its_own(self) -> None:
        practice = replace(load_demo_practice(), settings=Settings(abutment_heights_mm=(Decimal(2), Decimal(4))))
        assert list_heights(make_jaw(), practice) == (Decimal(2), Decimal(4))

    def test_a_case_lists_its_own_before_the_practice(self) -> None:
        practice = replace(load_demo_practice(), settings=Settings(abutment_heights_mm=(Decimal(2), Decimal(4))))
        assert list_heights(make_jaw(abutment_heights_mm=(Decimal(3),)), practice) == (Decimal(3),)


class TestStack:
    def test_a_collar_stands_for_the_part_of_the_option(self) -> None:
        """2.25 + 2 + 3 usual, 2.25 + 2 + 1 least, 2.5 + 2 + 4 most, besides the collar."""
        collar = Stack(least_mm=Decimal("1.5"), usual_mm=Decimal("1.5"), most_mm=Decimal("1.5"))
        stack = add_stack(INDIVIDUAL, collar)
        assert (stack.least_mm, stack.usual_mm, stack.most_mm) == (Decimal("6.75"), Decimal("8.75"), Decimal("10.0"))

    def test_tissue_between_two_heights_takes_the_one_that_stands_less_than_usual_and_says_so(self) -> None:
        """Over 2.4 of tissue 4 stands 1.6 proud, which is too much, and 3 stands 0.6 instead of 1."""
        clearance = check(make_two(("12", "2.4"), ("12", "2.4")))
        assert [s.collar_mm for s in clearance.sites] == [3, 3]
        assert clearance.required_mm == Decimal("7.85")
        assert any(c.key == "low_collar" and "43 (0.60 mm), 33 (0.60 mm)" in c.text for c in clearance.cautions)

    def test_the_least_stack_counts_the_lowest_height_that_may_be_used(self) -> None:
        """Two and a half over a tissue of 1.5, and not 2, which would be the least that a denture needs elsewhere."""
        heights = (Decimal("2.5"), Decimal(3))
        clearance = check(make_two(("12", "1.5"), ("12.5", "1.5"), abutment_heights_mm=heights))
        assert [s.collar_mm for s in clearance.sites] == [Decimal("2.5"), 3]
        assert [s.stack.least_mm for s in clearance.sites] == [Decimal("6.25"), Decimal("6.25")]
        assert [s.stack.usual_mm for s in clearance.sites] == [Decimal("8.25"), Decimal("8.75")]

    def test_a_bar_takes_no_collar(self) -> None:
        clearance = check(make_two(("12", "2.4"), ("12", "2.4")), "connecting_bar")
        assert (clearance.levels, clearance.sites[0].collar_mm, clearance.required_mm) == (None, None, Decimal("10.75"))

    def test_without_measured_tissue_the_rise_of_the_option_counts(self) -> None:
        clearance = check(make_jaw("12"))
        assert (clearance.sites[0].collar_mm, clearance.required_mm) == (None, Decimal("8.25"))

    def test_a_platform_under_the_bone_takes_a_higher_collar(self) -> None:
        site = Site(
            tooth="33", restorative_space_mm=Decimal(12), tissue_mm=Decimal(2), platform_below_crest_mm=Decimal(1)
        )
        clearance = check(make_jaw(implants=1, sites=(site,), measurement=CASTS))
        assert clearance.sites[0].collar_mm == 4

    def test_with_a_collar_the_tissue_no_longer_blurs_a_space_from_the_platform(self) -> None:
        """The collar stands on the platform, so what is measured from there needs no tissue taken off."""
        measurement = Measurement(method=Method.MOUNTED_CASTS, landmark=Landmark.PLATFORM, set_up_accepted=True)
        clearance = check(make_two(("14", "2"), ("14", "2"), measurement=measurement))
        assert clearance.sites[0].own_sd_mm == 0
        assert check(make_two(("14", "2"), ("14", "2"), measurement=measurement), "connecting_bar").sites[
            0
        ].own_sd_mm == pytest.approx(0.25)

    def test_with_a_collar_the_tissue_blurs_a_space_from_the_tissue(self) -> None:
        assert check(make_two(("12", "2"), ("12", "2"))).sites[0].own_sd_mm == pytest.approx(0.25)


class TestLevels:
    def test_the_demo_levels_its_four_attachments(self) -> None:
        sites = make_sites(["12", "13.25", "12.75", "11.5"], tissue_mm=Decimal(2))
        clearance = check(make_jaw("12", sites=sites))
        assert clearance.levels is not None
        assert [s.collar_mm for s in clearance.sites] == [3, 3, 3, 3]
        assert clearance.levels.difference_mm == Decimal("1.75")

    def test_half_millimetre_heights_level_the_demo_by_as_much_as_they_may_rise(self) -> None:
        sites = make_sites(["12", "13.25", "12.75", "11.5"], tissue_mm=Decimal(2))
        halves = tuple(Decimal(n) / 2 for n in range(2, 13))
        clearance = check(make_jaw("12", sites=sites, abutment_heights_mm=halves))
        assert clearance.levels is not None
        assert [s.collar_mm for s in clearance.sites] == [3, Decimal("3.5"), 3, 3]
        assert clearance.levels.difference_mm == Decimal("1.25")
        assert any(c.key == "levels_or_room" and "1.75 mm apart" in c.text for c in clearance.cautions)

    def test_levels_that_would_cost_the_verdict_are_said_and_not_counted(self) -> None:
        """Levelling 33 with the only higher collar, 3.5, would leave too little chance of the usual stack."""
        heights = (Decimal(3), Decimal("3.5"))
        jaw = make_two(("8.8", "2"), ("9.3", "2"), abutment_heights_mm=heights)
        clearance = check(jaw)
        assert clearance.levels is not None
        assert [c.height_mm for c in clearance.levels.chosen] == [3, Decimal("3.5")]
        assert [s.collar_mm for s in clearance.sites] == [3, 3]
        assert clearance.verdict is Verdict.FITS
        assert "levels_cost_room" in {c.key for c in clearance.cautions}

    def test_a_site_that_no_height_serves_is_said(self) -> None:
        clearance = check(make_two(("12", "2"), ("12", "5.75")))
        said = "0.5 to 1.5 mm above the tissue: 33 (tissue too thick for the tallest)"
        assert any(c.key == "no_height_serves" and said in c.text for c in clearance.cautions)
        assert [s.collar_mm for s in clearance.sites] == [3, None]

    def test_parts_of_the_practice_may_stand_higher_than_the_sources_say(self) -> None:
        """A practice whose own collars stand 2 mm above the tissue gets them chosen."""
        own = replace(
            load_demo_practice().evidence.get("collar_rise"), low=Decimal(2), value=Decimal(2), high=Decimal(2)
        )
        stack = tuple(replace(part, figure=own) if part is INDIVIDUAL.collar else part for part in INDIVIDUAL.stack)
        rises = find_rises(replace(INDIVIDUAL, stack=stack), load_demo_practice().evidence)
        assert rises == Rises(floor_mm=Decimal("0.5"), usual_mm=Decimal(2), ceiling_mm=Decimal(2))

    def test_an_option_without_a_collar_has_no_rises(self) -> None:
        with pytest.raises(ValueError, match="'option' must have a collar"):
            find_rises(find_option("connecting_bar"), load_demo_practice().evidence)

    def test_the_difference_left_is_said(self) -> None:
        clearance = check(make_two(("12", "2"), ("12.4", "2")))
        assert any(c.key == "levels_differ" and "0.40 mm" in c.text for c in clearance.cautions)


quarters = st.integers(min_value=0, max_value=80).map(lambda n: Decimal(n) / 4)
thick = st.integers(min_value=0, max_value=24).map(lambda n: Decimal(n) / 4)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(quarters, thick), min_size=2, max_size=4), st.integers(0, 3), quarters)
def test_more_room_at_one_site_never_worsens_the_verdict(
    sites: list[tuple[Decimal, Decimal]], which: int, more: Decimal
) -> None:
    def judge(change: Decimal) -> Verdict:
        made = tuple(
            Site(
                tooth=str(41 + i),
                restorative_space_mm=min(Decimal(40), room + (change if i == place else 0)),
                tissue_mm=t,
            )
            for i, (room, t) in enumerate(sites)
        )
        return check(make_jaw("12", implants=len(sites), sites=made)).verdict

    place = which % len(sites)
    assert ORDER.index(judge(more)) >= ORDER.index(judge(Decimal(0)))
