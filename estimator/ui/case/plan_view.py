"""What the plan of a jaw shows and says: its curve as points, usual places of teeth, and a sentence on the whole."""

from collections.abc import Mapping, Sequence
from decimal import Decimal, InvalidOperation
from functools import lru_cache
from typing import Any

from estimator.estimate.clearance.geometry.curve import (
    REACH_MM,
    ArchCurve,
    find_usual_along,
    place_along,
    shape_curve,
)
from estimator.estimate.clearance.geometry.placed import PlacedJaw, place_sites
from estimator.estimate.clearance.geometry.polyline import measure_chords, measure_spread
from estimator.inputs.case.model import Arch, Site, is_left, list_teeth
from estimator.inputs.case.teeth import ToothNumbers, name_tooth
from estimator.inputs.case.writer import Document
from estimator.inputs.reference.usual_arch import UsualArch

_STEP_MM = 0.5
_WIDTH_MM = (20, 90)
_POINT, _LEANS = ("x_mm", "y_mm"), ("angle_md_deg", "angle_fl_deg")


def find_curve(jaw: Document, usual: UsualArch) -> ArchCurve:
    """The crest of a jaw of a draft, as wide as it was measured where that can be read."""
    width = _read_number(jaw.get("arch_form") or {}, "width_mm")
    sound = width is not None and _WIDTH_MM[0] <= width <= _WIDTH_MM[1]
    return shape_curve(usual, float(width) if sound and width else None)


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
    placed = place_sites(_read_sites(sites), curve, usual)
    assumed = [name_tooth(one.tooth, numbers) for one in placed.implants if one.assumed]
    said = [*([] if assumed else _say_lengths(placed)), *_say_apart(placed, numbers)]
    if assumed:
        said.append(
            f"**Place not given** at {', '.join(assumed)}: drawn where the tooth usually stands, and no length counted."
        )
    return " ".join(said)


def _say_lengths(placed: PlacedJaw) -> list[str]:
    points = [one.place.point for one in placed.implants]
    chords = ", ".join(f"{chord:.1f}" for chord in measure_chords(points))
    said = [f"**Between implants** {chords} mm, straight."] if chords else []
    return [*said, f"**Front to back** {measure_spread(points):.1f} mm."] if len(points) > 2 else said


def _say_apart(placed: PlacedJaw, numbers: ToothNumbers) -> list[str]:
    pairs = [(angle, a, b) for a, b, angle in placed.list_angles()]
    if not pairs:
        return []
    angle, first, second = max(pairs)
    first, second = name_tooth(first, numbers), name_tooth(second, numbers)
    return [f"**Most apart in lean** {first} and {second}, {angle:.1f}°."]


def _read_sites(sites: Sequence[Document]) -> list[Site]:
    """What can be read of where the sites of a draft stand and how they lean; one off the crest is left out."""
    read = [
        Site(tooth=str(site["tooth"]), **{name: _read_number(site, name) for name in (*_POINT, "position_mm", *_LEANS)})
        for site in sites
    ]
    return [site for site in read if None not in (site.x_mm, site.y_mm) or _is_on_crest(site.position_mm)]


def _is_on_crest(along_mm: Decimal | None) -> bool:
    return along_mm is None or abs(along_mm) <= REACH_MM


def _read_number(table: Mapping[str, Any], name: str) -> Decimal | None:
    """A number of a draft, which may hold anything."""
    try:
        number = Decimal(str(table[name]))
    except (KeyError, InvalidOperation):
        return None
    return number if number.is_finite() else None
