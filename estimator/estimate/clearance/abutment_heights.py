"""The collars of a jaw: which heights there are, which are chosen, and what they take above the soft tissue.

A collar comes in set heights and runs from the platform through the tissue, so its height replaces the tissue and the
rise in the stack of its site. The least stack counts the lowest height that may be used; the usual stack the most
level choice, unless that would leave the option with less than room to spare where the lowest heights do not.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from estimator.base.evidence import Evidence
from estimator.estimate.clearance.abutment_levels import (
    ChosenHeight,
    Levels,
    NoHeight,
    Rises,
    choose_heights,
    list_level_sites,
)
from estimator.estimate.clearance.stack import Stack
from estimator.inputs.case.model import Jaw
from estimator.inputs.options.model import Option
from estimator.inputs.practice_bundle import Practice

_WHYS = {
    NoHeight.TOO_THICK: "tissue too thick for the tallest",
    NoHeight.TOO_THIN: "tissue too thin for the lowest",
    NoHeight.BETWEEN: "between two heights",
}


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


def find_rises(option: Option, evidence: Evidence) -> Rises:
    """How far the collar of an option may stand above the tissue [mm]; parts of the practice may widen the sources."""
    if option.collar is None:
        raise ValueError(f"'option' must have a collar (got {option.key})")
    part = option.collar.figure
    return Rises(
        floor_mm=min(evidence.get("collar_rise_floor").value, part.low),
        usual_mm=part.value,
        ceiling_mm=max(evidence.get("collar_rise_ceiling").value, part.high),
    )


def choose_collars(jaw: Jaw, option: Option, practice: Practice) -> tuple[Collars, Collars] | None:
    """The lowest collars that may be used, and the most level ones; None for an option without collars."""
    if option.collar is None or not jaw.sites:
        return None
    rises = find_rises(option, practice.evidence)
    levels = choose_heights(list_level_sites(jaw), list_heights(jaw, practice), rises)
    return _stack_collars(levels, levels.lowest), _stack_collars(levels, levels.chosen)


def _stack_collars(levels: Levels, counted: tuple[ChosenHeight, ...]) -> Collars:
    """What each collar takes above the tissue: the one counted, and at the least the lowest that may be used."""
    stacks = {
        choice.tooth: Stack(
            least_mm=low.above_tissue_mm, usual_mm=choice.above_tissue_mm, most_mm=choice.above_tissue_mm
        )
        for choice, low in zip(counted, levels.lowest, strict=True)
    }
    return Collars(levels=levels, heights_mm={choice.tooth: choice.height_mm for choice in counted}, stacks=stacks)


def name_unserved(levels: Levels) -> str:
    """The sites that no height serves, each with its reason, in the trade's words."""
    return ", ".join(f"{site.tooth} ({_WHYS[site.why]})" for site in levels.unserved_sites)


def name_raised(levels: Levels) -> str:
    """The sites where level attachments take more room than the lowest heights, and how much."""
    return ", ".join(f"{more:.2f} mm at {tooth}" for tooth, more in levels.raised)
