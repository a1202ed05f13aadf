"""The second picture: the trips of each option on one calendar, of weeks or of months."""

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.pictures.base.lettering import estimate_width
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
from estimator.pictures.base.ruler import Ruler, draw_ruler, lay_ruler
from estimator.pictures.base.shapes import Box, Lettering, Mark, Shape, Stroke


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeRow:
    """One option: the weeks of its trips and the week of the final teeth, counted from the first visit [weeks]."""

    name: str
    finding: str
    foot: str = ""
    trips_week: tuple[float, ...] = ()
    teeth_week: float | None = None

    @property
    def last_week(self) -> float:
        """The last thing that happens [weeks]; 0 if nothing does."""
        return max((*self.trips_week, self.teeth_week or 0.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Months:
    """The first days of months as weeks from the first visit, each with its name; `words` say from which day."""

    words: str
    marks: tuple[tuple[float, str], ...]


def draw_time(
    rows: Sequence[TimeRow], sizes: Sizes, *, words: KeyWords, alone: bool = False, months: Months | None = None
) -> Picture:
    """A dot for each trip; the tall mark is the week of the final teeth. With `months` the ruler names them."""
    weeks = max((row.last_week for row in rows), default=0.0)
    ruler = lay_ruler(weeks, sizes, words=words.time_axis, thousands=words.thousands)
    headings = [RowHeading(name=row.name, finding=row.finding, foot=row.foot, alone=alone) for row in rows]
    sizes = fit_headings(headings, sizes)
    shapes = draw_ruler(ruler, sizes) if months is None else _draw_months(months, ruler, sizes)
    for index, row in enumerate(rows):
        shapes += draw_heading(headings[index], sizes, index, ruler.span)
        shapes += _draw_row(row, sizes, sizes.place_row(index))
    key = (
        KeyItem(sign="circle", text=words.trip, fill="must", edge="must"),
        KeyItem(sign="stroke", text=words.teeth, fill="must", edge="must"),
    )
    return finish_picture(shapes, key, sizes, len(rows), ruler.span)


def _draw_months(months: Months, ruler: Ruler, sizes: Sizes) -> list[Shape]:
    """A strip with a tick at the beginning of each month, and its name where there is room for it."""
    left, right = ruler.span
    top, foot, gap = sizes.small * 1.6, sizes.head, sizes.small * 0.35
    shapes: list[Shape] = [
        Box(x0=left, x1=right, y0=top, y1=foot, fill="stone", edge="line"),
        Lettering(x=left, y=sizes.small * 0.75, text=months.words, size=sizes.small, colour="quiet"),
    ]
    taken = 0.0
    for week, name in months.marks:
        if not left < week < right:
            continue
        start = ruler.place(week, sizes.width) + gap
        end = start + estimate_width(name, size=sizes.small)
        named = start >= taken and end <= sizes.width
        shapes.append(Stroke(x0=week, x1=week, y0=top if named else foot - (foot - top) * 0.3, y1=foot))
        if named:
            taken = end + gap
            shapes.append(Lettering(x=week, y=top + (foot - top) / 2, text=name, size=sizes.small, dx=gap))
    return shapes


def _draw_row(row: TimeRow, sizes: Sizes, place: Place) -> list[Shape]:
    shapes: list[Shape] = []
    if row.last_week > 0:
        shapes.append(Stroke(x0=0, x1=row.last_week, y0=place.middle, y1=place.middle, colour="line", width=1.5))
    shapes += [
        Mark(x=week, y=place.middle, sign="circle", size=sizes.bar * 0.4, fill="must", edge="paper")
        for week in row.trips_week
    ]
    if row.teeth_week is not None:
        teeth = Mark(x=row.teeth_week, y=place.middle, sign="stroke", size=sizes.bar * 1.05, fill="must", edge="must")
        shapes.append(teeth)
    return shapes
