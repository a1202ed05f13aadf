"""A picture as one Vega-Lite chart of its layers: boxes, what leans, lines, marks, words. Nothing is decided here.

The chart is the plain JSON of the open Vega-Lite grammar: building it through a library that checks every layer against
the schema takes fifty times longer, and the tests do that check. Style travels with each shape (`datum.…`).
"""

from typing import Any

from estimator.pictures.base.look import Colours
from estimator.pictures.base.rows import Picture
from estimator.pictures.base.shapes import SIGNS, Box, Lettering, Mark, Shape, Slant, Stroke

FONT = "Noto Sans, sans-serif"
CONFIG: dict[str, Any] = {
    "background": "transparent",
    "font": FONT,
    "padding": 0,
    "view": {"stroke": None},
    "axis": {"disable": True, "grid": False},
    "legend": {"disable": True},
    "text": {"baseline": "middle", "font": FONT},
}
"""No axis, grid, legend or frame of its own: every line is one of our shapes."""

_PATHS = {
    name: "".join("M" + "L".join(f"{x},{y}" for x, y in polygon) + "Z" for polygon in polygons)
    for name, polygons in SIGNS.items()
}

Spec = dict[str, Any]


def _plain(field: str, kind: str) -> Spec:
    """A channel that takes its value as it stands, without scale."""
    return {"field": field, "type": kind, "scale": None}


def _datum(expression: str) -> Spec:
    return {"expr": expression}


_FILL, _EDGE, _HUE = _plain("fill", "nominal"), _plain("edge", "nominal"), _plain("hue", "nominal")
_LAYERS: tuple[tuple[type[Shape], Spec, Spec], ...] = (
    (
        Box,
        {"type": "rect", "strokeWidth": 1, "strokeDash": _datum("datum.dashed ? [4, 3] : [1, 0]")},
        {"x2": {"field": "x1"}, "y2": {"field": "y1"}, "fill": _FILL, "stroke": _EDGE},
    ),
    (
        Slant,
        {"type": "area", "orient": "horizontal", "strokeWidth": 1, "opacity": 1},
        {"x2": {"field": "x1"}, "fill": _FILL, "stroke": _EDGE, "detail": {"field": "number", "type": "nominal"}},
    ),
    (
        Stroke,
        {"type": "rule"},
        {
            "x2": {"field": "x1"}, "y2": {"field": "y1"}, "color": _HUE, "strokeWidth": _plain("width", "quantitative"),
        },
    ),
    (
        Mark,
        {"type": "point", "strokeWidth": 1, "opacity": 1, "xOffset": _datum("datum.dx")},
        {"fill": _FILL, "stroke": _EDGE, "size": _plain("size", "quantitative"), "shape": _plain("sign", "nominal")},
    ),
    (
        Lettering,
        {
            "type": "text", "baseline": "middle", "align": _datum("datum.align"), "fontWeight": _datum("datum.weight"),
            "dx": _datum("datum.dx"),
        },
        {"text": {"field": "text", "type": "nominal"}, "color": _HUE, "size": _plain("size", "quantitative")},
    ),
)  # fmt: skip


def draw_chart(picture: Picture, colours: Colours) -> Spec:
    """One chart as wide as its container; y in pixels from the top."""
    places = {
        "x": _place("x", list(picture.span)),
        "y": _place("y", [picture.height, 0]),
    }
    rows = [
        [
            row
            for number, s in enumerate(picture.shapes)
            if isinstance(s, kind)
            for row in _list_rows(s, number, colours)
        ]
        for kind, _, _ in _LAYERS
    ]
    # A layer without shapes would be a nameless thing to a screen reader.
    layers = [
        {"data": {"values": values}, "mark": mark, "encoding": places | channels}
        for values, (_, mark, channels) in zip(rows, _LAYERS, strict=True)
        if values
    ]
    # Without autosize "none" a long word would shrink the scale instead of being cut, and rulers would not meet.
    return {
        "layer": layers,
        "height": round(picture.height),
        "width": "container",
        "autosize": "none",
        "config": CONFIG,
    }


def _place(field: str, domain: list[float]) -> Spec:
    return {"field": field, "type": "quantitative", "scale": {"domain": domain, "nice": False, "zero": False}}


def _list_rows(shape: Shape, number: int, colours: Colours) -> list[dict[str, Any]]:
    """A shape as its rows: one, or for what leans its top and its foot, kept together by its number."""
    if not isinstance(shape, Slant):
        return [_describe(shape, colours)]
    look = {"fill": colours[shape.fill], "edge": colours[shape.edge], "number": number}
    ends = ((shape.y0, 0.0), (shape.y1, shape.foot))
    return [{"x": float(shape.x0 + off), "x1": float(shape.x1 + off), "y": float(y)} | look for y, off in ends]


def _describe(shape: Box | Stroke | Mark | Lettering, colours: Colours) -> dict[str, Any]:
    """A shape as a row of plain numbers and text: no Decimal, which JSON cannot hold."""

    def pick(role: str | None) -> str:
        return colours[role] if role else "transparent"

    match shape:
        case Box():
            place = {"x": float(shape.x0), "x1": float(shape.x1), "y": float(shape.y0), "y1": float(shape.y1)}
            return place | {"fill": pick(shape.fill), "edge": pick(shape.edge), "dashed": shape.dashed}
        case Stroke():
            place = {"x": float(shape.x0), "x1": float(shape.x1), "y": float(shape.y0), "y1": float(shape.y1)}
            return place | {"hue": pick(shape.colour), "width": shape.width}
        case Mark():
            place = {"x": float(shape.x), "y": float(shape.y), "dx": shape.dx, "size": shape.size**2}
            return place | {
                "sign": _PATHS.get(shape.sign, "circle"),
                "fill": pick(shape.fill),
                "edge": pick(shape.edge),
            }
        case Lettering():
            place = {"x": float(shape.x), "y": float(shape.y), "dx": shape.dx, "size": shape.size}
            weight = "bold" if shape.bold else "normal"
            return place | {"text": shape.text, "hue": pick(shape.colour), "weight": weight, "align": shape.align}
