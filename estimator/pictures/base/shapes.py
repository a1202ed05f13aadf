"""Shapes of a picture: x in the unit of its ruler (mm, weeks, money), y and sizes in points (paper) or pixels (screen).

Colours are roles ("ink", "must", "rule"), so one list of shapes serves light, dark and grey, screen and paper.
"""

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A rectangle from (x0, y0) to (x1, y1); without fill or edge that part is not drawn."""

    x0: float
    x1: float
    y0: float
    y1: float
    fill: str | None = None
    edge: str | None = None
    dashed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Slant:
    """A box that leans: its top edge at y0 from x0 to x1, its foot at y1 as far to the right of it as `foot` says."""

    x0: float
    x1: float
    y0: float
    y1: float
    foot: float
    fill: str = "usual"
    edge: str = "must"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """A straight line; `width` in points or pixels."""

    x0: float
    x1: float
    y0: float
    y1: float
    colour: str = "ink"
    width: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Lettering:
    """One line of text, its middle at y; `dx` moves it right by points or pixels; align is left, center or right."""

    x: float
    y: float
    text: str
    size: float
    bold: bool = False
    align: str = "left"
    colour: str = "ink"
    dx: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A sign of fixed size, its middle at (x, y): a key of `SIGNS`, or "circle"."""

    x: float
    y: float
    sign: str
    size: float
    fill: str | None = "ink"
    edge: str | None = "ink"
    dx: float = 0.0


Shape = Box | Slant | Stroke | Lettering | Mark
Point = tuple[float, float]


def _bar(x0: float, y0: float, x1: float, y1: float) -> tuple[Point, ...]:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


_DASHES, _STEPS = 6, 4


def _arc(number: int) -> tuple[Point, ...]:
    """One dash of a circle, as a piece of a ring."""
    whole = 2 * math.pi / _DASHES
    angles = [whole * (number + 0.62 * step / _STEPS) for step in range(_STEPS + 1)]
    outer, inner = (
        [(round(radius * math.cos(angle), 3), round(radius * math.sin(angle), 3)) for angle in angles]
        for radius in (1.0, 0.76)
    )
    return (*outer, *reversed(inner))


_SLOT: tuple[Point, ...] = (
    (-0.95, -0.75), (-0.95, 0.95), (0.95, 0.95), (0.95, -0.75),
    (0.72, -0.75), (0.72, 0.72), (-0.72, 0.72), (-0.72, -0.75),
)  # fmt: skip

SIGNS: dict[str, tuple[tuple[Point, ...], ...]] = {
    "square": (_bar(-0.9, -0.9, 0.9, 0.9),),
    "span": (_bar(-1, -0.1, 1, 0.1), _bar(-1, -0.6, -0.8, 0.6), _bar(0.8, -0.6, 1, 0.6)),
    "stroke": (_bar(-0.22, -1, 0.22, 1),),
    "fits": (_SLOT, _bar(-0.5, 0, 0.5, 0.72)),
    "tight": (_SLOT, _bar(-0.5, -0.75, 0.5, 0.72)),
    "does_not_fit": (_SLOT, _bar(-0.5, -1.25, 0.5, 0.72)),
    "not_measured": (_SLOT,),
    "no_place": tuple(_arc(number) for number in range(_DASHES)),
}
"""Signs as polygons on a square from -1 to 1, y downwards. A verdict is a slot and what stands in it."""

_DOT, DOT_STEP = 0.72, 1.0
"""Size of a dot, and from one to the next, in that of the words beside it."""


def list_dots(places: int, planned: int, *, x: float, y: float, size: float) -> tuple[Mark, ...]:
    """Places on a bar, for counting alone: a full dot for each attachment that has one, a dashed ring for the others.

    `size` is that of the words beside them; they take planned · size · DOT_STEP to the right of x.
    """
    return tuple(
        Mark(
            x=x, y=y, sign="circle" if number < places else "no_place", size=size * _DOT,
            edge="ink" if number < places else None, dx=size * (DOT_STEP * number + 0.5),
        )
        for number in range(planned)
    )  # fmt: skip
