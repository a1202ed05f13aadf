"""The collars of a jaw: which heights there are, which are chosen, and what they take above the soft tissue.

A collar comes in set heights and runs from the platform through the tissue, so its height replaces the tissue and the
rise in the stack of its site. The least stack counts the lowest height that clears the tissue; the usual stack the
most level choice, unless that would leave the option with less than room to spare where the lowest heights do not.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from estimator.base.evidence import Evidence, Figure
from estimator.estimate.clearance.abutment_levels import Levels, LevelSite, choose_heights, list_level_sites
from estimator.estimate.clearance.stack import Stack
from estimator.inputs.case.model import Jaw
from estimator.inputs.options.model import Option
from estimator.inputs.practice_bundle import Practice


@dataclass(frozen=True, slots=True, kw_only=True)
class Collars:
    """Collars by tooth, as heights [mm] and as what they take above the tissue; `levels` is the most level choice."""

    levels: Levels
    heights_mm: Mapping[str, Decimal] = field(default_factory=dict)
    stacks: Mapping[str, Stack] = field(default_factory=dict)


def list_heights(jaw: Jaw, practice: Practice) -> tuple[Decimal, ...]:
    """The heights there are [mm]: of this case, else of the practice, else the usual range of the trade."""
    own = jaw.abutment_heights_mm or practice.settings.abutment_heights_mm
    return own or _list_usual_heights(practice.evidence)


def _list_usual_heights(evidence: Evidence) -> tuple[Decimal, ...]:
    lowest, highest, step = (evidence.get(f"abutment_height_{end}").value for end in ("lowest", "highest", "step"))
    count = int((highest - lowest) / step) if step > 0 else 0
    return tuple(lowest + step * number for number in range(count + 1))


def choose_collars(jaw: Jaw, option: Option, practice: Practice) -> tuple[Collars, Collars] | None:
    """The lowest collars that clear the tissue, and the most level ones; None for an option without collars."""
    if option.collar is None or not jaw.sites:
        return None
    heights, rise = list_heights(jaw, practice), option.collar.figure
    sites = {site.tooth: site for site in list_level_sites(jaw)}
    levels = choose_heights(tuple(sites.values()), heights, rise.value)
    chosen = {choice.tooth: choice.height_mm for choice in levels.chosen}
    lowest = {tooth: _find_lowest(sites[tooth], heights, rise.value) for tooth in chosen}
    return (
        Collars(levels=levels, heights_mm=lowest, stacks=_add_above(lowest, sites, heights, rise)),
        Collars(levels=levels, heights_mm=chosen, stacks=_add_above(chosen, sites, heights, rise)),
    )


def _find_lowest(site: LevelSite, heights: tuple[Decimal, ...], rise_mm: Decimal) -> Decimal:
    return min(height for height in heights if height >= (site.tissue_mm or 0) + rise_mm)


def _add_above(
    chosen: Mapping[str, Decimal], sites: Mapping[str, LevelSite], heights: tuple[Decimal, ...], rise: Figure
) -> dict[str, Stack]:
    """What each collar takes above the tissue; the least rise may allow a lower one."""
    stacks = {}
    for tooth, height in chosen.items():
        tissue = sites[tooth].tissue_mm or Decimal(0)
        lowest = _find_lowest(sites[tooth], heights, rise.low)
        stacks[tooth] = Stack(least_mm=lowest - tissue, usual_mm=height - tissue, most_mm=height - tissue)
    return stacks
