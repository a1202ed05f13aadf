"""Room along the bar: whether its attachments find a place on its straight segments and extensions. Lengths [mm].

Attachments on a bar are not the implants: they sit between two implants or behind an end one. A length is the straight
one between two implants, with the error of where they stand, so that no tenth of a millimetre decides.
"""

from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import pairwise

from estimator.base.evidence import Evidence
from estimator.estimate.clearance.chance.bar import (
    BarLengths,
    BarNeeds,
    chance_of_places,
    count_sure_places,
    find_length_sd,
    lower_to_places,
)
from estimator.estimate.clearance.geometry.placed import PlacedJaw, place_implants
from estimator.estimate.clearance.geometry.polyline import measure_chords
from estimator.inputs.case.model import BAR_EXTENSIONS, BarCarries, Jaw, default_attachments_on_bar
from estimator.inputs.options.model import Attachments, Option
from estimator.inputs.reference.usual_arch import UsualArch

_CENT = Decimal("0.01")
_NEEDS = {
    BarCarries.CLIP: ("bar_one_attachment", "bar_two_attachments", "bar_extension"),
    BarCarries.SCREWED_IN: (
        "bar_one_attachment_screwed_in",
        "bar_two_attachments_screwed_in",
        "bar_extension_screwed_in",
    ),
}
"""Figures of the first attachment on a segment, of two of them, and of one on an extension."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """The bar between two neighbouring implants: its length from centre to centre, and the usual attachments that
    surely enough have a place on it.
    """

    first: str
    second: str
    length_mm: Decimal
    places: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """Places on the whole bar that are sure enough, and the chance that every planned attachment has one."""

    usual_places: int
    least_places: int
    chance_usual: float
    chance_least: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AlongBar:
    """Segments from the patient's right; empty, and nothing counted, where the place of an implant is not known.

    `attachments` are those planned; `lowered_from` is the usual number where there is not room for that many and nobody
    said how many. `shortage_mm` is what the longest segment lacks for even one of the least attachments, 0 where it
    holds one, an extension does, or nothing is known.
    """

    attachments: int
    segment_count: int
    carries: BarCarries
    segments: tuple[Segment, ...] = ()
    counted: Counted | None = None
    lowered_from: int | None = None
    shortage_mm: Decimal = Decimal(0)

    @property
    def places(self) -> int | None:
        """Attachments that find a place with usual parts; None where that is not known."""
        return self.counted.usual_places if self.counted else None


def plan_attachments(jaw: Jaw, usual: UsualArch, evidence: Evidence) -> Jaw:
    """The jaw with as many attachments on a bar as have a place on it, where nobody said how many."""
    placed = place_implants(jaw, usual)
    if jaw.attachments_on_bar is not None or not _is_known(jaw, placed):
        return jaw
    measured = _measure_bar(jaw, placed, evidence)
    return replace(jaw, attachments_with_room=_plan(jaw, measured.count_sure(measured.usual)))


def check_along(jaw: Jaw, option: Option, placed: PlacedJaw, evidence: Evidence) -> AlongBar | None:
    """The room along the bar of an option in a jaw; None for an option without a bar."""
    if option.attachments is not Attachments.ON_BAR:
        return None
    found = AlongBar(attachments=jaw.bar_attachments, segment_count=jaw.implants - 1, carries=jaw.bar_carries)
    if not _is_known(jaw, placed):
        return found
    measured = _measure_bar(jaw, placed, evidence)
    sure = measured.count_sure(measured.usual)
    planned, usual_number = _plan(jaw, sure), default_attachments_on_bar(jaw.implants)
    counted = Counted(
        usual_places=sure,
        least_places=measured.count_sure(measured.least),
        chance_usual=chance_of_places(measured.bar, planned, measured.usual),
        chance_least=chance_of_places(measured.bar, planned, measured.least),
    )
    return replace(
        found,
        attachments=planned,
        segments=_list_segments(placed, measured),
        counted=counted,
        lowered_from=usual_number if jaw.attachments_on_bar is None and planned < usual_number else None,
        shortage_mm=_find_shortage(measured.bar, measured.least, planned),
    )


def _is_known(jaw: Jaw, placed: PlacedJaw) -> bool:
    """Whether there is a bar, and every implant under it has its place."""
    return len(placed.measured) >= max(2, jaw.implants)


def _plan(jaw: Jaw, places: int) -> int:
    """As many as were said, else the usual number as far as there are places."""
    if jaw.attachments_on_bar is not None:
        return jaw.attachments_on_bar
    return lower_to_places(default_attachments_on_bar(jaw.implants), places)


def list_bar_figures(jaw: Jaw) -> tuple[str, ...]:
    """Keys of the figures that the room along a bar rests on."""
    one, two, extension = _NEEDS[jaw.bar_carries]
    keys = (one, two, _name_error(jaw))
    return (*keys, extension, "extension_error") if any(getattr(jaw, name) for name in BAR_EXTENSIONS) else keys


def _name_error(jaw: Jaw) -> str:
    return "bar_position_error" if jaw.implants_present else f"bar_position_error_{jaw.placement}"


@dataclass(frozen=True, slots=True, kw_only=True)
class _MeasuredBar:
    """The lengths of a bar, what the least and the usual attachments take along it, and the chance that is enough."""

    bar: BarLengths
    least: BarNeeds
    usual: BarNeeds
    level: float

    def count_sure(self, needs: BarNeeds) -> int:
        """Attachments that surely enough have a place on the whole bar."""
        return count_sure_places(self.bar, needs, self.level)


def _measure_bar(jaw: Jaw, placed: PlacedJaw, evidence: Evidence) -> _MeasuredBar:
    points = [one.place.point for one in placed.measured]
    bar = BarLengths(
        chords_mm=measure_chords(points),
        extensions_mm=tuple(float(getattr(jaw, name)) for name in BAR_EXTENSIONS),
        chord_sd_mm=find_length_sd(float(evidence.get(_name_error(jaw)).value)),
        extension_sd_mm=float(evidence.get("extension_error").value),
    )
    least, usual = _list_needs(jaw.bar_carries, evidence)
    return _MeasuredBar(bar=bar, least=least, usual=usual, level=float(evidence.get("fit_level").value))


def _list_needs(carries: BarCarries, evidence: Evidence) -> tuple[BarNeeds, BarNeeds]:
    """What the least and the usual attachments take: the first on a segment, each further one, one on an extension."""
    one, two, extension = (evidence.get(key) for key in _NEEDS[carries])
    return (
        _make_needs(one.low, two.low, extension.low),
        _make_needs(one.value, two.value, extension.value),
    )


def _make_needs(one: Decimal, two: Decimal, extension: Decimal) -> BarNeeds:
    return BarNeeds(first_mm=float(one), further_mm=float(two - one), extension_mm=float(extension))


def _list_segments(placed: PlacedJaw, measured: _MeasuredBar) -> tuple[Segment, ...]:
    segments = zip(pairwise(placed.measured), measured.bar.chords_mm, strict=True)
    return tuple(
        Segment(
            first=first.tooth,
            second=second.tooth,
            length_mm=Decimal(str(length)).quantize(_CENT),
            places=replace(measured, bar=replace(measured.bar, chords_mm=(length,), extensions_mm=())).count_sure(
                measured.usual
            ),
        )
        for (first, second), length in segments
    )


def _find_shortage(bar: BarLengths, least: BarNeeds, planned: int) -> Decimal:
    extended = any(length >= least.extension_mm for length in bar.extensions_mm if length > 0)
    lacking = 0.0 if extended or not planned else max(0.0, least.first_mm - max(bar.chords_mm))
    return Decimal(str(lacking)).quantize(_CENT)
