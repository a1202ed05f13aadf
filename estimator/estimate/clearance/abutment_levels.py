"""Abutment heights: one collar per site that stands right above its tissue, so that the attachments lie level.

A collar runs from the platform through the tissue. Its attachment then sits at a level, which is what is left from the
top of the collar to the occlusal plane: space from the platform minus height of the collar. All lengths [mm].
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from heapq import heapify, heapreplace

from estimator.inputs.case.model import Jaw, Landmark, Measurement, Site


class NoHeight(StrEnum):
    """Why no height in a list serves a site."""

    TOO_THICK = "too_thick"
    TOO_THIN = "too_thin"
    BETWEEN = "between"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rises:
    """How far a collar may stand above the tissue: from usual to ceiling, or else from floor to under usual. [mm]"""

    floor_mm: Decimal
    usual_mm: Decimal
    ceiling_mm: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelSite:
    """One site: from the platform to the occlusal plane, and from the platform to the soft tissue crest. [mm]

    None is what was not measured; an assumed tissue is no ground to choose a collar on.
    """

    tooth: str
    space_mm: Decimal | None
    tissue_mm: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ChosenHeight:
    """The collar of one site, how far it stands above the tissue, and the level of its attachment. [mm]

    `low_rise`: every listed height that serves the site stands less than the usual rise above its tissue.
    """

    tooth: str
    height_mm: Decimal
    above_tissue_mm: Decimal
    level_mm: Decimal
    low_rise: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class UnservedSite:
    """A site that no height in the list serves, and why."""

    tooth: str
    why: NoHeight


@dataclass(frozen=True, slots=True, kw_only=True)
class Levels:
    """Collars in the order of the sites: `chosen` the most level ones, `lowest` the lowest that may be used. [mm]

    The differences are from the highest to the lowest attachment, None without any. `unknown`: teeth where something
    is not measured.
    """

    chosen: tuple[ChosenHeight, ...] = ()
    lowest: tuple[ChosenHeight, ...] = ()
    unserved_sites: tuple[UnservedSite, ...] = ()
    unknown: tuple[str, ...] = ()

    @property
    def difference_mm(self) -> Decimal | None:
        """What the most level choice leaves between the attachments."""
        return _find_difference(self.chosen)

    @property
    def lowest_difference_mm(self) -> Decimal | None:
        """What the lowest heights leave between them."""
        return _find_difference(self.lowest)

    @property
    def unserved(self) -> tuple[str, ...]:
        """Teeth that no height in the list serves."""
        return tuple(site.tooth for site in self.unserved_sites)

    @property
    def raised(self) -> tuple[tuple[str, Decimal], ...]:
        """Teeth where the most level choice takes more room than the lowest height, and how much more. [mm]"""
        pairs = zip(self.chosen, self.lowest, strict=True)
        return tuple((up.tooth, up.height_mm - low.height_mm) for up, low in pairs if up.height_mm > low.height_mm)


def _find_difference(choices: Sequence[ChosenHeight]) -> Decimal | None:
    levels = [choice.level_mm for choice in choices]
    return max(levels) - min(levels) if levels else None


def list_level_sites(jaw: Jaw) -> tuple[LevelSite, ...]:
    """The sites of a jaw with their lengths counted from the platform, whatever landmark they were measured from."""
    return tuple(_count_from_platform(site, jaw.measurement) for site in jaw.sites)


def _count_from_platform(site: Site, measurement: Measurement | None) -> LevelSite:
    below, space = site.depth_mm, site.restorative_space_mm
    depth = None if site.tissue_mm is None else site.tissue_mm + below
    if space is None or measurement is None:
        return LevelSite(tooth=site.tooth, space_mm=None, tissue_mm=depth)
    further = {Landmark.PLATFORM: Decimal(0), Landmark.BONE_CREST: below, Landmark.SOFT_TISSUE_CREST: depth}
    missing = further[measurement.landmark]
    return LevelSite(tooth=site.tooth, space_mm=None if missing is None else space + missing, tissue_mm=depth)


def choose_heights(sites: tuple[LevelSite, ...], heights: tuple[Decimal, ...], rises: Rises) -> Levels:
    """One height per site of those that may be used there, with the least difference of level between sites.

    Of all choices with that difference it is the one with the least sum of heights, and there is only one: no site has
    a lower collar in any other. Sites that no height serves are left out of the levelling. Exact; about sites × heights
    steps. Raises ValueError for a height of 0 or less.
    """
    if any(height <= 0 for height in heights):
        raise ValueError(f"'heights' must be more than 0 mm (got {min(heights)})")
    rising = sorted(set(heights))
    unserved, unknown, ready = list[UnservedSite](), list[str](), list[tuple[ChosenHeight, ...]]()
    for site in sites:
        serving = () if site.tissue_mm is None else _list_serving(site.tissue_mm, rising, rises)
        if site.tissue_mm is not None and not serving:
            unserved.append(UnservedSite(tooth=site.tooth, why=_find_why(site.tissue_mm, rising, rises)))
        elif site.tissue_mm is None or site.space_mm is None:
            unknown.append(site.tooth)
        else:
            ready.append(_stand(site.tooth, site.space_mm, site.tissue_mm, serving, rises))
    picked = _pick_most_level([[-choice.level_mm for choice in choices] for choices in ready])
    return Levels(
        chosen=tuple(choices[place] for choices, place in zip(ready, picked, strict=True)),
        lowest=tuple(choices[0] for choices in ready),
        unserved_sites=tuple(unserved),
        unknown=tuple(unknown),
    )


def _list_serving(tissue_mm: Decimal, heights: Sequence[Decimal], rises: Rises) -> tuple[Decimal, ...]:
    """Heights that may be used over a tissue, counted from the platform: of usual rise, else of a lower one. [mm]"""
    usual = tuple(height for height in heights if rises.usual_mm <= height - tissue_mm <= rises.ceiling_mm)
    return usual or tuple(height for height in heights if rises.floor_mm <= height - tissue_mm < rises.usual_mm)


def _find_why(tissue_mm: Decimal, heights: Sequence[Decimal], rises: Rises) -> NoHeight:
    if all(height - tissue_mm < rises.floor_mm for height in heights):
        return NoHeight.TOO_THICK
    return NoHeight.TOO_THIN if all(h - tissue_mm > rises.ceiling_mm for h in heights) else NoHeight.BETWEEN


def _stand(
    tooth: str, space_mm: Decimal, tissue_mm: Decimal, serving: tuple[Decimal, ...], rises: Rises
) -> tuple[ChosenHeight, ...]:
    return tuple(
        ChosenHeight(
            tooth=tooth, height_mm=height, above_tissue_mm=height - tissue_mm, level_mm=space_mm - height,
            low_rise=height - tissue_mm < rises.usual_mm,
        )
        for height in serving
    )  # fmt: skip


def _pick_most_level(rising: list[list[Decimal]]) -> list[int]:
    """The place to take in each rising list so that the values taken lie as close together as can be.

    All start at their first. Only raising the least value can bring them closer, so that is the one step there is,
    until a list has no further value. The first closest state has every place at its least: a step past the place
    that some closest choice has would start from a state that is as close already.
    """
    if not rising:
        return []
    now = [(values[0], number, 0) for number, values in enumerate(rising)]
    highest = max(value for value, _, _ in now)
    heapify(now)
    places, best = [0] * len(rising), list[int]()
    closest: Decimal | None = None
    while True:
        least, number, place = now[0]
        if closest is None or highest - least < closest:
            closest, best = highest - least, places.copy()
        if place + 1 == len(rising[number]):
            return best
        places[number], value = place + 1, rising[number][place + 1]
        highest = max(highest, value)
        heapreplace(now, (value, number, place + 1))
