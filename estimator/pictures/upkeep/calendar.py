"""Things that usually need doing, on a calendar of years: a dot where the next one is to be expected on average."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from estimator.pictures.base.labels import draw_hairline, draw_label
from estimator.pictures.base.rows import KeyItem, Picture, Sizes, add_key
from estimator.pictures.base.ruler import draw_ruler, lay_ruler
from estimator.pictures.base.shapes import Mark, Shape, Stroke

_LEAST_APART = 0.55
"""How near two dots may stand, in heights of a dot; nearer ones become a line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarRow:
    """One thing: how often in all, in words, and when on average the first, second … is to be expected [years]."""

    name: str
    note: str
    years: tuple[float, ...]


def list_times(by_year: Sequence[float]) -> tuple[float, ...]:
    """When the expected number passes one half, one and a half …: the middle of each expected time [years].

    `by_year` are the expected numbers of each year; within a year they are taken as evenly spread.
    """
    times, so_far, wanted = [], 0.0, 0.5
    for year, count in enumerate(by_year):
        while count > 0 and wanted <= so_far + count + 1e-9:
            times.append(year + (wanted - so_far) / count)
            wanted += 1.0
        so_far += count
    return tuple(times)


def draw_calendar(rows: Sequence[CalendarRow], years: int, sizes: Sizes, *, axis: str, dot: str, many: str) -> Picture:
    """A row a thing; what is to be expected so often that its dots would touch is one line.

    `axis` says what is counted, `dot` and `many` what a dot and a line are. Raises ValueError without a row.
    """
    if not rows:
        raise ValueError("'rows' must hold one row or more (got none)")
    ruler = lay_ruler(float(years), sizes, words=axis, thousands=",")
    shapes, top, size = draw_ruler(ruler, sizes), sizes.head + sizes.small * 0.35, sizes.small * 0.8
    apart = size * _LEAST_APART / sizes.width * (ruler.span[1] - ruler.span[0])
    lined = False
    cuts = []
    for index, row in enumerate(rows):
        cuts.append(top)
        shapes += [draw_hairline(ruler.span, top)] if index else []
        words, foot = draw_label(row.name, row.note, sizes, span=ruler.span, top=top + sizes.small * 0.3)
        middle = foot + size * 0.75
        crowded = len(row.years) > 1 and min(_list_gaps(row.years)) < apart
        lined = lined or crowded
        shapes += [*words, *_draw_marks(row, middle, size, crowded=crowded)]
        top = middle + size * 0.95
    key = [KeyItem(sign="circle", text=dot, fill="must", edge="must")]
    key += [KeyItem(sign="span", text=many, fill="must", edge="must")] if lined else []
    return replace(add_key(shapes, tuple(key), sizes, top=top, span=ruler.span), cuts=tuple(cuts))


def _list_gaps(years: Sequence[float]) -> list[float]:
    return [b - a for a, b in pairwise(years)]


def _draw_marks(row: CalendarRow, middle: float, size: float, *, crowded: bool) -> list[Shape]:
    if crowded:
        return [Stroke(x0=row.years[0], x1=row.years[-1], y0=middle, y1=middle, colour="must", width=size * 0.5)]
    return [Mark(x=year, y=middle, sign="circle", size=size, fill="must", edge="must") for year in row.years]
