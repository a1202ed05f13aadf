"""Leans of implants and the angles between them. [degrees]"""

import math

from estimator.inputs.case.model import Site, is_left


def find_lean(site: Site) -> float:
    """Lean of an implant from the vertical [degrees]; a direction that was not measured counts as upright."""
    md, fl = float(site.angle_md_deg or 0), float(site.angle_fl_deg or 0)
    return math.degrees(math.atan(math.hypot(math.tan(math.radians(md)), math.tan(math.radians(fl)))))


def find_divergence(a: Site, b: Site) -> tuple[float, float]:
    """Least and greatest angle between two implants [degrees].

    With both directions known the two are equal: the arch is taken as straight between the two (an approximation),
    so that distal points to opposite sides left and right. Otherwise two leans of 6 degrees are 0 to 12 apart.
    """
    known = all(v is not None for s in (a, b) for v in (s.angle_md_deg, s.angle_fl_deg))
    if not known:
        one, other = find_lean(a), find_lean(b)
        return abs(one - other), one + other
    angle = _find_angle(_point_axis(a), _point_axis(b))
    return angle, angle


def _point_axis(site: Site) -> tuple[float, float, float]:
    side = -1 if is_left(site.tooth) else 1
    return (
        side * math.tan(math.radians(float(site.angle_md_deg or 0))),
        math.tan(math.radians(float(site.angle_fl_deg or 0))),
        1.0,
    )


def _find_angle(a: tuple[float, float, float], b: tuple[float, float, float]) -> float:
    cosine = sum(x * y for x, y in zip(a, b, strict=True)) / (math.hypot(*a) * math.hypot(*b))
    return math.degrees(math.acos(min(1.0, max(-1.0, cosine))))
