"""Axes of implants in space, the angles between them and the narrowest cone that holds them all. [degrees]

x and y lie in the plane of the arch as on its curve; z points out of the bone, in either jaw.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from estimator.estimate.clearance.chance.jaw import Floats, find_normal_chance

_FLAT = 1e-12
_REACH = 8.0
_NODES = 801


@dataclass(frozen=True, slots=True, kw_only=True)
class CommonPath:
    """The best common path of insertion: its unit axis, and the greatest angle of an implant from it [degrees]."""

    axis: Floats
    cone_deg: float


def make_axis(*, heading_deg: float, right: bool, mesiodistal_deg: float, faciolingual_deg: float) -> Floats:
    """Unit axis of an implant from its two leans, + distally and + facially, where the arch has that heading."""
    side, heading = (1.0 if right else -1.0), math.radians(heading_deg)
    distal = np.array([side * math.cos(heading), math.sin(heading), 0.0])
    facial = np.array([side * math.sin(heading), -math.cos(heading), 0.0])
    leans = math.tan(math.radians(mesiodistal_deg)) * distal + math.tan(math.radians(faciolingual_deg)) * facial
    return _as_unit(leans + np.array([0.0, 0.0, 1.0]))


def find_angle(one: Floats, other: Floats) -> float:
    """Angle between two unit axes [degrees], by its half, which keeps its digits near 0."""
    return math.degrees(2 * math.asin(min(1.0, float(np.linalg.norm(one - other)) / 2)))


def find_axis_lean(axis: Floats) -> float:
    """Angle of a unit axis from the vertical [degrees]."""
    return find_angle(axis, np.array([0.0, 0.0, 1.0]))


def find_greatest_angle(axes: Sequence[Floats]) -> float:
    """Greatest angle between any two of the axes [degrees]; 0 for one."""
    return max((find_angle(one, other) for one, other in combinations(axes, 2)), default=0.0)


def find_common_path(axes: Sequence[Floats]) -> CommonPath:
    """The narrowest cone that holds every axis; exact, because two or three of them decide it."""
    if len(axes) == 1:
        return CommonPath(axis=axes[0], cone_deg=0.0)
    paths = (CommonPath(axis=p, cone_deg=max(find_angle(p, axis) for axis in axes)) for p in _list_paths(axes))
    return min(paths, key=lambda path: path.cone_deg)


def bound_path_chance(axes: Sequence[Floats], *, error_deg: float, limit_deg: float) -> tuple[float, float]:
    """Least and greatest chance that the placed axes have a path within the limit of them all.

    Each axis misses by `error_deg` (standard deviation) in each of two directions; angles count as lengths in a plane.
    The path of the plan is one that may do; that no two may differ by more than twice the limit is the least it takes.
    """
    path = find_common_path(axes).axis
    least = math.prod(_chance_within(limit_deg, find_angle(axis, path), error_deg) for axis in axes)
    pairs = [find_angle(one, other) for one, other in combinations(axes, 2)]
    most = min((_chance_within(2 * limit_deg, pair, error_deg * math.sqrt(2)) for pair in pairs), default=1.0)
    return least, most


def _list_paths(axes: Sequence[Floats]) -> Iterator[Floats]:
    for one, other in combinations(axes, 2):
        yield _as_unit(one + other)
    for one, other, third in combinations(axes, 3):
        normal = np.cross(other - one, third - one)
        if np.linalg.norm(normal) > _FLAT:
            yield _as_unit(normal if normal @ one > 0 else -normal)


def _as_unit(vector: Floats) -> Floats:
    return np.asarray(vector / np.linalg.norm(vector), dtype=float)


def _chance_within(limit: float, planned: float, sd: float) -> float:
    """Chance that a point planned that far away ends within the limit, by strips across the circle (Rice's law)."""
    if sd == 0:
        return float(planned <= limit)
    ends = [max(-1.0, min(1.0, (planned + sign * _REACH * sd) / limit)) for sign in (-1, 1)]
    turn = np.linspace(math.asin(ends[0]), math.asin(ends[1]), _NODES)
    across = 2 * find_normal_chance(limit * np.cos(turn) / sd) - 1
    density = np.exp(-(((limit * np.sin(turn) - planned) / sd) ** 2) / 2) / (sd * math.sqrt(2 * math.pi))
    return min(1.0, float(np.trapezoid(across * density * limit * np.cos(turn), turn)))
