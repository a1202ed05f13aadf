"""What the statistical charts have in common: layers, type and colours, money on an axis, and their plain JSON.

They are built from Altair's classes of the Vega-Lite grammar, one object a part: its chained calls copy a chart at each
step and check it against the schema each time, which takes ten times longer. The tests do that check.
"""

import json
import math
from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Any, ClassVar, Literal

import altair as alt
from altair.utils import schemapi

from estimator.charts.shapes import FONT, Spec
from estimator.pictures.base.look import Colours

SMALL = 13
"""Size of words and numerals in a chart [px]."""

Mark = Literal["area", "line", "point", "rect", "rule", "text", "tick"]
Layer = alt.LayerSpec | alt.UnitSpec
Rows = Sequence[dict[str, Any]]
ShowMoney = Callable[[Decimal], str]


def build_unchecked(draw: Callable[[], alt.TopLevelLayerSpec]) -> Spec:
    """What `draw` makes as plain JSON of the grammar, built without a check against its schema."""
    with schemapi.debug_mode(False):
        spec: Spec = draw().to_dict(validate=False)
    return spec


def frame_layers(layers: Sequence[Layer], colours: Colours, *, height: int) -> alt.TopLevelLayerSpec:
    """Layers as wide as their container and so high [px]; axes give way to words that stand beside them."""
    axis = alt.AxisConfig(
        domainColor=colours["line"],
        tickColor=colours["line"],
        gridColor=colours["line"],
        gridOpacity=0.35,
        labelColor=colours["quiet"],
        labelFontSize=SMALL,
        labelFont=FONT,
        title=None,
    )
    text = alt.MarkConfig(font=FONT, fontSize=SMALL, baseline="middle")
    view = alt.ViewConfig(stroke=None)
    return alt.TopLevelLayerSpec(
        layer=list(layers),
        width="container",
        height=height,
        padding={"left": 4, "top": 8, "bottom": 4, "right": 8},
        autosize=alt.AutoSizeParams(type="fit", contains="padding"),
        config=alt.Config(background="transparent", font=FONT, view=view, axis=axis, text=text),
    )


def stack_layers(rows: Rows, *layers: Layer) -> alt.LayerSpec:
    """Layers that are drawn from the same rows."""
    return alt.LayerSpec(data=hold_rows(rows), layer=list(layers))


def draw_layer(mark: Mark, *, rows: Rows | None = None, look: dict[str, Any] | None = None, **channels: Any) -> Layer:
    """One kind of mark with the properties of `look` and these channels; from its own rows or those of its stack."""
    data = alt.Undefined if rows is None else hold_rows(rows)
    return alt.UnitSpec(data=data, mark=alt.MarkDef(type=mark, **(look or {})), encoding=alt.Encoding(**channels))


class _Held:
    """Rows that are plain already: Altair would look at every cell of them, which takes longer than all the rest."""

    _schema: ClassVar[dict[str, Any]] = {"type": "object"}

    def __init__(self, rows: Rows) -> None:
        self.rows = rows

    def to_dict(self) -> dict[str, Any]:
        return {"values": list(self.rows)}


def hold_rows(rows: Rows) -> Any:
    """Rows as the data of a layer."""
    return _Held(rows)


def place(field: str, scale: alt.Scale, axis: alt.Axis | None = None) -> alt.PositionFieldDef:
    """Where a number stands on the scale of x or y; one layer of a chart describes the axis for all."""
    described = alt.Undefined if axis is None else axis
    return alt.PositionFieldDef(field=field, type="quantitative", scale=scale, axis=described)


def place_row(field: str, scale: alt.Scale) -> alt.PositionFieldDef:
    """How far down a chart of rows something stands [px]; there is no axis for it."""
    return alt.PositionFieldDef(field=field, type="quantitative", scale=scale, axis=None)


def reach(field: str) -> alt.SecondaryFieldDef:
    """The other end of a mark that has two."""
    return alt.SecondaryFieldDef(field=field)


def take(field: str) -> dict[str, Any]:
    """A text or a name of the rows."""
    return {"field": field, "type": "nominal"}


def paint(field: str) -> dict[str, Any]:
    """A colour as it stands in the rows."""
    return {"field": field, "type": "nominal", "scale": None}


def list_ticks(low: float, high: float, *, most: int = 5) -> tuple[float, ...]:
    """Round amounts, 1, 2 or 5 times a power of ten apart, from at or below `low` to at or above `high`.

    The distance is the smallest that makes no more than `most` steps of the span.
    """
    span = max(high - low, 1.0)
    power = 10.0 ** math.floor(math.log10(span / most))
    step = next(power * times for times in (1, 2, 5, 10) if span / (power * times) <= most)
    near = min(1e-9, 5e-7 / step)  # what a division may be off by, and no amount that could be seen
    first, last = math.floor(low / step + near), math.ceil(high / step - near)
    return tuple(count * step for count in range(first, max(last, first + 1) + 1))


def label_values(labels: dict[float, str]) -> str:
    """An expression of the grammar that gives each value of an axis its own words."""
    return json.dumps({f"{value:.0f}": text for value, text in labels.items()}) + "[datum.value]"


def make_money_axis(ticks: Sequence[float], show: ShowMoney) -> alt.Axis:
    """An axis of whole amounts with these ticks, written as the language of the practice writes them."""
    labels = label_values({tick: show(Decimal(round(tick))) for tick in ticks})
    return alt.Axis(
        values=list(ticks), labelExpr=labels, grid=True, domain=False, ticks=False, labelPadding=8, title=None
    )
