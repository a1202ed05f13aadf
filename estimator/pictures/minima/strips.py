"""Published least heights as strips under the millimetre ruler, each beside the measured room."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from estimator.base.formats import TRUE_MINUS
from estimator.pictures.base.labels import draw_hairline, draw_label
from estimator.pictures.base.rows import KeyItem, Picture, Sizes, add_key
from estimator.pictures.base.ruler import Ruler, draw_marked_ruler, draw_ruler, lay_millimetres, round_down, round_up
from estimator.pictures.base.shapes import Box, Mark, Shape, Stroke
from estimator.pictures.jaw.parts import put_in

_LEAST_SPAN_MM = 6.0
_LEAST_MARGIN_MM, _MARGIN_SHARE = 1.0, 0.04
"""How far the ruler goes on past the first and the last value: so much, or this share of what lies between them."""
_DASH, _DASH_GAP = 4.0, 3.0
_DOT, _REACH, _OVERHANG = 0.45, 0.36, 4.0
"""Diameter of a circle and half the height of the band, both in heights of a bar; what the room sticks out of it."""
_THICK, _THIN = 0.37, 1.5
"""Width of the line of a range, in diameters of a circle, and of the dashes, in points or pixels."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """One published least height [mm], from the landmark of the ruler: a value or a range.

    `sure`: the source says where it starts; otherwise low and high are two readings of it. `met` says whether the
    room is enough, None that nothing was measured; a `note` says it in other words than met or not met.
    """

    label: str
    low_mm: Decimal
    high_mm: Decimal
    sure: bool
    met: bool | None
    note: str = ""

    def __post_init__(self) -> None:
        if self.high_mm < self.low_mm:
            raise ValueError(f"'high_mm' of {self.label!r} must be {self.low_mm} or more (got {self.high_mm})")


@dataclass(frozen=True, slots=True, kw_only=True)
class StripWords:
    """The words of the strips, as an office reads them; `{…}` stands for a number or a text."""

    axis: str = "mm from the soft tissue crest"
    room: str = "room {mm}"
    error: str = "error ± {mm}"
    met: str = "met"
    not_met: str = "not met"
    sure: str = "landmark known"
    not_sure: str = "landmark not stated, two readings"
    decimal: str = "."
    alt_room: str = "Room {mm} mm, error of measuring ± {error} mm."
    alt_no_room: str = "The room is not measured."
    alt_met: str = "It meets {met} of {all}."
    alt_strip: str = "{label}, {found}."
    alt_one: str = "{low} mm"
    alt_range: str = "{low} to {high} mm"
    alt_readings: str = "{low} or {high} mm"
    alt_not_sure: str = "landmark not stated"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Room:
    """The measured room in the band of its error, as places on the ruler [mm]."""

    at: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Board:
    """What every row is drawn on: the room is None where nothing was measured."""

    ruler: Ruler
    sizes: Sizes
    room: _Room | None
    words: StripWords

    @property
    def reach(self) -> float:
        """From the middle of a strip to the end of the line of the room."""
        return self.sizes.bar * _REACH + _OVERHANG


def draw_strips(
    strips: Sequence[Strip], sizes: Sizes, *, room_mm: Decimal | None, error_mm: Decimal, words: StripWords
) -> Picture:
    """A filled circle at a known height, a thick line up to the end of its range; two readings as open circles.

    Behind each stands the room in the dashed band of its error. The ruler begins a little below the least value.
    `sizes.width` is the narrowest the picture will be shown at; a label or note too long for it takes further lines.
    Raises ValueError without a strip, and for an error below 0.
    """
    if not strips:
        raise ValueError("'strips' must hold one strip or more (got none)")
    room = _measure(room_mm, error_mm)
    start, end = _find_ends(strips, room)
    board = _Board(
        ruler=lay_millimetres(end, sizes, words=words.axis, start=start), sizes=sizes, room=room, words=words
    )
    shapes, top = _draw_top(board, _show(room_mm, words)), sizes.head + sizes.small * 0.35
    for index, strip in enumerate(strips):
        if index:
            shapes.append(draw_hairline(board.ruler.span, top))
        row, top = _draw_row(strip, board, top)
        shapes += row
    key = _list_key(strips, board, error_mm)
    return add_key(shapes, key, sizes, top=top, span=board.ruler.span)


def _measure(room_mm: Decimal | None, error_mm: Decimal) -> _Room | None:
    """The band does not reach below 0, unless the room itself does."""
    if error_mm < 0:
        raise ValueError(f"'error_mm' must be 0 or more (got {error_mm})")
    if room_mm is None:
        return None
    room, error = float(room_mm), float(error_mm)
    return _Room(at=room, low=room - error if room < 0 else max(0.0, room - error), high=room + error)


def _find_ends(strips: Sequence[Strip], room: _Room | None) -> tuple[float, float]:
    """Where the ruler begins and ends [mm], on half millimetres; it begins at 0 where it comes as near as that."""
    values = [float(value) for strip in strips for value in (strip.low_mm, strip.high_mm)]
    values += [room.low, room.high] if room else []
    low, high = min(values), max(values)
    margin = max(_LEAST_MARGIN_MM, (high - low) * _MARGIN_SHARE, (_LEAST_SPAN_MM - (high - low)) / 2)
    start = round_down(low - margin, 0.5)
    return (max(0.0, start) if low >= 0 else start), round_up(high + margin, 0.5)


def _draw_top(board: _Board, room: str) -> list[Shape]:
    if board.room is None:
        return draw_ruler(board.ruler, board.sizes)
    label = put_in(board.words.room, mm=room)
    return draw_marked_ruler(board.ruler, board.sizes, mark=board.room.at, label=label)


def _draw_row(strip: Strip, board: _Board, top: float) -> tuple[list[Shape], float]:
    """The words of a strip, below them its marks, and where the row ends."""
    size = board.sizes.small
    heading, foot = draw_label(
        strip.label, _say_met(strip, board.words), board.sizes, span=board.ruler.span, top=top + size * 0.35,
        bold_note=strip.met is False,
    )  # fmt: skip
    middle = foot + size * 0.2 + board.reach
    return [*heading, *_draw_marks(strip, board, middle)], middle + board.reach + size * 0.45


def _say_met(strip: Strip, words: StripWords) -> str:
    """The note of a strip, or whether it is met."""
    if strip.note or strip.met is None:
        return strip.note
    return words.met if strip.met else words.not_met


def _draw_marks(strip: Strip, board: _Board, middle: float) -> list[Shape]:
    """The room behind a strip, the strip and its circles, in the order a screen draws their kinds."""
    low, high, dot = float(strip.low_mm), float(strip.high_mm), board.sizes.bar * _DOT
    line = [_draw_beam(low, high, middle, dot * _THICK)] if strip.sure else _draw_dashes(low, high, board, middle)
    places = [low] if strip.sure or low == high else [low, high]
    fill = "must" if strip.sure else "paper"
    return [
        *_draw_band(board, middle),
        *(line if high > low else []),
        *_draw_room_line(board, middle),
        *(Mark(x=x, y=middle, sign="circle", size=dot, fill=fill, edge="must") for x in places),
    ]


def _draw_band(board: _Board, middle: float) -> list[Shape]:
    room, half = board.room, board.sizes.bar * _REACH
    if room is None or room.low == room.high:
        return []
    return [Box(x0=room.low, x1=room.high, y0=middle - half, y1=middle + half, fill="pale", edge="line", dashed=True)]


def _draw_room_line(board: _Board, middle: float) -> list[Shape]:
    room, reach = board.room, board.reach
    return [] if room is None else [Stroke(x0=room.at, x1=room.at, y0=middle - reach, y1=middle + reach, width=2.5)]


def _draw_dashes(low: float, high: float, board: _Board, middle: float) -> list[Shape]:
    """A dashed line that begins and ends with a whole dash."""
    span = board.ruler.span
    per_mm = board.sizes.width / (span[1] - span[0])
    count = max(1, round(((high - low) * per_mm + _DASH_GAP) / (_DASH + _DASH_GAP)))
    step = (high - low + _DASH_GAP / per_mm) / count
    dash = step - _DASH_GAP / per_mm
    return [_draw_beam(x, x + dash, middle, _THIN) for x in (low + index * step for index in range(count))]


def _draw_beam(x0: float, x1: float, middle: float, width: float) -> Shape:
    """A level line as a box: it ends where its value is, and paper would lengthen a line by half its width."""
    return Box(x0=x0, x1=x1, y0=middle - width / 2, y1=middle + width / 2, fill="must")


def _list_key(strips: Sequence[Strip], board: _Board, error_mm: Decimal) -> tuple[KeyItem, ...]:
    """Only the signs that the picture has."""
    words, key, share = board.words, [], board.sizes.bar * _DOT / board.sizes.small
    if any(strip.sure for strip in strips):
        key.append(KeyItem(sign="circle", text=words.sure, fill="must", edge="must", share=share))
    if not all(strip.sure for strip in strips):
        key.append(KeyItem(sign="circle", text=words.not_sure, fill="paper", edge="must", share=share))
    if board.room and error_mm:
        error = put_in(words.error, mm=_show(error_mm, words))
        key.append(KeyItem(sign="square", text=error, fill="pale", edge="line"))
    return tuple(key)


def _show(length: Decimal | None, words: StripWords) -> str:
    """A length with two decimals and a true minus; nothing for what is not measured."""
    if length is None:
        return ""
    text = f"{length.quantize(Decimal('0.01'), ROUND_HALF_UP) + 0:.2f}"
    return text.replace("-", TRUE_MINUS).replace(".", words.decimal)


def describe_strips(strips: Sequence[Strip], *, room_mm: Decimal | None, error_mm: Decimal, words: StripWords) -> str:
    """The strips in words for who cannot see them: the room, how many it meets, then every label with its numbers."""
    told = [words.alt_no_room]
    if room_mm is not None:
        told = [put_in(words.alt_room, mm=_show(room_mm, words), error=_show(error_mm, words))]
    judged = [strip.met for strip in strips if strip.met is not None]
    if judged:
        told.append(put_in(words.alt_met, met=str(sum(judged)), all=str(len(judged))))
    return " ".join([*told, *(_tell(strip, words) for strip in strips)])


def _tell(strip: Strip, words: StripWords) -> str:
    low, high = _show(strip.low_mm, words), _show(strip.high_mm, words)
    between = words.alt_range if strip.sure else words.alt_readings
    found = [put_in(words.alt_one if low == high else between, low=low, high=high)]
    found += [] if strip.sure else [words.alt_not_sure]
    note = _say_met(strip, words)
    return put_in(words.alt_strip, label=strip.label, found=", ".join([*found, note] if note else found))
