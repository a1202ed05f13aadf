"""How likely each total is: one row an option, columns of chance over one money axis."""

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.pictures.base.rows import (
    KeyItem,
    KeyWords,
    Picture,
    Place,
    RowHeading,
    Sizes,
    draw_heading,
    finish_picture,
)
from estimator.pictures.base.ruler import draw_ruler, lay_ruler
from estimator.pictures.base.shapes import Box, Shape, Stroke


@dataclass(frozen=True, slots=True, kw_only=True)
class SpreadRow:
    """One option: the chance of a total in each step of money from `start` on, and three points of it [money].

    `low`, `middle` and `high` are the 10, 50 and 90 % points.
    """

    name: str
    finding: str
    start: float
    step: float
    chances: tuple[float, ...]
    low: float
    middle: float
    high: float


def draw_spread(rows: Sequence[SpreadRow], sizes: Sizes, *, axis: str, middle: str, words: KeyWords) -> Picture:
    """The height of a column is the chance of a total in it, the same scale in all rows; the line has 8 in 10 inside.

    `middle` names the mark of the point that half of the chances lie under.
    """
    ends = [row.start + row.step * len(row.chances) for row in rows]
    ruler = lay_ruler(max(ends, default=1.0), sizes, words=axis, thousands=words.thousands)
    highest = max((chance / row.step for row in rows for chance in row.chances), default=1.0)
    shapes = draw_ruler(ruler, sizes)
    for index, row in enumerate(rows):
        shapes += draw_heading(RowHeading(name=row.name, finding=row.finding), sizes, index, ruler.span)
        shapes += _draw_row(row, sizes.place_row(index), highest)
    key = (
        KeyItem(sign="square", text="chance", fill="usual", edge="must"),
        KeyItem(sign="stroke", text=middle, fill="ink", edge="ink"),
        KeyItem(sign="span", text=words.chances, fill="ink", edge="ink"),
    )
    return finish_picture(shapes, key, sizes, len(rows), ruler.span)


def _draw_row(row: SpreadRow, place: Place, highest: float) -> list[Shape]:
    tall, foot = place.bar_foot - place.bar_top, place.bar_foot
    columns: list[Shape] = [
        Box(
            x0=row.start + index * row.step, x1=row.start + (index + 1) * row.step,
            y0=foot - chance / row.step / highest * tall, y1=foot, fill="usual",
        )
        for index, chance in enumerate(row.chances)
        if chance > 0
    ]  # fmt: skip
    y, half = foot + 5, 4
    return [
        *columns,
        Stroke(x0=row.low, x1=row.high, y0=y, y1=y, width=1.5),
        *(Stroke(x0=x, x1=x, y0=y - half, y1=y + half, width=1.5) for x in (row.low, row.high)),
        Stroke(x0=row.middle, x1=row.middle, y0=y - half, y1=y + half, width=3.5),
    ]
