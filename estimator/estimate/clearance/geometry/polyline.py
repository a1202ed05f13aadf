"""Straight lines through implants, seen from above: chords, turns, spread, and how far the crest leaves them. [mm]"""

import math
from collections.abc import Sequence
from itertools import pairwise

from estimator.estimate.clearance.geometry.curve import ArchCurve, Point


def measure_chord(first: Point, second: Point) -> float:
    """Distance between two implants, which is the chord and not the way along the crest. [mm]"""
    return math.dist(first, second)


def measure_chords(points: Sequence[Point]) -> tuple[float, ...]:
    """Lengths of the segments of a bar through the points in their order. [mm]"""
    return tuple(math.dist(a, b) for a, b in pairwise(points))


def measure_turns(points: Sequence[Point]) -> tuple[float, ...]:
    """By how much a bar turns at each inner point. [degrees]"""
    headings = [math.atan2(b[1] - a[1], b[0] - a[0]) for a, b in pairwise(points)]
    return tuple(abs(math.degrees(math.remainder(b - a, math.tau))) for a, b in pairwise(headings))


def measure_spread(points: Sequence[Point]) -> float:
    """Greatest distance of an inner point from the line through the two end points, by centres; 0 for two. [mm]"""
    return max((_measure_off(point, points[0], points[-1]) for point in points[1:-1]), default=0.0)


def measure_sagitta(curve: ArchCurve, first: Point, second: Point) -> float:
    """Greatest distance of the crest between two of its points from the straight line, which runs lingually. [mm]

    The crest bends one way, so its distance from the line rises to one greatest value, found by thirds.
    """
    low, high = sorted((first[0], second[0]))
    if math.dist(first, second) == 0:
        return 0.0
    for _ in range(80):
        third = (high - low) / 3
        if _measure_crest(curve, low + third, first, second) < _measure_crest(curve, high - third, first, second):
            low += third
        else:
            high -= third
    return _measure_crest(curve, (low + high) / 2, first, second)


def _measure_crest(curve: ArchCurve, x_mm: float, first: Point, second: Point) -> float:
    return _measure_off((x_mm, curve.find_depth(x_mm)), first, second)


def _measure_off(point: Point, first: Point, second: Point) -> float:
    """Distance of a point from the line through two others; from the one place where both are the same."""
    length = math.dist(first, second)
    if length == 0:
        return math.dist(point, first)
    across = (point[0] - first[0]) * (second[1] - first[1]) - (point[1] - first[1]) * (second[0] - first[0])
    return abs(across) / length
