"""Both jaws together: whether the rooms of sites that face each other agree with ridge to ridge. [mm]"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.base.evidence import Evidence
from estimator.base.problems import Problem
from estimator.estimate.clearance.chance.facing import FacingRooms, compare_rooms
from estimator.estimate.clearance.chance.room_errors import find_error
from estimator.estimate.clearance.geometry.placed import place_implants
from estimator.estimate.clearance.layers import LayerFinding
from estimator.estimate.clearance.stack import list_rooms
from estimator.inputs.case.model import Arch, Case, Jaw
from estimator.inputs.reference.layers import LayerState
from estimator.inputs.reference.usual_arch import UsualArch

SHARED_SPACE = ("ridge_to_ridge_error", "facing_distance", "incisor_overlap")
_INCISORS = ("1", "2")


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteFacing:
    """The room of one site from the soft tissue, its standard deviation, and where it stands across the jaw. [mm]"""

    tooth: str
    room_mm: Decimal
    sd_mm: float
    across_mm: float
    to_incisal_edge: bool

    @property
    def overlaps(self) -> bool:
        """Whether it was measured to the edge of an incisor, which overlaps that of the other jaw."""
        return self.to_incisal_edge and self.tooth[1:] in _INCISORS


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedSpace:
    """The facing sites with the least room together, upper and lower, and what they say beside ridge to ridge."""

    upper: SiteFacing
    lower: SiteFacing
    rooms: FacingRooms


def asks_shared_space(case: Case) -> bool:
    """Whether there are two jaws and some distance between their ridges."""
    return len(case.jaws) > 1 and bool(case.ridge_distances)


def compare_shared_space(case: Case, arches: Mapping[Arch, UsualArch], evidence: Evidence) -> SharedSpace | None:
    """Rooms of facing sites against ridge to ridge at its least; None where no sites face each other."""
    if not asks_shared_space(case):
        return None
    upper, lower = (
        _list_sites(next(jaw for jaw in case.jaws if jaw.arch is arch), arches[arch], evidence)
        for arch in (Arch.MAXILLA, Arch.MANDIBLE)
    )
    overlap = float(evidence.get("incisor_overlap").value)
    pairs = [
        (above, below, overlap if above.overlaps or below.overlaps else 0.0)
        for above, below in _pair_sites(upper, lower, float(evidence.get("facing_distance").value))
    ]
    if not pairs:
        return None
    above, below, excused = min(pairs, key=lambda pair: float(pair[0].room_mm + pair[1].room_mm) - pair[2])
    rooms = compare_rooms(
        [(float(above.room_mm), float(below.room_mm))],
        float(case.ridge_distances[0]),
        room_sd_mm=math.hypot(above.sd_mm, below.sd_mm) / math.sqrt(2),
        ridge_sd_mm=float(evidence.get("ridge_to_ridge_error").value),
        overlap_mm=excused,
    )
    return SharedSpace(upper=above, lower=below, rooms=rooms)


def find_shared_space(case: Case, shared: SharedSpace | None, evidence: Evidence) -> LayerFinding:
    """Two distances between the same ridges, or two rooms larger than it, cannot both be."""
    if not asks_shared_space(case):
        return LayerFinding(state=LayerState.NOT_ASKED)
    least, most = case.ridge_distances[0], case.ridge_distances[-1]
    if _differ(least, most, evidence):
        values = (("distance_mm", least), ("other_mm", most))
        return LayerFinding(state=LayerState.CONTRADICTION, special="ridges", values=values)
    if shared is None:
        return LayerFinding(state=LayerState.NOT_MEASURED)
    return LayerFinding(
        state=LayerState.CONTRADICTION if shared.rooms.contradict else LayerState.ROOM,
        values=(
            ("upper_mm", shared.upper.room_mm), ("upper_site", shared.upper.tooth),
            ("lower_mm", shared.lower.room_mm), ("lower_site", shared.lower.tooth),
            ("excess_mm", shared.upper.room_mm + shared.lower.room_mm - least), ("distance_mm", least),
        ),
    )  # fmt: skip


def list_contradictions(
    case: Case, arches: Mapping[Arch, UsualArch], evidence: Evidence, *, file: str
) -> tuple[Problem, ...]:
    """What of both jaws cannot be, as a problem of the distance from ridge to ridge in that file."""
    finding = find_shared_space(case, compare_shared_space(case, arches, evidence), evidence)
    if finding.state is not LayerState.CONTRADICTION:
        return ()
    code = "case.shared_space_ridges" if finding.special == "ridges" else "case.shared_space_rooms"
    values = dict(finding.values)
    found = values.pop("distance_mm")
    return (Problem(file=file, code=code, path=_find_field(case), found=found, expected=values),)


def _find_field(case: Case) -> tuple[str | int, ...]:
    """The field that holds the least distance."""
    if case.ridge_to_ridge_mm == case.ridge_distances[0]:
        return ("ridge_to_ridge_mm",)
    number = next(n for n, jaw in enumerate(case.jaws, start=1) if jaw.ridge_to_ridge_mm == case.ridge_distances[0])
    return ("jaws", number, "ridge_to_ridge_mm")


def _differ(least: Decimal, most: Decimal, evidence: Evidence) -> bool:
    """Whether two measurements of one distance lie further apart than twice the error of their difference."""
    error = float(evidence.get("ridge_to_ridge_error").value)
    return float(most - least) > 2 * math.sqrt(2) * error


def _list_sites(jaw: Jaw, usual: UsualArch, evidence: Evidence) -> tuple[SiteFacing, ...]:
    if jaw.measurement is None:
        return ()
    across = {one.tooth: one.place.x_mm for one in place_implants(jaw, usual).implants}
    error = float(find_error(jaw, evidence))
    return tuple(
        SiteFacing(
            tooth=room.tooth,
            room_mm=room.room_mm,
            sd_mm=math.hypot(error, float(room.tissue.sd_mm) if room.tissue else 0.0),
            across_mm=across[room.tooth],
            to_incisal_edge=jaw.measurement.to_incisal_edge,
        )
        for room in list_rooms(jaw, evidence)
        if room.tooth in across
    )


def _pair_sites(
    upper: Sequence[SiteFacing], lower: Sequence[SiteFacing], within_mm: float
) -> Iterator[tuple[SiteFacing, SiteFacing]]:
    """Each site of either jaw with the nearest one of the other, across the jaw, where that is near enough."""
    if not upper or not lower:
        return
    pairs = [(above, _find_nearest(above, lower)) for above in upper]
    pairs += [(_find_nearest(below, upper), below) for below in lower]
    yield from (pair for pair in pairs if abs(pair[0].across_mm - pair[1].across_mm) <= within_mm)


def _find_nearest(site: SiteFacing, others: Sequence[SiteFacing]) -> SiteFacing:
    return min(others, key=lambda other: abs(other.across_mm - site.across_mm))
