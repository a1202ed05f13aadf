"""The cost over the years: all options on one axis of money, each with the band that 8 chances in 10 lie in.

Each line has a dash of its own and its name beside its end, so that nothing hangs on a colour.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import altair as alt

from estimator.charts.frame import (
    Layer,
    Rows,
    ShowMoney,
    build_unchecked,
    draw_layer,
    frame_layers,
    hold_rows,
    label_values,
    list_ticks,
    make_money_axis,
    paint,
    place,
    reach,
    stack_layers,
    take,
)
from estimator.charts.shapes import Spec
from estimator.estimate.bands import CostSoFar
from estimator.pictures.base.look import Colours
from estimator.pictures.jaw.layout import spread_apart

HEIGHT = 250
"""Height of the chart, axis included [px]."""
_DASHES = [[1, 0], [14, 4], [9, 3, 2, 3], [4, 3], [2, 2]]
_ORDERS = list(range(len(_DASHES)))
_PLOT, _LABEL, _APART, _GAP = HEIGHT - 40, 36, 9, 14


@dataclass(frozen=True, slots=True, kw_only=True)
class YearWords:
    """The words of the chart: at year 0 and at the last year, over the years in a tooltip, and of no treatment now."""

    start: str
    end: str
    year: str
    untreated: str
    untreated_note: str


def draw_over_years(
    costs: Sequence[CostSoFar],
    colours: Colours,
    *,
    show: ShowMoney,
    words: YearWords,
    set_back: frozenset[str] = frozenset(),
) -> Spec:
    """The chart of options by key; those in `set_back`, which there is not enough room for, are unbold.

    No treatment now stands at its first cost of 0 without a line, because what comes later is not estimated.
    """
    return build_unchecked(lambda: _draw(costs, colours, show, words, set_back))


def _draw(
    costs: Sequence[CostSoFar], colours: Colours, show: ShowMoney, words: YearWords, set_back: frozenset[str]
) -> alt.TopLevelLayerSpec:
    years = max((len(cost.years) for cost in costs), default=1)
    ticks = list_ticks(0, float(find_largest(costs)))
    x, y = alt.Scale(domain=[0, years], nice=False), alt.Scale(domain=[0, ticks[-1]], nice=False)
    labels = _list_labels(costs, ticks[-1], show, words, set_back)
    aside = _APART * len(costs) + _GAP
    rows = [row for index, cost in enumerate(costs) for row in _list_rows(cost, index, set_back, colours)]
    layers = [
        _draw_bands(rows, place("year", x, _make_year_axis(years, words)), y, make_money_axis(ticks, show), colours),
        _draw_starts(costs, x, y, colours),
        _draw_ranges([_describe_end(cost, index) for index, cost in enumerate(costs)], y, colours),
        _draw_labels(labels, y, colours, aside),
        _draw_pointer(costs, years, x, colours, show, words),
    ]
    return frame_layers(layers, colours, height=HEIGHT)


def _make_year_axis(years: int, words: YearWords) -> alt.Axis:
    step = 1 if years <= 12 else 2 if years <= 20 else 5
    values = [*range(0, years - step // 2, step), years]
    labels = {float(year): str(year) for year in values} | {0.0: words.start, float(years): words.end}
    return alt.Axis(values=values, labelExpr=label_values(labels), grid=False, labelPadding=6, labelFlush=False)


def _list_rows(cost: CostSoFar, index: int, set_back: frozenset[str], colours: Colours) -> list[dict[str, Any]]:
    """A row a year from the first cost on."""
    first = float(cost.first_cost)
    look = {
        "option": cost.key,
        "order": index % len(_DASHES),
        "hue": colours["line" if cost.key in set_back else "must"],
    }
    start = {"year": 0, "low": first, "expected": first, "high": first}
    later = [
        {"year": band.year, "low": float(band.low), "expected": float(band.expected), "high": float(band.high)}
        for band in cost.years
    ]
    return [look | row for row in (start, *later)]


def _draw_bands(rows: Rows, x: alt.PositionFieldDef, y: alt.Scale, money: alt.Axis, colours: Colours) -> alt.LayerSpec:
    """A band with thin edges an option, and over it the thick line of what is expected."""
    option = take("option")
    edge = {"color": colours["line"], "strokeWidth": 1, "strokeDash": [2, 3]}
    band = {"color": colours["pale"], "opacity": 0.6}
    dash = {"field": "order", "type": "ordinal", "legend": None, "scale": {"domain": _ORDERS, "range": _DASHES}}
    low, high, expected = place("low", y), place("high", y), place("expected", y, money)
    return stack_layers(
        rows,
        draw_layer("area", look=band, x=x, y=low, y2=reach("high"), detail=option),
        draw_layer("line", look=edge, x=x, y=low, detail=option),
        draw_layer("line", look=edge, x=x, y=high, detail=option),
        draw_layer(
            "line", look={"strokeWidth": 3}, x=x, y=expected, detail=option, strokeDash=dash, color=paint("hue")
        ),
    )


def _draw_starts(costs: Sequence[CostSoFar], x: alt.Scale, y: alt.Scale, colours: Colours) -> Layer:
    """A dot at each first cost, an open one at 0 for no treatment now."""
    firsts = [{"year": 0, "first": float(cost.first_cost), "fill": colours["must"]} for cost in costs]
    rows = [*firsts, {"year": 0, "first": 0, "fill": colours["paper"]}]
    look = {"size": 64, "stroke": colours["must"], "strokeWidth": 2, "opacity": 1}
    return draw_layer("point", rows=rows, look=look, x=place("year", x), y=place("first", y), fill=paint("fill"))


def _describe_end(cost: CostSoFar, index: int) -> dict[str, Any]:
    last = cost.years[-1]
    return {
        "dx": _APART * (index + 1), "low": float(last.low), "expected": float(last.expected), "high": float(last.high),
    }  # fmt: skip


def _draw_ranges(ends: Rows, y: alt.Scale, colours: Colours) -> alt.LayerSpec:
    """The range of the last year once more beside the axes: a line with ends, and a dot where the cost is expected."""
    at, aside = alt.PositionValueDef(value="width"), {"xOffset": alt.ExprRef("datum.dx"), "color": colours["ink"]}
    tick = aside | {"orient": "horizontal", "thickness": 2, "size": 8}
    dot = aside | {"filled": True, "size": 40, "opacity": 1}
    return stack_layers(
        ends,
        draw_layer("rule", look=aside | {"strokeWidth": 2}, x=at, y=place("low", y), y2=reach("high")),
        draw_layer("tick", look=tick, x=at, y=place("low", y)),
        draw_layer("tick", look=tick, x=at, y=place("high", y)),
        draw_layer("point", look=dot, x=at, y=place("expected", y)),
    )


def _list_labels(
    costs: Sequence[CostSoFar], top: float, show: ShowMoney, words: YearWords, set_back: frozenset[str]
) -> list[dict[str, Any]]:
    """Name and range of each option and of no treatment now, moved apart where their ends are near each other."""
    ordered = sorted(costs, key=lambda cost: cost.years[-1].expected, reverse=True)
    texts = [
        (cost.name, f"{show(cost.years[-1].low)} – {show(cost.years[-1].high)}", cost.key not in set_back)
        for cost in ordered
    ]
    texts.append((words.untreated, words.untreated_note, False))
    wanted = [(1 - float(cost.years[-1].expected) / top) * _PLOT for cost in ordered] + [_PLOT - _LABEL / 2]
    places = spread_apart(wanted, [_LABEL] * len(wanted), low=-_LABEL / 2, high=_PLOT + _LABEL / 2)
    return [
        {"name": name, "note": note, "weight": "bold" if bold else "normal", "at": (1 - place / _PLOT) * top}
        for (name, note, bold), place in zip(texts, places, strict=True)
    ]


def _draw_labels(labels: Rows, y: alt.Scale, colours: Colours, aside: int) -> alt.LayerSpec:
    at, left = alt.PositionValueDef(value="width"), {"align": "left", "dx": aside}
    name = left | {"dy": -8, "fontWeight": alt.ExprRef("datum.weight"), "color": colours["ink"]}
    note = left | {"dy": 8, "color": colours["quiet"]}
    return stack_layers(
        labels,
        draw_layer("text", look=name, x=at, y=place("at", y), text=take("name")),
        draw_layer("text", look=note, x=at, y=place("at", y), text=take("note")),
    )


def _draw_pointer(
    costs: Sequence[CostSoFar], years: int, x: alt.Scale, colours: Colours, show: ShowMoney, words: YearWords
) -> alt.UnitSpec:
    """A strip a year, seen only under the pointer, that tells what each option has cost by then."""
    rows = [
        {"year": max(year - 0.5, 0), "until": min(year + 0.5, years), "by": words.year.format(year=year)}
        | {cost.key: _tell(cost, year, show) for cost in costs}
        for year in range(years + 1)
    ]
    told = [("by", " "), *((cost.key, cost.name) for cost in costs)]
    pointed = {"name": "pointed", "select": {"type": "point", "on": "pointerover", "clear": "pointerout"}}
    return alt.UnitSpec(
        name="by_year",
        data=hold_rows(rows),
        mark=alt.MarkDef(type="rect", color=colours["ink"]),
        params=[pointed],
        encoding=alt.Encoding(
            x=place("year", x),
            x2=reach("until"),
            y=alt.PositionValueDef(value=0),
            y2=alt.PositionValueDef(value="height"),
            opacity={"condition": {"param": "pointed", "empty": False, "value": 0.08}, "value": 0},
            tooltip=[{"field": field, "title": title, "type": "nominal"} for field, title in told],
        ),
    )


def _tell(cost: CostSoFar, year: int, show: ShowMoney) -> str:
    if year == 0:
        return show(cost.first_cost)
    band = cost.years[year - 1]
    return f"{show(band.expected)} ({show(band.low)} – {show(band.high)})"


def list_overlaps(costs: Sequence[CostSoFar]) -> tuple[tuple[CostSoFar, CostSoFar], ...]:
    """Pairs of options, in their order, whose ranges meet at the end of the last year."""
    ends = [(cost, cost.years[-1]) for cost in costs]
    return tuple(
        (one, other)
        for index, (one, a) in enumerate(ends)
        for other, b in ends[index + 1 :]
        if max(a.low, b.low) <= min(a.high, b.high)
    )


def find_largest(costs: Sequence[CostSoFar]) -> Decimal:
    """The largest amount of the chart, which its estimates are rounded by."""
    return max((cost.years[-1].high for cost in costs), default=Decimal(0))
