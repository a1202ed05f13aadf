"""How likely each total is: a row an option, columns of chance over one axis of money."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import altair as alt
import numpy as np

from estimator.charts.frame import (
    SMALL,
    Layer,
    Rows,
    ShowMoney,
    build_unchecked,
    draw_layer,
    frame_layers,
    list_ticks,
    make_money_axis,
    place,
    place_row,
    reach,
    stack_layers,
    take,
)
from estimator.charts.shapes import Spec
from estimator.estimate.result import Estimate
from estimator.pictures.base.look import Colours

_COLUMNS, _MOST = 48, 0.995
_TALL, _HEAD, _FOOT = 38, 22, 18


@dataclass(frozen=True, slots=True, kw_only=True)
class TotalChances:
    """The chances that first cost and upkeep of an option come to `start` and `step` more at each column [money]."""

    name: str
    start: float
    step: float
    chances: tuple[float, ...]
    low: Decimal
    middle: Decimal
    high: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class ChanceWords:
    """The words of a tooltip: option, total, chance of a total in the column, chance of a larger one."""

    option: str
    total: str
    chance: str
    more: str


def find_total_chances(made: Estimate, first_cost: Decimal) -> TotalChances:
    """The law of an estimate above its first cost in so many columns, up to where hardly any chance is left."""
    law, first, upkeep = made.upkeep.law, first_cost, made.upkeep
    last = int((law.find_quantile(_MOST) - law.certain) / law.step) + 1
    wide = max(1, -(-last // _COLUMNS))
    padded = np.zeros(-(-last // wide) * wide)
    padded[:last] = law.chances[:last]
    return TotalChances(
        name=made.name,
        start=float(first + law.certain),
        step=float(law.step) * wide,
        chances=tuple(float(chance) for chance in padded.reshape(-1, wide).sum(axis=1)),
        low=first + upkeep.p10,
        middle=first + upkeep.p50,
        high=first + upkeep.p90,
    )


def draw_spread(rows: Sequence[TotalChances], colours: Colours, *, show: ShowMoney, words: ChanceWords) -> Spec:
    """The area of a column is the chance of a total in it, on one scale in all rows.

    Under each row a line with ends has 8 chances in 10 inside, and a thick tick half of the chances on either side.
    """
    return build_unchecked(lambda: _draw(rows, colours, show, words))


def _draw(rows: Sequence[TotalChances], colours: Colours, show: ShowMoney, words: ChanceWords) -> alt.TopLevelLayerSpec:
    tall = _HEAD + _TALL + _FOOT
    ticks = list_ticks(0, max((row.start + row.step * len(row.chances) for row in rows), default=1.0), most=6)
    x = alt.Scale(domain=[0, ticks[-1]], nice=False)
    y = alt.Scale(domain=[tall * len(rows), 0], nice=False)
    densest = max((chance / row.step for row in rows for chance in row.chances), default=1.0)
    feet = [tall * index + _HEAD + _TALL for index in range(len(rows))]
    columns = [c for row, foot in zip(rows, feet, strict=True) for c in _list_columns(row, foot, densest, show)]
    points = [_describe(row, foot, tall) for row, foot in zip(rows, feet, strict=True)]
    layers = [
        _draw_columns(columns, place("start", x, make_money_axis(ticks, show)), y, colours, words),
        *_draw_points(points, x, y, colours),
    ]
    return frame_layers(layers, colours, height=tall * len(rows) + 40)


def _list_columns(row: TotalChances, foot: float, densest: float, show: ShowMoney) -> list[dict[str, Any]]:
    found, left = [], 1.0
    for index, chance in enumerate(row.chances):
        start = row.start + index * row.step
        left = max(left - chance, 0.0)
        if chance > 0:
            total = f"{show(Decimal(round(start)))} – {show(Decimal(round(start + row.step)))}"
            found.append(
                {
                    "name": row.name, "start": start, "end": start + row.step, "foot": foot,
                    "top": foot - chance / row.step / densest * _TALL, "total": total,
                    "chance": f"{100 * chance:.1f} %", "more": f"{100 * left:.0f} %",
                }
            )  # fmt: skip
    return found


def _draw_columns(columns: Rows, x: alt.PositionFieldDef, y: alt.Scale, colours: Colours, words: ChanceWords) -> Layer:
    told = (("name", words.option), ("total", words.total), ("chance", words.chance), ("more", words.more))
    tooltip = [{"field": field, "title": title, "type": "nominal"} for field, title in told]
    look = {"color": colours["usual"]}
    ends = {"x2": reach("end"), "y": place_row("top", y), "y2": reach("foot")}
    return draw_layer("rect", rows=columns, look=look, x=x, tooltip=tooltip, **ends)


def _describe(row: TotalChances, foot: float, tall: float) -> dict[str, Any]:
    amounts = {"low": float(row.low), "middle": float(row.middle), "high": float(row.high)}
    return {"name": row.name, "zero": 0, "head": foot - _TALL - _HEAD + SMALL * 0.8, "under": foot + 7, "foot": foot,
            "end": foot + tall} | amounts  # fmt: skip


def _draw_points(points: Rows, x: alt.Scale, y: alt.Scale, colours: Colours) -> list[Layer]:
    ink = {"color": colours["ink"]}
    tick = ink | {"orient": "vertical", "size": 8}
    under = place_row("under", y)
    name = ink | {"align": "left", "fontWeight": "bold"}
    edge = {"color": colours["line"], "strokeWidth": 0.7}
    return [
        stack_layers(
            points,
            draw_layer("rule", look=edge, y=place_row("foot", y)),
            draw_layer("rule", look=ink | {"strokeWidth": 1.5}, x=place("low", x), x2=reach("high"), y=under),
            draw_layer("tick", look=tick | {"thickness": 1.5}, x=place("low", x), y=under),
            draw_layer("tick", look=tick | {"thickness": 1.5}, x=place("high", x), y=under),
            draw_layer("tick", look=tick | {"thickness": 3.5}, x=place("middle", x), y=under),
            draw_layer("text", look=name, x=place("zero", x), y=place_row("head", y), text=take("name")),
        )
    ]
