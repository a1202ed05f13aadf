"""Rulers: where they start and end, which ticks and numerals they bear, and how they are drawn.

Spans come from what is drawn, never from a constant: 3 weeks and 60 weeks, 1,500 dollars and 5 million yen.
"""

import math
from dataclasses import dataclass

from estimator.base.formats import TRUE_MINUS
from estimator.pictures.base.lettering import estimate_width
from estimator.pictures.base.rows import Extent, Sizes
from estimator.pictures.base.shapes import Box, Lettering, Shape, Stroke

PAPER_SCALES = (10.0, 8.0, 5.0, 4.0, 2.5)
_INSET = 0.025
"""The share of the ruler kept free before 0, so that its numeral is not cut."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruler:
    """A ruler from `span[0]` to `span[1]` with a tick each `tick` and a numeral each `numeral` units, from `start`."""

    span: Extent
    tick: float
    numeral: float
    words: str
    thousands: str = ","
    boxwood: bool = False
    start: float = 0.0

    def place(self, value: float, width: float) -> float:
        """How far from the left end a value stands in a picture of this width, in the unit of `width`."""
        return (value - self.span[0]) / (self.span[1] - self.span[0]) * width

    def list_numerals(self, sizes: Sizes) -> tuple[tuple[float, str], ...]:
        """Values and their numerals, without those that an end would cut."""
        values = (i * self.numeral for i in _count_steps(self.start, self.span[1], self.numeral))
        labels = ((value, format_numeral(value, self.thousands)) for value in values)
        return tuple((value, text) for value, text in labels if self._has_room(value, text, sizes))

    def _has_room(self, value: float, text: str, sizes: Sizes) -> bool:
        half = estimate_width(text, size=sizes.small) / 2
        return half <= self.place(value, sizes.width) <= sizes.width - half


def span_from_zero(end: float) -> Extent:
    """A span that holds 0 and its numeral on the left and ends at `end`."""
    return (-end * _INSET, end)


def paper_scale(span: Extent, width_mm: float) -> float:
    """How many times life size a span of millimetres can be drawn on a page of this text width [mm].

    Ten to one where it fits, else the next smaller of 8, 5, 4 and 2.5; raises ValueError if none does.
    """
    length_mm = span[1] - span[0]
    for scale in PAPER_SCALES:
        if length_mm * scale <= width_mm + 1e-9:
            return scale
    raise ValueError(f"'span' must be {width_mm / PAPER_SCALES[-1]:.1f} mm long or less (got {length_mm:.1f} mm)")


def choose_numeral(
    end: float, sizes: Sizes, *, least: float, most: int, thousands: str = ",", start: float = 0.0
) -> float:
    """The smallest step, 1, 2 or 5 times a power of ten times `least`, whose numerals are apart and at most `most`."""
    step, place = least, 0
    while not _is_roomy(step, start, end, sizes, most, thousands):
        step, place = step * (2.0, 2.5, 2.0)[place % 3], place + 1
    return step


def divide_step(numeral: float, *, least: float) -> float:
    """The tick for a numeral step of 1, 2 or 5 times a power of ten: 4 or 5 to a numeral, but `least` or more."""
    leading = round(numeral / 10 ** math.floor(math.log10(numeral) + 1e-9))
    return max(least, numeral / (4 if leading == 2 else 5))


def round_up(value: float, step: float) -> float:
    """The next multiple of a step that is not below the value."""
    return math.ceil(value / step - 1e-9) * step


def round_down(value: float, step: float) -> float:
    """The last multiple of a step that is not above the value."""
    return math.floor(value / step + 1e-9) * step


def format_numeral(value: float, thousands: str) -> str:
    """A whole number with its thousands apart and a true minus."""
    return f"{value:,.0f}".replace(",", thousands).replace("-", TRUE_MINUS)


def draw_ruler(
    ruler: Ruler, sizes: Sizes, *, without: float | None = None, words_at_right: bool = False
) -> list[Shape]:
    """A strip with numerals and ticks; above it what it counts. Ticks stand on the lower edge, the edge that measures.

    A numeral that a line at `without` would run through is left out.
    """
    left, right = ruler.span
    top, foot = sizes.small * 1.6, sizes.head
    edge, ink = ("rule_edge", "on_rule") if ruler.boxwood else ("line", "ink")
    x, align = (right, "right") if words_at_right else (left, "left")
    return [
        Box(x0=left, x1=right, y0=top, y1=foot, fill="rule" if ruler.boxwood else "stone", edge=edge),
        Lettering(x=x, y=sizes.small * 0.75, text=ruler.words, size=sizes.small, align=align, colour="quiet"),
        *_draw_ticks(ruler, top, foot, ink),
        *(
            Lettering(x=value, y=top + sizes.small * 0.75, text=text, size=sizes.small, align="center", colour=ink)
            for value, text in ruler.list_numerals(sizes)
            if without is None or not _meets(ruler, sizes, value, text, without)
        ),
    ]


def draw_marked_ruler(
    ruler: Ruler, sizes: Sizes, *, mark: float, label: str, reach: float | None = None
) -> list[Shape]:
    """The ruler with a line right through it at `mark`, a bold label above; the words above give way to each other.

    The label may go as far as `reach`, by default the end of the ruler.
    """
    shift, at_right = _place_label(ruler, sizes, mark, label, reach or sizes.width)
    return [
        *draw_ruler(ruler, sizes, without=mark, words_at_right=at_right),
        Lettering(x=mark, y=sizes.small * 0.75, text=label, size=sizes.small, bold=True, align="center", dx=shift),
        Stroke(x0=mark, x1=mark, y0=sizes.small * 1.6, y1=sizes.head, width=2.5, colour="on_rule"),
    ]


def _place_label(ruler: Ruler, sizes: Sizes, mark: float, label: str, reach: float) -> tuple[float, bool]:
    """How far the label of a mark moves aside, and whether the words of the ruler stand at the right end instead."""
    at, half = ruler.place(mark, sizes.width), estimate_width(label, size=sizes.small, bold=True) / 2
    taken = estimate_width(ruler.words, size=sizes.small) + sizes.small * 0.6
    beside_left = min(max(at, taken + half), reach - half) - at
    beside_right = max(min(at, sizes.width - taken - half), half) - at
    has_room = sizes.width - taken >= 2 * half
    at_right = has_room and abs(beside_right) < abs(beside_left)
    return (beside_right if at_right else beside_left), at_right


def _draw_ticks(ruler: Ruler, top: float, foot: float, ink: str) -> list[Shape]:
    """Short ticks, and long ones under the numerals."""
    per_numeral = max(1, round(ruler.numeral / ruler.tick))
    depths = (
        (i * ruler.tick, 0.38 if i % per_numeral == 0 else 0.2)
        for i in _count_steps(ruler.start, ruler.span[1], ruler.tick)
    )
    return [
        Stroke(x0=x, x1=x, y0=foot - (foot - top) * depth, y1=foot, colour=ink)
        for x, depth in depths
        if ruler.span[0] < x < ruler.span[1]
    ]


def _meets(ruler: Ruler, sizes: Sizes, value: float, text: str, line: float) -> bool:
    half = estimate_width(text, size=sizes.small) / 2
    return abs(ruler.place(value, sizes.width) - ruler.place(line, sizes.width)) < half + 2


def _is_roomy(step: float, start: float, end: float, sizes: Sizes, most: int, thousands: str) -> bool:
    steps, span = _count_steps(start, end, step), _find_span(start, end)
    ends = (format_numeral(i * step, thousands) for i in (*steps[:1], *steps[-1:]))
    widest = max((estimate_width(text, size=sizes.small) for text in ends), default=0.0)
    apart = step / (span[1] - span[0]) * sizes.width
    return len(steps) <= most and apart >= widest + sizes.small * 0.35


def _count_steps(start: float, end: float, step: float) -> range:
    """Which multiples of a step lie from `start` to `end`."""
    return range(math.ceil(start / step - 1e-9), math.floor(end / step + 1e-9) + 1)


def _find_span(start: float, end: float) -> Extent:
    return (start, end) if start else span_from_zero(end)


def lay_ruler(largest: float, sizes: Sizes, *, words: str, thousands: str, most: int = 8) -> Ruler:
    """A ruler in whole units (weeks, money) that ends a little past the largest value, on a tick."""
    end = max(largest, 1.0) * 1.06
    numeral = choose_numeral(end, sizes, least=1.0, most=most, thousands=thousands)
    end = round_up(end, divide_step(numeral, least=1.0))
    numeral = choose_numeral(end, sizes, least=1.0, most=most, thousands=thousands)
    tick = divide_step(numeral, least=1.0)
    return Ruler(span=span_from_zero(end), tick=tick, numeral=numeral, words=words, thousands=thousands)


def lay_millimetres(end: float, sizes: Sizes, *, words: str, start: float = 0.0) -> Ruler:
    """The boxwood ruler: a tick each half millimetre, a numeral each millimetre, thinned out where they would crowd.

    From 0 it begins a little before it; from any other `start` it begins there, as if cut off.
    """
    numeral = choose_numeral(end, sizes, least=1.0, most=16, start=start)
    tick = divide_step(numeral, least=0.5)
    return Ruler(span=_find_span(start, end), tick=tick, numeral=numeral, words=words, boxwood=True, start=start)


def end_of_span(width: float) -> float:
    """Where a span from before 0 ends if the whole of it has this width."""
    return width / (1 + _INSET)
