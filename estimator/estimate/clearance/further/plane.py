"""The occlusal plane between two jaws whose set-ups are both open: how far it may move to serve both. [mm]"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.base.evidence import Evidence
from estimator.estimate.clearance.chance.facing import PlaneWindow, find_plane_window
from estimator.estimate.clearance.sites import SiteCheck
from estimator.inputs.case.model import Arch


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaneOffer:
    """The shifts of the plane, + towards the upper jaw, that are offered: inside the window, and not too far. [mm]

    Both are None where no such shift gives every site of both jaws the usual room; `needed_mm` is then the least shift
    that would, None where none does. `missing_mm` is what both jaws lack together, 0 where some place serves both;
    `most_mm` is how far moving is offered.
    """

    from_mm: Decimal | None
    to_mm: Decimal | None
    needed_mm: Decimal | None
    missing_mm: Decimal
    most_mm: Decimal


def offer_plane(
    arch: Arch, checks: Sequence[SiteCheck], others: Sequence[SiteCheck], evidence: Evidence
) -> PlaneOffer | None:
    """What moving the plane gives an option in this jaw beside one in the other; None until both are measured.

    The usual stack counts at every site.
    """
    if not checks or not others:
        return None
    own, other = (tuple(check.margin_mm for check in one) for one in (checks, others))
    upper, lower = (own, other) if arch is Arch.MAXILLA else (other, own)
    return _limit(find_plane_window(upper, lower), evidence.get("plane_move_offered").value)


def _limit(window: PlaneWindow, most_mm: Decimal) -> PlaneOffer:
    lowest, highest = window.lowest_mm, window.highest_mm
    if lowest is None or highest is None:
        raise ValueError("'window' must be bounded by both jaws (got one that is not)")
    if highest < lowest:
        return PlaneOffer(from_mm=None, to_mm=None, needed_mm=None, missing_mm=lowest - highest, most_mm=most_mm)
    needed = max(lowest, min(highest, Decimal(0)))
    if abs(needed) > most_mm:
        return PlaneOffer(from_mm=None, to_mm=None, needed_mm=needed, missing_mm=Decimal(0), most_mm=most_mm)
    return PlaneOffer(
        from_mm=max(lowest, -most_mm),
        to_mm=min(highest, most_mm),
        needed_mm=needed,
        missing_mm=Decimal(0),
        most_mm=most_mm,
    )
