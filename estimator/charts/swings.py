"""What matters most to the difference of two options: each assumption from its low to its high, the largest first."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import altair as alt

from estimator.charts.frame import (
    SMALL,
    Layer,
    ShowMoney,
    build_unchecked,
    draw_layer,
    frame_layers,
    list_ticks,
    make_money_axis,
    paint,
    place,
    place_row,
    reach,
    stack_layers,
    take,
)
from estimator.charts.shapes import Spec
from estimator.estimate.upkeep.sensitivity import Swing
from estimator.pictures.base.look import Colours

_TALL, _BAR, _TOP = 46, 14, 24


@dataclass(frozen=True, slots=True, kw_only=True)
class SwingWords:
    """The words at the difference as it stands, and of a tooltip: assumption, range, difference at low and high."""

    now: str
    assumption: str
    range: str
    low: str
    high: str


def draw_swings(
    swings: Sequence[Swing], central: Decimal, colours: Colours, *, show: ShowMoney, words: SwingWords
) -> Spec:
    """A bar an assumption, dark towards its low, pale with an edge towards its high.

    The line through all of them is the difference as it stands. Raises ValueError without a swing.
    """
    if not swings:
        raise ValueError("'swings' must hold one swing or more (got none)")
    return build_unchecked(lambda: _draw(swings, float(central), colours, show, words))


def _draw(
    swings: Sequence[Swing], central: float, colours: Colours, show: ShowMoney, words: SwingWords
) -> alt.TopLevelLayerSpec:
    amounts = [central, *(float(end) for swing in swings for end in (swing.at_low, swing.at_high))]
    ticks = list_ticks(min(amounts), max(amounts))
    foot = _TOP + _TALL * len(swings)
    x, y = alt.Scale(domain=[ticks[0], ticks[-1]], nice=False), alt.Scale(domain=[foot, 0], nice=False)
    rows = [_describe(swing, _TOP + _TALL * index, show) for index, swing in enumerate(swings)]
    bars = [bar for swing, row in zip(swings, rows, strict=True) for bar in _list_bars(swing, row, central, colours)]
    layers = [
        _draw_bars(bars, place("start", x, make_money_axis(ticks, show)), y, colours, words),
        _draw_names(rows, ticks[0], x, y, colours),
        *_draw_now(rows, central, x, y, colours, words.now),
    ]
    return frame_layers(layers, colours, height=foot + 40)


def _describe(swing: Swing, top: float, show: ShowMoney) -> dict[str, Any]:
    return {
        "name": swing.name, "range": f"{swing.low:.4g} – {swing.high:.4g}", "low": show(swing.at_low),
        "high": show(swing.at_high), "head": top + SMALL * 0.8, "bar": top + 22, "foot": top + 22 + _BAR,
    }  # fmt: skip


def _list_bars(swing: Swing, row: dict[str, Any], central: float, colours: Colours) -> list[dict[str, Any]]:
    ends = ((float(swing.at_high), colours["pale"]), (float(swing.at_low), colours["must"]))
    return [
        row | {"start": min(central, end), "end": max(central, end), "fill": fill}
        for end, fill in ends
        if end != central
    ]


def _draw_bars(
    bars: Sequence[dict[str, Any]], x: alt.PositionFieldDef, y: alt.Scale, colours: Colours, words: SwingWords
) -> Layer:
    told = (("name", words.assumption), ("range", words.range), ("low", words.low), ("high", words.high))
    return draw_layer(
        "rect",
        rows=bars,
        look={"stroke": colours["must"], "strokeWidth": 1},
        x=x,
        x2=reach("end"),
        y=place_row("bar", y),
        y2=reach("foot"),
        fill=paint("fill"),
        tooltip=[{"field": field, "title": title, "type": "nominal"} for field, title in told],
    )


def _draw_names(
    rows: Sequence[dict[str, Any]], start: float, x: alt.Scale, y: alt.Scale, colours: Colours
) -> alt.LayerSpec:
    name = {"align": "left", "color": colours["ink"]}
    labels = [{"text": f"{row['name']}: {row['range']}", "head": row["head"], "at": start} for row in rows]
    return stack_layers(
        labels, draw_layer("text", look=name, x=place("at", x), y=place_row("head", y), text=take("text"))
    )


def _draw_now(
    rows: Sequence[dict[str, Any]], central: float, x: alt.Scale, y: alt.Scale, colours: Colours, words: str
) -> list[alt.LayerSpec]:
    """A line through each bar at the difference as it stands, broken where the names are, its words at the top."""
    line, bold = {"color": colours["ink"], "strokeWidth": 2.5}, {"fontWeight": "bold", "color": colours["ink"]}
    marks = [{"at": central, "from": row["bar"] - 3, "to": row["foot"] + 3} for row in rows]
    label = {"at": central, "head": SMALL * 0.6, "from": _TOP - 8, "to": _TOP - 1, "words": words}
    rule = draw_layer("rule", look=line, x=place("at", x), y=place_row("from", y), y2=reach("to"))
    text = draw_layer("text", look=bold, x=place("at", x), y=place_row("head", y), text=take("words"))
    return [stack_layers([*marks, label], rule), stack_layers([label], text)]
