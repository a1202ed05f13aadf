"""Room along the bar: whether its attachments find a place between the implants. All lengths [mm].

Attachments on a bar are not the implants: they sit on its segments, between two implants, and a segment that is too
short for one can rule a bar out even where the height suffices.
"""

from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from estimator.base.evidence import Evidence
from estimator.inputs.case.model import Jaw, Site
from estimator.inputs.options.model import Attachments, Option


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """The bar between two neighbouring implants: its length from centre to centre, and the attachments it can hold."""

    first: str
    second: str
    length_mm: Decimal
    places: int


@dataclass(frozen=True, slots=True, kw_only=True)
class AlongBar:
    """Segments from the patient's right; empty where the place of an implant is not known.

    `shortage_mm` is what the longest segment lacks for even one attachment, 0 where it holds one or nothing is known.
    """

    attachments: int
    segment_count: int
    segments: tuple[Segment, ...] = ()
    shortage_mm: Decimal = Decimal(0)

    @property
    def places(self) -> int | None:
        """Attachments that find a place between implants; None where that is not known."""
        return sum(segment.places for segment in self.segments) if self.segments else None


def check_along(jaw: Jaw, option: Option, evidence: Evidence) -> AlongBar | None:
    """The room along the bar of an option in a jaw; None for an option without a bar."""
    if option.attachments is not Attachments.ON_BAR:
        return None
    found = AlongBar(attachments=jaw.bar_attachments, segment_count=jaw.implants - 1)
    placed = order_along(jaw.sites)
    if len(placed) < jaw.implants or len(placed) < 2:
        return found
    one, two = evidence.get("bar_one_attachment").low, evidence.get("bar_two_attachments").low
    segments = tuple(_measure(a, b, one, two) for a, b in pairwise(placed))
    longest = max(segment.length_mm for segment in segments)
    shortage = max(Decimal(0), one - longest) if jaw.bar_attachments else Decimal(0)
    return AlongBar(
        attachments=jaw.bar_attachments, segment_count=jaw.implants - 1, segments=segments, shortage_mm=shortage
    )


def order_along(sites: tuple[Site, ...]) -> tuple[Site, ...]:
    """The sites whose place along the arch is known, from the patient's right."""
    return tuple(sorted((s for s in sites if s.position_mm is not None), key=lambda s: -(s.position_mm or Decimal(0))))


def _measure(first: Site, second: Site, one_mm: Decimal, two_mm: Decimal) -> Segment:
    """The first attachment needs `one_mm`, each further one as much more as two need over one."""
    length = (first.position_mm or Decimal(0)) - (second.position_mm or Decimal(0))
    further = two_mm - one_mm
    places = 0 if length < one_mm else 1 + (int((length - one_mm) / further) if further > 0 else 0)
    return Segment(first=first.tooth, second=second.tooth, length_mm=length, places=places)
