"""The first picture: what each option needs, stacked up beside the room that is there, under one ruler."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

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
from estimator.pictures.base.ruler import Ruler, draw_marked_ruler, draw_ruler, end_of_span, lay_millimetres, round_up
from estimator.pictures.base.shapes import Box, Lettering, Mark, Shape, Stroke


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomRow:
    """One option: `least_mm` must fit, `usual_mm` should.

    `verdict` is a key of `SIGNS`, or None where nothing has to fit or the option cannot apply; `finding` says which.
    A `foot` under the bar takes the place of the two numbers there. `room_mm` is the room at the site that limits this
    option, where that is another one than the tightest.
    """

    name: str
    finding: str
    foot: str = ""
    verdict: str | None = None
    least_mm: Decimal = Decimal(0)
    usual_mm: Decimal = Decimal(0)
    room_mm: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Measured:
    """The measured room and its error, as places on the ruler [mm]; without a room nothing was measured."""

    room: float | None
    low: float
    high: float


def draw_room(
    rows: Sequence[RoomRow],
    sizes: Sizes,
    *,
    room_mm: Decimal | None,
    error_mm: Decimal,
    words: KeyWords,
    span_mm: float | None = None,
    drawn_width: float | None = None,
) -> Picture:
    """Dark must fit, light should fit, white is left over; the line is the room, the dashed band its error.

    `span_mm` fixes the length of the whole ruler [mm], else it ends a millimetre past the largest value. On paper,
    `paper_scale(picture.span, text_width)` times the length of the span is the width to draw it at: `drawn_width`
    [points], less than that of the sizes, where words may run on past the ruler. Raises ValueError if a value would lie
    past the end of a fixed ruler.
    """
    measured = _measure(room_mm, error_mm)
    ruler = lay_millimetres(_find_end(rows, measured, span_mm), sizes, words=words.room_axis)
    indents = (sizes.body * 1.7 if row.verdict else 0.0 for row in rows)
    headings = [
        RowHeading(name=row.name, finding=row.finding, foot=row.foot, indent=indent)
        for row, indent in zip(rows, indents, strict=True)
    ]
    sizes = fit_headings(headings, sizes)
    label = words.room.replace("{mm}", _format_mm(room_mm, words))
    shapes = _draw_top(ruler, sizes, drawn_width or sizes.width, measured, label)
    for index, row in enumerate(rows):
        shapes += draw_heading(headings[index], sizes, index, ruler.span)
        own = measured if row.room_mm is None else _measure(row.room_mm, error_mm)
        shapes += _draw_row(row, ruler, sizes, sizes.place_row(index), own, words)
    return finish_picture(shapes, _list_key(measured, error_mm, words), sizes, len(rows), ruler.span)


def _measure(room_mm: Decimal | None, error_mm: Decimal) -> _Measured:
    if room_mm is None:
        return _Measured(room=None, low=0.0, high=0.0)
    room, error = float(room_mm), float(error_mm)
    return _Measured(room=room, low=max(0.0, room - error), high=room + error)


def _find_end(rows: Sequence[RoomRow], measured: _Measured, span_mm: float | None) -> float:
    """Where the ruler ends [mm]: past every stack, the room and its error."""
    rooms = [float(row.room_mm) for row in rows if row.room_mm is not None]
    stacks = [float(max(row.least_mm, row.usual_mm)) for row in rows if row.verdict]
    largest = max([measured.high, *rooms, *stacks])
    if span_mm is None:
        return round_up(max(largest, 4.0) + 1, 0.5)
    end = end_of_span(span_mm)
    if end < largest:
        raise ValueError(f"'span_mm' must reach {largest:.2f} mm (got {span_mm:.2f}, which ends at {end:.2f} mm)")
    return end


def _draw_top(ruler: Ruler, sizes: Sizes, width: float, measured: _Measured, label: str) -> list[Shape]:
    """The ruler, with the measured room on it where there is one."""
    if measured.room is None:
        return draw_ruler(ruler, replace(sizes, width=width))
    return draw_marked_ruler(ruler, replace(sizes, width=width), mark=measured.room, label=label, reach=sizes.width)


def _draw_row(
    row: RoomRow, ruler: Ruler, sizes: Sizes, place: Place, measured: _Measured, words: KeyWords
) -> list[Shape]:
    top, foot, room = place.bar_top, place.bar_foot, measured.room
    if row.verdict is None:
        return [] if room is None else [Box(x0=0, x1=room, y0=top, y1=foot, edge="line", dashed=True)]
    least, usual = float(row.least_mm), float(row.usual_mm)
    body = sizes.body
    gauge = Mark(x=ruler.span[0], y=place.finding + body * 0.08, sign=row.verdict, size=body * 1.15, edge=None,
                 dx=body * 0.58)  # fmt: skip
    stack: list[Shape] = [
        Box(x0=0, x1=usual, y0=top, y1=foot, fill="usual", edge="must"),
        Box(x0=0, x1=least, y0=top, y1=foot, fill="must", edge="must"),
    ]
    slot = [] if room is None else _draw_slot(measured, room, place)
    line = [] if room is None else _draw_room_line(room, place, crossed=max(least, usual) > room)
    numbers = [] if sizes.wide or row.foot else _draw_numbers(row, ruler, sizes, place, words)
    return [gauge, *slot, *stack, *line, *numbers]


def _draw_slot(measured: _Measured, room: float, place: Place) -> list[Shape]:
    """The room as a slot, in the band of its error."""
    top, foot = place.bar_top, place.bar_foot
    return [
        Box(x0=measured.low, x1=measured.high, y0=top, y1=foot, fill="pale", edge="line", dashed=True),
        Box(x0=0, x1=room, y0=top, y1=foot, edge="ink"),
    ]


def _draw_room_line(room: float, place: Place, *, crossed: bool) -> list[Shape]:
    """The end of the room; where the stack sticks out past it, the line is set off by a pale one behind it."""
    top, foot = place.bar_top - 5, place.bar_foot + 5
    line = Stroke(x0=room, x1=room, y0=top, y1=foot, width=2.5)
    return [Stroke(x0=room, x1=room, y0=top, y1=foot, width=6, colour="paper"), line] if crossed else [line]


def _draw_numbers(row: RoomRow, ruler: Ruler, sizes: Sizes, place: Place, words: KeyWords) -> list[Shape]:
    """Least and usual under the ends of their boxes, moved apart where they would touch."""
    values = sorted({row.least_mm, row.usual_mm})
    texts = [_format_mm(value, words) for value in values]
    wide = [estimate_width(text, size=sizes.small) for text in texts]
    at = [ruler.place(float(value), sizes.width) for value in values]
    ends = [max(at[0], wide[0])]
    if len(values) > 1:
        gap = sizes.small * 0.5 + wide[1]
        ends.append(min(max(at[1], ends[0] + gap), sizes.width))
        ends[0] = min(ends[0], ends[1] - gap)
    return [
        Lettering(
            x=float(value), y=place.foot, text=text, size=sizes.small, align="right", colour="quiet", dx=end - here
        )
        for value, text, end, here in zip(values, texts, ends, at, strict=True)
    ]


def _list_key(measured: _Measured, error_mm: Decimal, words: KeyWords) -> tuple[KeyItem, ...]:
    stack = (
        KeyItem(sign="square", text=words.least, fill="must", edge="must"),
        KeyItem(sign="square", text=words.usual, fill="usual", edge="must"),
    )
    if measured.room is None:
        return stack
    error = words.error.replace("{mm}", _format_mm(error_mm, words))
    return (
        *stack,
        KeyItem(sign="square", text=words.left_over, fill="paper", edge="ink"),
        KeyItem(sign="square", text=error, fill="pale", edge="line"),
    )


def _format_mm(value: Decimal | None, words: KeyWords) -> str:
    """A length with two decimals, or with as many as it needs."""
    text = "" if value is None else f"{value:.2f}"
    if words.short_numbers and "." in text:
        text = text.rstrip("0").rstrip(".")
    return text.replace(".", words.decimal)
