"""The second picture: the trips of each option on one calendar of weeks."""

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.pictures.rows import (
    Heading,
    KeyItem,
    KeyWords,
    Picture,
    Place,
    Sizes,
    draw_heading,
    finish_picture,
    fit_headings,
)
from estimator.pictures.ruler import draw_ruler, lay_ruler
from estimator.pictures.shapes import Line, Mark, Shape


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


def draw_time(rows: Sequence[TimeRow], sizes: Sizes, *, words: KeyWords, alone: bool = False) -> Picture:
    """A dot for each trip; the tall mark is the week of the final teeth."""
    weeks = max((row.last_week for row in rows), default=0.0)
    ruler = lay_ruler(weeks, sizes, words=words.time_axis, thousands=words.thousands)
    headings = [Heading(name=row.name, finding=row.finding, foot=row.foot, alone=alone) for row in rows]
    sizes = fit_headings(headings, sizes)
    shapes = draw_ruler(ruler, sizes)
    for index, row in enumerate(rows):
        shapes += draw_heading(headings[index], sizes, index, ruler.span)
        shapes += _draw_row(row, sizes, sizes.place_row(index))
    key = (
        KeyItem(sign="circle", text=words.trip, fill="must", edge="must"),
        KeyItem(sign="stroke", text=words.teeth, fill="must", edge="must"),
    )
    return finish_picture(shapes, key, sizes, len(rows), ruler.span)


def _draw_row(row: TimeRow, sizes: Sizes, place: Place) -> list[Shape]:
    shapes: list[Shape] = []
    if row.last_week > 0:
        shapes.append(Line(x0=0, x1=row.last_week, y0=place.middle, y1=place.middle, colour="line", width=1.5))
    shapes += [
        Mark(x=week, y=place.middle, sign="circle", size=sizes.bar * 0.4, fill="must", edge="paper")
        for week in row.trips_week
    ]
    if row.teeth_week is not None:
        teeth = Mark(x=row.teeth_week, y=place.middle, sign="stroke", size=sizes.bar * 1.05, fill="must", edge="must")
        shapes.append(teeth)
    return shapes
