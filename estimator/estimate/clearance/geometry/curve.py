"""The curve of the crest, seen from above: y = A x⁶ + B x² through the crest at the canine and at the first molar. [mm]

x runs from the midline, the patient's right positive; y from the front of the crest backwards; s along the curve from
the midline. The form lies nearest the generalised beta function: Noroozi et al. Angle Orthod 2001;71:386-389.
"""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from estimator.inputs.reference.usual_arch import CrestPoint, UsualArch

REACH_MM = 60.0
"""How far along the crest a place may lie, to either side."""
_PANELS = 200
_SIMPSON = np.array([1.0, *([4.0, 2.0] * (_PANELS // 2 - 1)), 4.0, 1.0]) / 3
_STEPS = np.linspace(0.0, 1.0, _PANELS + 1)
_GRID_MM = 0.05
_EXACT_MM = 1e-12

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class ArchCurve:
    """The crest of a jaw; `a` [mm⁻⁵] and `b` [mm⁻¹] are the factors of x⁶ and x², `molar_mm` half the molar width.

    `canine_used` is False where the crest through both points would bend inwards: then the molar alone shapes it.
    """

    a: float
    b: float
    molar_mm: float
    canine_used: bool = True

    def find_depth(self, x_mm: float) -> float:
        """How far behind the front of the crest it runs at x. [mm]"""
        return self.a * x_mm**6 + self.b * x_mm**2

    def find_slope(self, x_mm: float) -> float:
        """dy/dx."""
        return 6 * self.a * x_mm**5 + 2 * self.b * x_mm

    def measure_along(self, x_mm: float) -> float:
        """Length of the crest from the midline to x, negative to the left. [mm] Simpson's rule."""
        x = _STEPS * x_mm
        slopes = 6 * self.a * x**5 + 2 * self.b * x
        return float(_SIMPSON @ np.sqrt(1 + slopes**2)) * x_mm / _PANELS

    def find_x(self, along_mm: float) -> float:
        """x of a place along the crest. [mm] Newton from outside, where the convex length cannot be overshot."""
        if abs(along_mm) > REACH_MM:
            raise ValueError(f"'along_mm' must be {REACH_MM:g} or less to either side (got {along_mm:g})")
        x = along_mm
        for _ in range(100):
            step = (self.measure_along(x) - along_mm) / math.hypot(1, self.find_slope(x))
            x -= step
            if abs(step) < _EXACT_MM:
                break
        return x


@dataclass(frozen=True, slots=True, kw_only=True)
class ArchPlace:
    """Where something stands in the arch: its own point, the nearest of the crest, and which way that runs.

    `heading_deg` is 0 in the midline and nears 90 at the molars. `facial_mm` is how far facially of the crest the
    point lies, negative lingually.
    """

    x_mm: float
    y_mm: float
    along_mm: float
    heading_deg: float
    facial_mm: float = 0.0

    @property
    def point(self) -> Point:
        """x and y. [mm]"""
        return self.x_mm, self.y_mm


def fit_curve(canine_mm: Point, molar_mm: Point) -> ArchCurve:
    """The curve through (half width, depth) of the crest at canine and first molar. [mm]

    Raises ValueError where the canine does not lie in front of the molar and nearer to the midline.
    """
    (xc, yc), (xm, ym) = canine_mm, molar_mm
    if not (0 < xc < xm and 0 < yc < ym):
        raise ValueError(f"'canine_mm' must lie in front of 'molar_mm' and inside it (got {canine_mm}, {molar_mm})")
    near, far = yc / xc**2, ym / xm**2
    if far < near:
        return ArchCurve(a=0.0, b=far, molar_mm=xm, canine_used=False)
    a = (far - near) / (xm**4 - xc**4)
    return ArchCurve(a=a, b=near - a * xc**4, molar_mm=xm)


def shape_curve(usual: UsualArch, molar_width_mm: float | None = None) -> ArchCurve:
    """The usual curve of a jaw; a measured width between the crests at the first molars scales it as a whole."""
    canine, molar = _read_point(usual.canine), _read_point(usual.molar)
    scale = 1.0 if molar_width_mm is None else molar_width_mm / (2 * molar[0])
    return fit_curve((scale * canine[0], scale * canine[1]), (scale * molar[0], scale * molar[1]))


def _read_point(point: CrestPoint) -> Point:
    return float(point.half_width_mm), float(point.depth_mm)


def find_usual_along(curve: ArchCurve, usual: UsualArch, tooth: int, *, left: bool) -> float | None:
    """Where along a curve a tooth usually stands, counted from the midline; None for one without a usual place. [mm]

    A curve that is wider at the first molars carries its teeth as much further along.
    """
    along = usual.along_mm.get(tooth)
    if along is None:
        return None
    scale = curve.measure_along(curve.molar_mm) / shape_curve(usual).measure_along(float(usual.molar.half_width_mm))
    return (-1 if left else 1) * float(along) * scale


@lru_cache(maxsize=512)
def place_along(curve: ArchCurve, along_mm: float) -> ArchPlace:
    """The place on the crest that far along it. [mm]"""
    x = curve.find_x(along_mm)
    return ArchPlace(x_mm=x, y_mm=curve.find_depth(x), along_mm=along_mm, heading_deg=_find_heading(curve, x))


def place_point(curve: ArchCurve, x_mm: float, y_mm: float) -> ArchPlace:
    """A point that was typed or dragged: it keeps itself and takes the rest from the nearest point of the crest."""
    side, x = (-1 if x_mm < 0 else 1), abs(x_mm)
    nearest = _find_nearest(curve, x, y_mm)
    heading = math.atan(curve.find_slope(nearest))
    facial = (x - nearest) * math.sin(heading) - (y_mm - curve.find_depth(nearest)) * math.cos(heading)
    return ArchPlace(
        x_mm=x_mm, y_mm=y_mm, along_mm=side * curve.measure_along(nearest), heading_deg=math.degrees(heading),
        facial_mm=facial,
    )  # fmt: skip


def _find_heading(curve: ArchCurve, x_mm: float) -> float:
    return math.degrees(math.atan(curve.find_slope(abs(x_mm))))


def _find_nearest(curve: ArchCurve, x_mm: float, y_mm: float) -> float:
    """x of the nearest point on the right half of the crest: the best of a fine grid, then thirds around it."""
    end = curve.find_x(REACH_MM)
    grid = np.append(np.arange(0.0, end, _GRID_MM), end)
    nearest = float(grid[np.argmin((grid - x_mm) ** 2 + (curve.a * grid**6 + curve.b * grid**2 - y_mm) ** 2)])
    low, high = max(0.0, nearest - _GRID_MM), min(end, nearest + _GRID_MM)
    for _ in range(60):
        third = (high - low) / 3
        if _square_distance(curve, low + third, x_mm, y_mm) < _square_distance(curve, high - third, x_mm, y_mm):
            high -= third
        else:
            low += third
    return (low + high) / 2


def _square_distance(curve: ArchCurve, at_mm: float, x_mm: float, y_mm: float) -> float:
    return (at_mm - x_mm) ** 2 + (curve.find_depth(at_mm) - y_mm) ** 2
