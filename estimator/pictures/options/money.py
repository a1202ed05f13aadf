"""The third picture: what each option costs to begin with and what its upkeep may come to, on one axis of money."""

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
from estimator.pictures.base.ruler import draw_ruler, lay_ruler
from estimator.pictures.base.shapes import Box, Shape, Stroke


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyRow:
    """One option: first cost, and first cost and upkeep together as (low, expected, high).

    `first` of 0 is a line at zero (nothing to pay), None leaves the row empty. `set_aside` is the price of an option
    that there is not enough room for: it stays to be read, dashed and unbold.
    """

    name: str
    finding: str
    foot: str = ""
    first: Decimal | None = None
    total: tuple[Decimal, Decimal, Decimal] | None = None
    set_aside: bool = False

    @property
    def largest(self) -> Decimal:
        """The largest amount of the row."""
        amounts: list[Decimal] = [self.first or Decimal(0), *(self.total or ())]
        return max(amounts)


def draw_money(rows: Sequence[MoneyRow], sizes: Sizes, *, axis: str, words: KeyWords, alone: bool = False) -> Picture:
    """First cost dark, expected upkeep light after it, the range of both together as a line with ends.

    `axis` says what is counted, such as "US dollars". Amounts become places on the ruler here, which is why they are
    no longer Decimal; nothing is computed with them.
    """
    largest = float(max((row.largest for row in rows), default=Decimal(0)))
    ruler = lay_ruler(largest, sizes, words=axis, thousands=words.thousands)
    headings = [
        RowHeading(name=row.name, finding=row.finding, foot=row.foot, alone=alone, set_aside=row.set_aside)
        for row in rows
    ]
    sizes = fit_headings(headings, sizes)
    shapes = draw_ruler(ruler, sizes)
    for index, row in enumerate(rows):
        shapes += draw_heading(headings[index], sizes, index, ruler.span)
        shapes += _draw_row(row, sizes, sizes.place_row(index))
    key = (
        KeyItem(sign="square", text=words.first, fill="must", edge="must"),
        KeyItem(sign="square", text=words.upkeep, fill="usual", edge="must"),
        KeyItem(sign="span", text=words.chances, fill="ink", edge="ink"),
    )
    return finish_picture(shapes, key, sizes, len(rows), ruler.span)


def _draw_row(row: MoneyRow, sizes: Sizes, place: Place) -> list[Shape]:
    if row.first is None:
        return []
    first, shapes = float(row.first), list[Shape]()
    if not row.total:
        return _draw_first(first, row.set_aside, place)
    low, expected, high = (float(amount) for amount in row.total)
    edge, fill = ("line", None) if row.set_aside else ("must", "usual")
    upkeep = Box(x0=first, x1=expected, y0=place.bar_top, y1=place.bar_foot, fill=fill, edge=edge, dashed=row.set_aside)
    shapes += [upkeep, *_draw_first(first, row.set_aside, place)]
    return [*shapes, *_draw_range(low, high, place.middle, sizes.bar / 4, "line" if row.set_aside else "ink")]


def _draw_first(first: float, set_aside: bool, place: Place) -> list[Shape]:
    if first == 0:
        return [Stroke(x0=0, x1=0, y0=place.bar_top, y1=place.bar_foot, width=2.5)]
    edge, fill = ("line", "pale") if set_aside else ("must", "must")
    return [Box(x0=0, x1=first, y0=place.bar_top, y1=place.bar_foot, fill=fill, edge=edge, dashed=set_aside)]


def _draw_range(low: float, high: float, middle: float, half: float, colour: str) -> list[Shape]:
    """A line from low to high with an end at each."""
    return [
        Stroke(x0=low, x1=high, y0=middle, y1=middle, width=2, colour=colour),
        *(Stroke(x0=at, x1=at, y0=middle - half, y1=middle + half, width=2, colour=colour) for at in (low, high)),
    ]
