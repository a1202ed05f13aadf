"""Attachments along a bar: places on its straight segments and extensions, and how likely each has one. [mm]"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from estimator.estimate.clearance.chance.jaw import Floats, chance_at_site

MOST_PLACES = 16
"""More attachments than any bar is asked to hold."""
_NEAR_MM = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class BarNeeds:
    """What attachments take along a bar: the first on a segment, each further one, and the one on an extension. [mm]

    A segment counts from centre to centre of two implants, an extension from the centre of the end implant.
    """

    first_mm: float
    further_mm: float
    extension_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BarLengths:
    """The segments and extensions of a bar as planned, with the standard deviation of each of them. [mm]"""

    chords_mm: tuple[float, ...]
    extensions_mm: tuple[float, ...] = ()
    chord_sd_mm: float = 0.0
    extension_sd_mm: float = 0.0


def find_length_sd(position_sd_mm: float) -> float:
    """The error of a length between two implants, each misplaced by so much in one direction. [mm]"""
    return math.sqrt(2) * position_sd_mm


def count_places(length_mm: float, needs: BarNeeds) -> int:
    """Places for attachments on a segment of that length."""
    if length_mm < needs.first_mm - _NEAR_MM:
        return 0
    return 1 + int((length_mm - needs.first_mm + _NEAR_MM) / needs.further_mm)


def count_bar_places(bar: BarLengths, needs: BarNeeds) -> int:
    """Places on all segments and extensions; an extension holds one at most."""
    extended = sum(0 < needs.extension_mm <= length + _NEAR_MM for length in bar.extensions_mm)
    return sum(count_places(chord, needs) for chord in bar.chords_mm) + extended


def chance_of_places(bar: BarLengths, attachments: int, needs: BarNeeds) -> float:
    """Chance that every planned attachment has a place; segments and extensions count as independent."""
    return float(min(1.0, _find_place_chances(bar, needs)[attachments:].sum())) if attachments > 0 else 1.0


def count_sure_places(bar: BarLengths, needs: BarNeeds, level: float) -> int:
    """The greatest number of attachments that have a place with at least that chance."""
    at_least = np.cumsum(_find_place_chances(bar, needs)[::-1])[::-1][1 : MOST_PLACES + 1]
    return int((at_least >= level - _NEAR_MM).sum())


def lower_to_places(usual_number: int, places: int) -> int:
    """The attachments planned where nobody said how many: the usual number, or what has a place, but two at least."""
    return min(usual_number, max(2, places))


def _find_place_chances(bar: BarLengths, needs: BarNeeds) -> Floats:
    """Chances of exactly 0, 1, 2 … places on the whole bar."""
    chances = np.ones(1)
    for chord in bar.chords_mm:
        chances = np.convolve(chances, _find_segment_chances(chord, bar.chord_sd_mm, needs))
    for length in bar.extensions_mm:
        holds = _chance_at_least(length, needs.extension_mm, bar.extension_sd_mm) if length > 0 else 0.0
        chances = np.convolve(chances, [1 - holds, holds])
    return chances


def _find_segment_chances(length_mm: float, sd_mm: float, needs: BarNeeds) -> Floats:
    further: Sequence[float] = [
        _chance_at_least(length_mm, needs.first_mm + number * needs.further_mm, sd_mm) for number in range(MOST_PLACES)
    ]
    at_least = np.array([1.0, *further, 0.0])
    exactly: Floats = at_least[:-1] - at_least[1:]
    return exactly


def _chance_at_least(length_mm: float, need_mm: float, sd_mm: float) -> float:
    """Chance that a length holds a need; without error equality holds."""
    return chance_at_site(length_mm - need_mm + _NEAR_MM, sd_mm)
