"""The cost so far by year: one row an option, one calendar of years above, one money scale for all rows."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.pictures.base.rows import (
    KeyItem,
    KeyWords,
    Picture,
    Place,
    RowHeading,
    Sizes,
    draw_heading,
    finish_picture,
    fit_headings,
)
from estimator.pictures.base.ruler import draw_ruler, format_numeral, lay_ruler, round_up
from estimator.pictures.base.shapes import Lettering, Shape, Stroke


@dataclass(frozen=True, slots=True, kw_only=True)
class YearsRow:
    """One option: first cost, then low, expected and high cost up to the end of each year."""

    name: str
    finding: str
    foot: str = ""
    first: Decimal
    so_far: tuple[tuple[Decimal, Decimal, Decimal], ...]


def draw_years(rows: Sequence[YearsRow], sizes: Sizes, *, axis: str, expected: str, words: KeyWords) -> Picture:
    """The expected cost as a thick line, its range between two thin ones, the first cost as a bar at the start.

    Every row has the same money scale; the line above each says its largest amount. `axis` says what is counted,
    `expected` what the thick line is.
    """
    years = max((len(row.so_far) for row in rows), default=1)
    top = _find_top(rows)
    ruler = lay_ruler(float(years), sizes, words=axis, thousands=words.thousands)
    headings = [RowHeading(name=row.name, finding=row.finding, foot=row.foot) for row in rows]
    sizes = fit_headings(headings, sizes)
    shapes = draw_ruler(ruler, sizes)
    for index, row in enumerate(rows):
        shapes += draw_heading(headings[index], sizes, index, ruler.span)
        shapes += _draw_row(row, sizes, sizes.place_row(index), top, ruler.span[1], words)
    key = (
        KeyItem(sign="stroke", text=words.first, fill="must", edge="must"),
        KeyItem(sign="square", text=expected, fill="usual", edge="must"),
        KeyItem(sign="span", text=words.chances, fill="ink", edge="ink"),
    )
    return finish_picture(shapes, key, sizes, len(rows), ruler.span)


def _find_top(rows: Sequence[YearsRow]) -> float:
    """A round amount above every other."""
    largest = max((float(amount) for row in rows for year in row.so_far for amount in year), default=1.0)
    step = 10.0 ** max(0, len(str(int(largest))) - 1) / 2
    return round_up(largest, step)


def _draw_row(row: YearsRow, sizes: Sizes, place: Place, top: float, end: float, words: KeyWords) -> list[Shape]:
    def y(amount: Decimal) -> float:
        return place.bar_foot - float(amount) / top * (place.bar_foot - place.bar_top)

    label = format_numeral(top, words.thousands)
    shapes: list[Shape] = [
        Stroke(x0=0, x1=end, y0=place.bar_top, y1=place.bar_top, colour="line", width=0.7),
        Stroke(x0=0, x1=end, y0=place.bar_foot, y1=place.bar_foot, colour="line", width=0.7),
        Lettering(x=0, y=place.bar_top + sizes.small * 0.7, text=label, size=sizes.small, colour="quiet", dx=6),
        Stroke(x0=0, x1=0, y0=place.bar_foot, y1=y(row.first), colour="must", width=7),
    ]
    before = (row.first, row.first, row.first)
    for year, so_far in enumerate(row.so_far):
        for old, new, colour, width in zip(before, so_far, ("ink", "usual", "ink"), (1.0, 4.0, 1.0), strict=True):
            shapes.append(Stroke(x0=year, x1=year + 1, y0=y(old), y1=y(new), colour=colour, width=width))
        before = so_far
    return shapes
