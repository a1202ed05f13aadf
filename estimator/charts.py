"""A picture as one Altair chart of four layers: boxes, lines, marks, words. Nothing is decided here.

Style travels with each shape (`datum.…`) and not as a layer each: Altair checks every layer, and that takes time.
"""

from typing import Any

import altair as alt

from estimator.pictures.look import Colours
from estimator.pictures.rows import Picture
from estimator.pictures.shapes import SIGNS, Box, Line, Mark, Shape, Words

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
"""No axis, grid, legend or frame of Altair's own: every line is one of our shapes."""

_PATHS = {
    name: "".join("M" + "L".join(f"{x},{y}" for x, y in polygon) + "Z" for polygon in polygons)
    for name, polygons in SIGNS.items()
}


def draw_chart(picture: Picture, colours: Colours) -> alt.LayerChart:
    """One chart as wide as its container; y in pixels from the top."""
    x = alt.X("x:Q", scale=alt.Scale(domain=list(picture.span), nice=False, zero=False))
    y = alt.Y("y:Q", scale=alt.Scale(domain=[picture.height, 0], nice=False, zero=False))
    layers = (
        _draw_boxes(_select(picture, Box, colours), x, y),
        _draw_lines(_select(picture, Line, colours), x, y),
        _draw_marks(_select(picture, Mark, colours), x, y),
        _draw_words(_select(picture, Words, colours), x, y),
    )
    # Without autosize "none" a long word would shrink the scale instead of being cut, and rulers would not meet.
    whole = alt.layer(*layers).properties(height=round(picture.height), width="container", autosize="none")
    chart: alt.LayerChart = whole.configure(**CONFIG)
    return chart


def _select(picture: Picture, kind: type[Shape], colours: Colours) -> alt.Chart:
    rows = [_describe(shape, colours) for shape in picture.shapes if isinstance(shape, kind)]
    return alt.Chart(alt.InlineData(values=rows))


def _draw_boxes(chart: alt.Chart, x: alt.X, y: alt.Y) -> alt.Chart:
    dash = alt.expr("datum.dashed ? [4, 3] : [1, 0]")
    fill, edge = alt.Fill("fill:N", scale=None), alt.Stroke("edge:N", scale=None)
    boxes = chart.mark_rect(strokeWidth=1, strokeDash=dash)
    return _encode(boxes, x=x, x2="x1", y=y, y2="y1", fill=fill, stroke=edge)


def _draw_lines(chart: alt.Chart, x: alt.X, y: alt.Y) -> alt.Chart:
    hue, width = alt.Color("hue:N", scale=None), alt.StrokeWidth("width:Q", scale=None)
    return _encode(chart.mark_rule(), x=x, x2="x1", y=y, y2="y1", color=hue, strokeWidth=width)


def _draw_marks(chart: alt.Chart, x: alt.X, y: alt.Y) -> alt.Chart:
    fill, edge = alt.Fill("fill:N", scale=None), alt.Stroke("edge:N", scale=None)
    size, sign = alt.Size("size:Q", scale=None), alt.Shape("sign:N", scale=None)
    points = chart.mark_point(strokeWidth=1, opacity=1, xOffset=alt.expr("datum.dx"))
    return _encode(points, x=x, y=y, fill=fill, stroke=edge, size=size, shape=sign)


def _draw_words(chart: alt.Chart, x: alt.X, y: alt.Y) -> alt.Chart:
    align, weight, dx = (alt.expr(f"datum.{key}") for key in ("align", "weight", "dx"))
    hue, size = alt.Color("hue:N", scale=None), alt.Size("size:Q", scale=None)
    words = chart.mark_text(baseline="middle", align=align, fontWeight=weight, dx=dx)
    return _encode(words, x=x, y=y, text="text:N", color=hue, size=size)


def _encode(chart: alt.Chart, **channels: Any) -> alt.Chart:
    """The one place where Altair's untyped result gets its type back."""
    encoded: alt.Chart = chart.encode(**channels)
    return encoded


def _describe(shape: Shape, colours: Colours) -> dict[str, Any]:
    """A shape as a row of plain numbers and text: no Decimal, which Altair cannot write."""

    def pick(role: str | None) -> str:
        return colours[role] if role else "transparent"

    match shape:
        case Box():
            place = {"x": float(shape.x0), "x1": float(shape.x1), "y": float(shape.y0), "y1": float(shape.y1)}
            return place | {"fill": pick(shape.fill), "edge": pick(shape.edge), "dashed": shape.dashed}
        case Line():
            place = {"x": float(shape.x0), "x1": float(shape.x1), "y": float(shape.y0), "y1": float(shape.y1)}
            return place | {"hue": pick(shape.colour), "width": shape.width}
        case Mark():
            place = {"x": float(shape.x), "y": float(shape.y), "dx": shape.dx, "size": shape.size**2}
            return place | {
                "sign": _PATHS.get(shape.sign, "circle"),
                "fill": pick(shape.fill),
                "edge": pick(shape.edge),
            }
        case Words():
            place = {"x": float(shape.x), "y": float(shape.y), "dx": shape.dx, "size": shape.size}
            weight = "bold" if shape.bold else "normal"
            return place | {"text": shape.text, "hue": pick(shape.colour), "weight": weight, "align": shape.align}
