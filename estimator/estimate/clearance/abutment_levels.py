"""Abutment heights: one collar per site that clears its tissue, so that the attachments come out as level as can be.

A collar runs from the platform through the tissue. Its attachment then sits at a level, which is what is left from the
top of the collar to the occlusal plane: space from the platform minus height of the collar. All lengths [mm].
"""

from dataclasses import dataclass
from decimal import Decimal
from heapq import heapify, heapreplace

from estimator.inputs.case.model import Jaw, Landmark, Measurement, Site


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
    """The collar of one site, how far it stands above the tissue, and the level of its attachment. [mm]"""

    tooth: str
    height_mm: Decimal
    above_tissue_mm: Decimal
    level_mm: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Levels:
    """Collars in the order of the sites; `difference_mm` from the highest to the lowest attachment, None without any.

    `unserved`: teeth whose tissue no height clears by the set rise. `unknown`: teeth where something is not measured.
    """

    chosen: tuple[ChosenHeight, ...]
    difference_mm: Decimal | None
    unserved: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


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


def choose_heights(sites: tuple[LevelSite, ...], heights: tuple[Decimal, ...], rise_mm: Decimal) -> Levels:
    """One height per site, at least its tissue and the rise, with the least difference of level between sites.

    Of all choices with that difference it is the one with the least sum of heights, and there is only one: no site has
    a lower collar in any other. Sites that no height serves are left out of the levelling. Exact; about sites × heights
    steps. Raises ValueError for a height of 0 or less.
    """
    if any(height <= 0 for height in heights):
        raise ValueError(f"'heights' must be more than 0 mm (got {min(heights)})")
    rising = sorted(set(heights))
    unserved, unknown, ready = [], [], []
    for site in sites:
        serving = [] if site.tissue_mm is None else [h for h in rising if h >= site.tissue_mm + rise_mm]
        if site.tissue_mm is not None and not serving:
            unserved.append(site.tooth)
        elif site.tissue_mm is None or site.space_mm is None:
            unknown.append(site.tooth)
        else:
            ready.append((site.tooth, site.space_mm, site.tissue_mm, serving))
    picked = _pick_most_level([[height - space for height in serving] for _, space, _, serving in ready])
    chosen = tuple(
        ChosenHeight(
            tooth=tooth, height_mm=serving[i], above_tissue_mm=serving[i] - tissue, level_mm=space - serving[i]
        )
        for (tooth, space, tissue, serving), i in zip(ready, picked, strict=True)
    )
    levels = [choice.level_mm for choice in chosen]
    return Levels(
        chosen=chosen,
        difference_mm=max(levels) - min(levels) if levels else None,
        unserved=tuple(unserved),
        unknown=tuple(unknown),
    )


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
