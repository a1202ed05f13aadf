"""Two jaws that face each other: the plane between them may move, and their rooms must agree with ridge to ridge."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

_TWICE = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaneWindow:
    """Shifts of the occlusal plane, + towards the upper jaw, that leave every margin at 0 or more. [mm]

    None where no site of the jaw on that side bounds it.
    """

    lowest_mm: Decimal | None
    highest_mm: Decimal | None

    @property
    def width_mm(self) -> Decimal | None:
        """What the two least margins add up to, below 0 where no plane serves both jaws; None without a bound."""
        return None if self.lowest_mm is None or self.highest_mm is None else self.highest_mm - self.lowest_mm

    @property
    def is_open(self) -> bool:
        """Whether some place of the plane serves both jaws."""
        return self.width_mm is None or self.width_mm >= 0


@dataclass(frozen=True, slots=True, kw_only=True)
class FacingRooms:
    """By how much the rooms of two jaws exceed ridge to ridge at the least, and what measuring may explain. [mm]"""

    excess_mm: float
    explained_mm: float
    overlap_mm: float

    @property
    def contradict(self) -> bool:
        """Whether the two rooms are more than there is from ridge to ridge, beyond twice the error."""
        return self.excess_mm > self.explained_mm + self.overlap_mm

    @property
    def fall_short(self) -> bool:
        """Whether the two rooms are so much less that they may not have been measured to one plane."""
        return self.excess_mm < -self.explained_mm


def find_plane_window(upper_margins_mm: Sequence[Decimal], lower_margins_mm: Sequence[Decimal]) -> PlaneWindow:
    """How far the occlusal plane may move while every site of both jaws keeps its stack. [mm]"""
    return PlaneWindow(
        lowest_mm=-min(lower_margins_mm) if lower_margins_mm else None,
        highest_mm=min(upper_margins_mm) if upper_margins_mm else None,
    )


def compare_rooms(
    facing_mm: Sequence[tuple[float, float]],
    ridge_to_ridge_mm: float,
    *,
    room_sd_mm: float,
    ridge_sd_mm: float,
    overlap_mm: float = 0.0,
) -> FacingRooms:
    """Rooms of facing sites, upper and lower, against ridge to ridge at its least place. [mm]

    `overlap_mm` is that of the incisors where rooms in front were measured to the edge. Raises ValueError without any
    pair of facing sites.
    """
    if not facing_mm:
        raise ValueError("'facing_mm' must hold a pair of facing sites (got none)")
    return FacingRooms(
        excess_mm=min(upper + lower for upper, lower in facing_mm) - ridge_to_ridge_mm,
        explained_mm=_TWICE * math.sqrt(2 * room_sd_mm**2 + ridge_sd_mm**2),
        overlap_mm=overlap_mm,
    )
