"""What matters most to the difference of two options: each assumption from its low to its high, the largest first."""

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.pictures.base.labels import draw_hairline, draw_label
from estimator.pictures.base.rows import KeyItem, Picture, Sizes, add_key
from estimator.pictures.base.ruler import Ruler, choose_numeral, divide_step, draw_marked_ruler, round_down, round_up
from estimator.pictures.base.shapes import Box, Shape, Stroke

_MARGIN = 0.06


@dataclass(frozen=True, slots=True, kw_only=True)
class SwingRow:
    """One assumption: its name, its range in words, and the difference at its low and at its high [money]."""

    name: str
    note: str
    at_low: float
    at_high: float


def draw_swings(
    rows: Sequence[SwingRow], central: float, sizes: Sizes, *, axis: str, now: str, words: tuple[str, str]
) -> Picture:
    """A bar an assumption, dark towards its low, light towards its high, under one ruler of money.

    The line through all of them is the difference as it stands (`now` names it). `words` are those for low and high.
    Raises ValueError without a row.
    """
    if not rows:
        raise ValueError("'rows' must hold one row or more (got none)")
    ruler = _lay_ruler(rows, central, sizes, axis)
    shapes, top = draw_marked_ruler(ruler, sizes, mark=central, label=now), sizes.head + sizes.small * 0.35
    bar = sizes.bar * 0.5
    for index, row in enumerate(rows):
        shapes += [draw_hairline(ruler.span, top)] if index else []
        label, foot = draw_label(row.name, row.note, sizes, span=ruler.span, top=top + sizes.small * 0.3)
        y0, y1 = foot + 3, foot + 3 + bar
        shapes += [*label, *_draw_bar(row, central, y0, y1)]
        top = y1 + sizes.small * 0.4
    if ruler.span[0] < 0 < ruler.span[1]:
        shapes.append(Stroke(x0=0, x1=0, y0=sizes.head, y1=top, colour="line", width=1.0))
    key = (
        KeyItem(sign="square", text=words[0], fill="must", edge="must"),
        KeyItem(sign="square", text=words[1], fill="pale", edge="must"),
    )
    return add_key(shapes, key, sizes, top=top, span=ruler.span)


def _lay_ruler(rows: Sequence[SwingRow], central: float, sizes: Sizes, axis: str) -> Ruler:
    values = [central, *(value for row in rows for value in (row.at_low, row.at_high))]
    low, high = min(values), max(values)
    margin = max((high - low) * _MARGIN, 1.0)
    numeral = choose_numeral(high + margin, sizes, least=1.0, most=6, start=low - margin or 1e-9)
    tick = divide_step(numeral, least=1.0)
    start, end = round_down(low - margin, tick), round_up(high + margin, tick)
    return Ruler(span=(start, end), tick=tick, numeral=numeral, words=axis, start=start)


def _draw_bar(row: SwingRow, central: float, y0: float, y1: float) -> list[Shape]:
    ends = ((row.at_high, "pale"), (row.at_low, "must"))
    return [
        *(
            Box(x0=min(central, end), x1=max(central, end), y0=y0, y1=y1, fill=fill, edge="must")
            for end, fill in ends
            if end != central
        ),
        Stroke(x0=central, x1=central, y0=y0 - 2, y1=y1 + 2, width=2.5),
    ]
