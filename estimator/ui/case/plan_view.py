"""What the plan of a jaw shows and says: its curve as points, usual places of teeth, and a sentence on the whole."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from functools import lru_cache
from itertools import combinations
from typing import Any

from estimator.estimate.clearance.chance.jaw import Floats
from estimator.estimate.clearance.geometry.axes import find_angle, make_axis
from estimator.estimate.clearance.geometry.curve import (
    REACH_MM,
    ArchCurve,
    ArchPlace,
    find_usual_along,
    place_along,
    place_point,
    shape_curve,
)
from estimator.estimate.clearance.geometry.polyline import measure_chords, measure_spread
from estimator.inputs.case.model import Arch, is_left, list_teeth
from estimator.inputs.case.teeth import ToothNumbers, name_tooth
from estimator.inputs.case.writer import Document
from estimator.inputs.reference.usual_arch import UsualArch

_STEP_MM = 0.5
_WIDTH_MM = (20, 90)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Placed:
    tooth: str
    place: ArchPlace
    assumed: bool
    axis: Floats | None


def find_curve(jaw: Document, usual: UsualArch) -> ArchCurve:
    """The crest of a jaw of a draft, as wide as it was measured where that can be read."""
    width = _read_number(jaw.get("arch_form") or {}, "width_mm")
    sound = width is not None and _WIDTH_MM[0] <= width <= _WIDTH_MM[1]
    return shape_curve(usual, width if sound else None)


@lru_cache(maxsize=32)
def list_points(curve: ArchCurve) -> tuple[tuple[float, float, float], ...]:
    """The right half of a crest each half millimetre along it: x, y [mm] and heading [degrees]."""
    places = (place_along(curve, number * _STEP_MM) for number in range(int(REACH_MM / _STEP_MM) + 1))
    return tuple((round(p.x_mm, 3), round(p.y_mm, 3), round(p.heading_deg, 2)) for p in places)


def list_plan_teeth(arch: Arch, curve: ArchCurve, usual: UsualArch, numbers: ToothNumbers) -> dict[str, dict[str, Any]]:
    """Each tooth of an arch with its name and where along the crest it usually stands. [mm]"""
    return {
        tooth: {
            "name": name_tooth(tooth, numbers),
            "usual": find_usual_along(curve, usual, int(tooth[1]), left=is_left(tooth)),
        }
        for tooth in list_teeth(arch)
    }


def say_places(
    sites: Sequence[Document], curve: ArchCurve, usual: UsualArch, numbers: ToothNumbers = ToothNumbers.ISO
) -> str:
    """Between implants, front to back, the two most apart in lean, and which places are assumed. [mm, degrees]"""
    found = (_place(site, curve, usual) for site in sites)
    placed = sorted((one for one in found if one is not None), key=lambda one: -one.place.along_mm)
    assumed = [name_tooth(one.tooth, numbers) for one in placed if one.assumed]
    said = [*([] if assumed else _say_lengths(placed)), *_say_apart(placed, numbers)]
    if assumed:
        said.append(
            f"**Place not given** at {', '.join(assumed)}: drawn where the tooth usually stands, and no length counted."
        )
    return " ".join(said)


def _say_lengths(placed: Sequence[_Placed]) -> list[str]:
    points = [one.place.point for one in placed]
    chords = ", ".join(f"{chord:.1f}" for chord in measure_chords(points))
    said = [f"**Between implants** {chords} mm, straight."] if chords else []
    return [*said, f"**Front to back** {measure_spread(points):.1f} mm."] if len(points) > 2 else said


def _say_apart(placed: Sequence[_Placed], numbers: ToothNumbers) -> list[str]:
    leaning = [(one.tooth, one.axis) for one in placed if one.axis is not None]
    pairs = [(find_angle(one, other), a, b) for (a, one), (b, other) in combinations(leaning, 2)]
    if not pairs:
        return []
    angle, first, second = max(pairs)
    first, second = name_tooth(first, numbers), name_tooth(second, numbers)
    return [f"**Most apart in lean** {first} and {second}, {angle:.1f}°."]


def _place(site: Document, curve: ArchCurve, usual: UsualArch) -> _Placed | None:
    """A site of a draft, at its own place, else where its tooth usually stands; None where there is neither."""
    tooth = str(site["tooth"])
    x, y, along = (_read_number(site, name) for name in ("x_mm", "y_mm", "position_mm"))
    given = along is not None or (x is not None and y is not None)
    if along is None:
        along = find_usual_along(curve, usual, int(tooth[1]), left=is_left(tooth))
    if x is not None and y is not None:
        place = place_point(curve, x, y)
    elif along is not None and abs(along) <= REACH_MM:
        place = place_along(curve, along)
    else:
        return None
    return _Placed(tooth=tooth, place=place, assumed=not given, axis=_lean(site, place))


def _lean(site: Document, place: ArchPlace) -> Floats | None:
    md, fl = (_read_number(site, name) for name in ("angle_md_deg", "angle_fl_deg"))
    if md is None or fl is None:
        return None
    right = not is_left(str(site["tooth"]))
    return make_axis(heading_deg=place.heading_deg, right=right, mesiodistal_deg=md, faciolingual_deg=fl)


def _read_number(table: Mapping[str, Any], name: str) -> float | None:
    """A number of a draft, which may hold anything."""
    try:
        number = Decimal(str(table[name]))
    except (KeyError, InvalidOperation):
        return None
    return float(number) if number.is_finite() else None
