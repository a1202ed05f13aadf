"""Abutment heights: the optimum against every choice there is, how the work grows, and what is left out."""

import math
import random
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from itertools import product
from typing import Any, ClassVar

import pytest

from estimator.estimate.clearance.abutment_levels import (
    Levels,
    LevelSite,
    NoHeight,
    Rises,
    choose_heights,
    list_level_sites,
)
from estimator.inputs.case.model import Jaw, Landmark, Measurement, Method, Site
from tests.builders import make_jaw
from tests.rows import Row, read_rows

SIX = tuple(Decimal(n) for n in range(1, 7))
HALVES = tuple(Decimal(n) / 2 for n in range(2, 13))
RISES = Rises(floor_mm=Decimal("0.5"), usual_mm=Decimal(1), ceiling_mm=Decimal("1.5"))
WIDE = Rises(floor_mm=Decimal("0.5"), usual_mm=Decimal(1), ceiling_mm=Decimal(100))
Choice = tuple[Decimal, ...]


def _site(tooth: str, space: str | None, tissue: str | None) -> LevelSite:
    return LevelSite(
        tooth=tooth,
        space_mm=None if space is None else Decimal(space),
        tissue_mm=None if tissue is None else Decimal(tissue),
    )


def _choose(*sites: LevelSite, heights: tuple[Decimal, ...] = SIX, rises: Rises = RISES) -> Levels:
    return choose_heights(sites, heights, rises)


def _heights(levels: Levels) -> dict[str, Decimal]:
    return {choice.tooth: choice.height_mm for choice in levels.chosen}


def _draw_jaws(count: int) -> Iterator[tuple[tuple[LevelSite, ...], Choice]]:
    """Jaws of up to four sites and nine heights, on a coarse grid so that ties are common."""
    draw = random.Random(20261125)  # noqa: S311  a seeded test, no secret
    for _ in range(count):
        heights = tuple(Decimal(n) / 2 for n in draw.sample(range(1, 15), draw.randint(1, 9)))
        sites = tuple(
            _site(str(31 + n), str(Decimal(draw.randint(20, 26)) / 2), str(Decimal(draw.randint(0, 20)) / 4))
            for n in range(draw.randint(1, 4))
        )
        yield sites, heights


def _list_usable(tissue: Decimal, heights: Choice, rises: Rises) -> list[Decimal]:
    """The rule as it is written: 1.0 to 1.5 above the tissue, else 0.5 to under 1.0."""
    usual = [h for h in heights if rises.usual_mm <= h - tissue <= rises.ceiling_mm]
    return usual or [h for h in heights if rises.floor_mm <= h - tissue < rises.usual_mm]


def _try_all(sites: tuple[LevelSite, ...], heights: Choice, rises: Rises) -> tuple[Choice, Decimal | None]:
    """The best choice by trying every one: least difference, then least sum, then the lower collar first."""
    served: list[tuple[Decimal, list[Decimal]]] = []
    for site in sites:
        assert site.space_mm is not None
        assert site.tissue_mm is not None
        serving = _list_usable(site.tissue_mm, heights, rises)
        if serving:
            served.append((site.space_mm, serving))
    if not served:
        return (), None

    def rate(choice: Choice) -> tuple[Decimal, Decimal, Choice]:
        levels = [space - height for (space, _), height in zip(served, choice, strict=True)]
        return max(levels) - min(levels), sum(choice, Decimal(0)), choice

    difference, _, best = min(rate(choice) for choice in product(*(serving for _, serving in served)))
    return best, difference


@pytest.mark.parametrize("rises", [RISES, WIDE], ids=["as the sources say", "without a ceiling"])
def test_heights_are_the_best_of_every_choice_in_2000_random_jaws(rises: Rises) -> None:
    for sites, heights in _draw_jaws(2000):
        found = choose_heights(sites, heights, rises)
        choice = tuple(c.height_mm for c in found.chosen)
        assert (choice, found.difference_mm) == _try_all(sites, heights, rises), (sites, heights)


def test_the_random_jaws_hold_ties_choices_low_collars_and_sites_that_no_height_serves() -> None:
    """Else the comparison with every choice would prove less than it says."""
    found = [(heights, choose_heights(sites, heights, RISES)) for sites, heights in _draw_jaws(2000)]
    tied = [levels for heights, levels in found if len(levels.chosen) > 1 and levels.difference_mm == 0]
    low = [levels for _, levels in found if any(choice.low_rise for choice in levels.chosen)]
    raised = [levels for _, levels in found if levels.raised]
    whys = {site.why for _, levels in found for site in levels.unserved_sites}
    assert min(len(tied), len(low), len(raised)) > 40
    assert whys == set(NoHeight)


def test_the_order_of_the_heights_does_not_matter() -> None:
    for sites, heights in _draw_jaws(200):
        assert choose_heights(sites, heights, RISES) == choose_heights(sites, heights[::-1], RISES)


def test_no_collar_is_chosen_that_is_not_listed_or_stands_outside_the_sources() -> None:
    for sites, heights in _draw_jaws(500):
        levels = choose_heights(sites, heights, RISES)
        for choice in (*levels.chosen, *levels.lowest):
            assert choice.height_mm in heights
            assert Decimal("0.5") <= choice.above_tissue_mm <= Decimal("1.5")
            assert choice.low_rise == (choice.above_tissue_mm < 1)


def test_the_most_level_choice_is_never_less_level_than_the_lowest_heights() -> None:
    for sites, heights in _draw_jaws(500):
        levels = choose_heights(sites, heights, RISES)
        if levels.difference_mm is not None and levels.lowest_difference_mm is not None:
            assert levels.difference_mm <= levels.lowest_difference_mm
            assert bool(levels.raised) == (levels.difference_mm < levels.lowest_difference_mm)


def _split(cell: str) -> dict[str, str]:
    return dict(part.split(":") for part in cell.split(";")) if cell else {}


@pytest.mark.parametrize("row", read_rows(__file__, "arch_abutments.csv"), ids=lambda row: row["id"])
class TestRow:
    WHYS: ClassVar = {
        "tissue too thick for the tallest": NoHeight.TOO_THICK,
        "tissue too thin for the lowest": NoHeight.TOO_THIN,
        "between two heights": NoHeight.BETWEEN,
    }

    def _choose(self, row: Row) -> Levels:
        cells = _split(row["site_space_from_platform_mm_and_depth_mm"]).items()
        sites = tuple(_site(tooth, *cell.split("/")) for tooth, cell in cells)
        return choose_heights(sites, tuple(Decimal(h) for h in row["heights_mm"].split(";")), RISES)

    def test_chosen_heights_are_found(self, row: Row) -> None:
        assert _heights(self._choose(row)) == {tooth: Decimal(mm) for tooth, mm in _split(row["chosen_mm"]).items()}

    def test_each_stands_so_far_above_the_tissue(self, row: Row) -> None:
        found = {choice.tooth: choice.above_tissue_mm for choice in self._choose(row).chosen}
        assert found == {tooth: Decimal(mm) for tooth, mm in _split(row["above_tissue_mm"]).items()}

    def test_collars_that_stand_low_are_named(self, row: Row) -> None:
        low = [choice.tooth for choice in self._choose(row).chosen if choice.low_rise]
        assert low == ([row["under_1_mm_above"]] if row["under_1_mm_above"] else [])

    def test_attachments_lie_so_far_apart(self, row: Row) -> None:
        expected = Decimal(row["level_difference_mm"]) if row["level_difference_mm"] else None
        assert self._choose(row).difference_mm == expected

    def test_sites_that_no_height_serves_are_named_with_the_reason(self, row: Row) -> None:
        found = {site.tooth: site.why for site in self._choose(row).unserved_sites}
        assert found == {tooth: self.WHYS[why.strip()] for tooth, why in _split(row["unserved"]).items()}


class Counted(Decimal):
    """A length that counts how often it is compared."""

    compared = 0

    def __sub__(self, other: object) -> "Counted":
        return Counted(Decimal(self) - Decimal(str(other)))

    def __lt__(self, other: Any) -> bool:
        Counted.compared += 1
        return bool(Decimal(self) < other)

    def __gt__(self, other: Any) -> bool:
        Counted.compared += 1
        return bool(Decimal(self) > other)

    def __ge__(self, other: Any) -> bool:
        Counted.compared += 1
        return bool(Decimal(self) >= other)

    def __le__(self, other: Any) -> bool:
        Counted.compared += 1
        return bool(Decimal(self) <= other)

    def __eq__(self, other: object) -> bool:
        Counted.compared += 1
        return Decimal(self) == other

    def __hash__(self) -> int:
        return hash(Decimal(self))


def _count_comparisons(sites: int, heights: int) -> int:
    draw = random.Random(sites * 1000 + heights)  # noqa: S311  a seeded test, no secret
    jaw = tuple(_site(str(n), str(Decimal(draw.randint(1000, 2000)) / 100), "0.5") for n in range(sites))
    Counted.compared = 0
    choose_heights(jaw, tuple(Counted(Decimal(n) / 10 + 2) for n in range(heights)), WIDE)
    return Counted.compared


@pytest.mark.parametrize("sites", [2, 8, 32, 128])
@pytest.mark.parametrize("heights", [6, 24, 96])
def test_the_work_grows_as_sites_times_heights_but_for_a_logarithm(sites: int, heights: int) -> None:
    """Counted in comparisons of lengths, so the test does not depend on the machine."""
    steps = sites * heights * (math.log2(sites) + 1) + heights * math.log2(heights)
    assert sites * heights <= _count_comparisons(sites, heights) <= 8 * steps


class TestChoice:
    def test_equal_sites_get_the_least_height_that_clears_the_tissue(self) -> None:
        found = _choose(_site("33", "12", "2"), _site("43", "12", "2"))
        assert (_heights(found), found.difference_mm) == ({"33": Decimal(3), "43": Decimal(3)}, Decimal(0))

    def test_a_deeper_implant_gets_a_collar_higher_by_as_much(self) -> None:
        found = _choose(_site("33", "12", "2"), _site("43", "14", "4"))
        assert (_heights(found), found.difference_mm) == ({"33": Decimal(3), "43": Decimal(5)}, Decimal(0))

    def test_no_taller_collar_is_chosen_to_level_what_the_ridge_does_not(self) -> None:
        found = _choose(_site("33", "12", "2"), _site("43", "14", "2"))
        assert (_heights(found), found.difference_mm) == ({"33": Decimal(3), "43": Decimal(3)}, Decimal(2))

    def test_what_level_takes_and_what_it_gains_is_known(self) -> None:
        found = _choose(_site("33", "12", "2"), _site("43", "12.5", "2"), heights=HALVES)
        assert (found.raised, found.difference_mm) == ((("43", Decimal("0.5")),), Decimal(0))
        assert found.lowest_difference_mm == Decimal("0.5")

    def test_what_no_height_levels_is_the_difference_left(self) -> None:
        found = _choose(_site("33", "12", "2"), _site("43", "12.4", "2"))
        assert (_heights(found), found.difference_mm) == ({"33": Decimal(3), "43": Decimal(3)}, Decimal("0.4"))

    def test_each_choice_says_rise_and_level(self) -> None:
        [choice] = _choose(_site("33", "12", "1.5")).chosen
        assert (choice.height_mm, choice.above_tissue_mm, choice.level_mm) == (Decimal(3), Decimal("1.5"), Decimal(9))

    def test_a_collar_that_stands_exactly_the_rise_above_the_tissue_serves(self) -> None:
        assert _heights(_choose(_site("33", "12", "1.00"))) == {"33": Decimal(2)}

    def test_a_hundredth_more_tissue_needs_the_next_height(self) -> None:
        assert _heights(_choose(_site("33", "12", "1.01"), heights=HALVES)) == {"33": Decimal("2.5")}

    def test_a_lower_rise_serves_only_where_no_usual_one_does(self) -> None:
        [choice] = _choose(_site("33", "12", "2.25")).chosen
        assert (choice.height_mm, choice.above_tissue_mm, choice.low_rise) == (Decimal(3), Decimal("0.75"), True)
        assert not _choose(_site("33", "12", "2.25"), heights=HALVES).chosen[0].low_rise

    def test_choices_stand_in_the_order_of_the_sites(self) -> None:
        found = _choose(_site("44", "12", "2"), _site("34", "11", "2"), _site("42", "13", "2"))
        assert [choice.tooth for choice in found.chosen] == ["44", "34", "42"]

    def test_a_height_listed_twice_changes_nothing(self) -> None:
        sites = (_site("33", "12", "2"), _site("43", "13.4", "2"))
        assert _choose(*sites, heights=SIX + SIX) == _choose(*sites)


class TestLeftOut:
    def test_a_site_that_no_height_serves_is_named(self) -> None:
        assert _choose(_site("33", "12", "2"), _site("43", "12", "5.51")).unserved == ("43",)

    def test_a_site_that_no_height_serves_does_not_disturb_the_others(self) -> None:
        alone = _choose(_site("33", "12", "2"), _site("34", "13", "2"))
        beside = _choose(_site("33", "12", "2"), _site("43", "2", "5.75"), _site("34", "13", "2"))
        assert (beside.chosen, beside.difference_mm) == (alone.chosen, alone.difference_mm)

    @pytest.mark.parametrize(("space", "tissue"), [(None, "2"), ("12", None), (None, None)])
    def test_a_site_that_is_not_measured_is_named_as_not_known(self, space: str | None, tissue: str | None) -> None:
        found = _choose(_site("33", "12", "2"), _site("43", space, tissue))
        assert (found.unknown, found.unserved, len(found.chosen)) == (("43",), (), 1)

    def test_tissue_too_thick_is_said_even_where_the_space_is_not_known(self) -> None:
        found = _choose(_site("33", None, "5.75"))
        assert (found.unserved, found.unknown) == (("33",), ())

    def test_without_any_site_there_is_no_difference(self) -> None:
        assert (_choose(), _choose().difference_mm) == (Levels(), None)

    def test_without_any_height_every_measured_site_is_unserved(self) -> None:
        assert _choose(_site("33", "12", "2"), heights=()).unserved == ("33",)

    def test_one_site_is_level_with_itself(self) -> None:
        assert _choose(_site("33", "12", "2")).difference_mm == 0

    def test_a_height_of_nothing_is_refused(self) -> None:
        with pytest.raises(ValueError, match=r"'heights' must be more than 0 mm \(got 0\)"):
            _choose(_site("33", "12", "2"), heights=(Decimal(0), Decimal(3)))


class TestJaw:
    SITE = Site(
        tooth="33", restorative_space_mm=Decimal(10), tissue_mm=Decimal(2), platform_below_crest_mm=Decimal("0.5")
    )

    def _jaw(self, landmark: Landmark, site: Site = SITE) -> Jaw:
        method = Method.CONE_BEAM_CT if landmark is Landmark.BONE_CREST else Method.MOUNTED_CASTS
        return make_jaw(implants=1, sites=(site,), measurement=Measurement(method=method, landmark=landmark))

    @pytest.mark.parametrize(
        ("landmark", "space"),
        [(Landmark.PLATFORM, "10"), (Landmark.BONE_CREST, "10.5"), (Landmark.SOFT_TISSUE_CREST, "12.5")],
    )
    def test_space_and_tissue_are_counted_from_the_platform(self, landmark: Landmark, space: str) -> None:
        assert list_level_sites(self._jaw(landmark)) == (_site("33", space, "2.5"),)

    def test_a_space_from_the_soft_tissue_is_not_known_from_the_platform_without_its_tissue(self) -> None:
        site = replace(self.SITE, tissue_mm=None)
        assert list_level_sites(self._jaw(Landmark.SOFT_TISSUE_CREST, site)) == (_site("33", None, None),)

    def test_a_jaw_that_is_not_measured_still_says_its_tissue(self) -> None:
        jaw = make_jaw(implants=1, sites=(Site(tooth="33", tissue_mm=Decimal(6)),))
        assert list_level_sites(jaw) == (_site("33", None, "6"),)
