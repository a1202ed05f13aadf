"""Where things stand in the drawing of the jaw: names apart, long ones in lines, sites at their places."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

from estimator.pictures.base.lettering import estimate_width
from estimator.pictures.base.rows import Extent

_NEXT = 0.92
"""How much of the distance to the next site a site takes at most."""
_NEAR_MM = 0.05


def spread_apart(
    wanted: Sequence[float], lengths: Sequence[float], *, low: float = -math.inf, high: float = math.inf
) -> tuple[float, ...]:
    """Middles as near to the wanted ones, in their order, as pieces of these lengths can stand without overlap.

    The sum of squared moves is least (isotonic regression by pooling). Pieces stay between `low` and `high`, which
    must be far enough apart for all of them.
    """
    before = list(accumulate(lengths, initial=0.0))
    free = [at - length / 2 - start for at, length, start in zip(wanted, lengths, before, strict=False)]
    held = (max(low, min(shift, high - before[-1])) for shift in _pool(free))
    return tuple(shift + start + length / 2 for shift, start, length in zip(held, before, lengths, strict=False))


def _pool(values: Sequence[float]) -> list[float]:
    """The nearest values that never fall: each run that falls becomes its mean."""
    pools: list[tuple[float, int]] = []
    for value in values:
        pool = (value, 1)
        while pools and pools[-1][0] / pools[-1][1] >= pool[0] / pool[1]:
            last = pools.pop()
            pool = (last[0] + pool[0], last[1] + pool[1])
        pools.append(pool)
    return [total / count for total, count in pools for _ in range(count)]


def shorten(text: str, *, size: float, width: float, bold: bool = False) -> str:
    """A line of text, with an ellipsis for what has no room."""
    if estimate_width(text, size=size, bold=bold) <= width:
        return text
    while text and estimate_width(f"{text}…", size=size, bold=bold) > width:
        text = text[:-1]
    return f"{text.rstrip()}…"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """The drawing from left to right; the unit of x is a millimetre along the arch, `per_mm` of them points or pixels.

    `right` is where the sites end and the names begin to be led out. Widths are drawn at `shrink` of their millimetres
    so that neighbours stay apart; `half_mm` is half the width of the room line, shrunk already. `ends` are where the
    outermost things stand; `to_scale` says that nothing was moved along the arch.
    """

    span: Extent
    ruler: float
    right: float
    sites: tuple[float, ...]
    ends: Extent
    to_scale: bool
    per_mm: float
    shrink: float
    half_mm: float

    def across(self, length: float) -> float:
        """A length in points or pixels as millimetres along the arch."""
        return length / self.per_mm

    def place(self, x: float) -> float:
        """How far from the left end x stands, in points or pixels."""
        return (x - self.span[0]) * self.per_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Margins:
    """What stands beside the sites, in points or pixels: the ruler, ruler and words left of them, all right of them."""

    ruler: float
    left: float
    right: float


def lay_stage(
    places: Sequence[float] | None, count: int, *, widest_mm: float, scale: float, pitch: float, width: float,
    margins: Margins,
) -> Stage:  # fmt: skip
    """Sites at their places, or evenly apart where those are not known; never wider than they are high to scale.

    Sites nearer together than `pitch` (points or pixels) are moved apart, all of them if there is no room else.
    """
    even = tuple((index - (count - 1) / 2) * widest_mm * 1.15 for index in range(count))
    wanted = tuple(places) if places else even
    zone = width - margins.left - margins.right
    per_mm = min(scale, zone / (wanted[-1] - wanted[0] + widest_mm))
    pitch = min(pitch, zone / count)
    middle = (wanted[0] + wanted[-1]) / 2 * per_mm
    moved = spread_apart(
        [x * per_mm for x in wanted], [pitch] * count, low=middle - zone / 2, high=middle + zone / 2 + 1e-6
    )
    sites = tuple(x / per_mm for x in moved)
    shrink = min([1.0, *(_NEXT * (b - a) / widest_mm for a, b in pairwise(sites))])
    half = widest_mm * shrink / 2
    margin = max(half, min(pitch, zone / count) / 2 / per_mm)
    start = sites[0] - margin - margins.left / per_mm
    return Stage(
        span=(start, start + width / per_mm), ruler=start + margins.ruler / per_mm, right=sites[-1] + margin,
        sites=sites, ends=(sites[0], sites[-1]), per_mm=per_mm, shrink=shrink, half_mm=half,
        to_scale=bool(places) and all(abs(a - b) < _NEAR_MM for a, b in zip(sites, wanted, strict=True)),
    )  # fmt: skip
