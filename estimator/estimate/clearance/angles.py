"""Leans of implants and the angles between them. [degrees]"""

import math

from estimator.inputs.case.model import Site


def find_lean(site: Site) -> float:
    """Lean of an implant from the vertical [degrees]; a direction that was not measured counts as upright."""
    md, fl = float(site.angle_md_deg or 0), float(site.angle_fl_deg or 0)
    return math.degrees(math.atan(math.hypot(math.tan(math.radians(md)), math.tan(math.radians(fl)))))


def find_divergence(a: Site, b: Site) -> tuple[float, float]:
    """Least and greatest angle between two implants of which a direction is not known: two leans of 6 degrees are 0
    to 12 apart. [degrees]
    """
    one, other = find_lean(a), find_lean(b)
    return abs(one - other), one + other
