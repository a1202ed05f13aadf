"""Pictures become valid charts of four layers."""

import json
from decimal import Decimal
from typing import Any

import altair as alt
import jsonschema
import pytest

from estimator.charts.shapes import draw_chart
from estimator.pictures.base.look import DARK, GREY, LIGHT, Colours
from estimator.pictures.base.rows import KeyWords, Picture, Sizes
from estimator.pictures.base.shapes import SIGNS, Box, Lettering, Mark, Stroke
from estimator.pictures.options.room import RoomRow, draw_room


def _picture() -> Picture:
    row = RoomRow(name="Bar", finding="fits", verdict="fits", least_mm=Decimal("8.25"), usual_mm=Decimal("10.75"))
    return draw_room((row,), Sizes(), room_mm=Decimal("11.5"), error_mm=Decimal("0.5"), words=KeyWords())


def _spec(picture: Picture | None = None, colours: Colours = LIGHT) -> dict[str, Any]:
    return draw_chart(picture or _picture(), colours)


def _values(spec: dict[str, Any], layer: int) -> list[dict[str, Any]]:
    data = spec["layer"][layer]["data"]
    values: list[dict[str, Any]] = data["values"] if "values" in data else spec["datasets"][data["name"]]
    return values


def test_a_chart_is_valid_vega_lite() -> None:
    """Altair holds the schema of Vega-Lite 6 and refuses what does not follow it (rule)."""
    spec = _spec()
    assert len(alt.Chart.from_dict(spec).to_dict()["layer"]) == 4
    with pytest.raises(jsonschema.ValidationError):
        alt.Chart.from_dict({**spec, "autosize": "sideways"})


def test_a_chart_has_four_layers_in_the_order_of_paint() -> None:
    assert [layer["mark"]["type"] for layer in _spec()["layer"]] == ["rect", "rule", "point", "text"]


@pytest.mark.parametrize(
    ("layer", "kind"), list(enumerate((Box, Stroke, Mark, Lettering))), ids=["boxes", "lines", "marks", "words"]
)
def test_no_shape_is_lost(layer: int, kind: type) -> None:
    picture = _picture()
    assert len(_values(_spec(picture), layer)) == sum(isinstance(shape, kind) for shape in picture.shapes)


def test_a_chart_is_plain_json_even_from_decimal_places() -> None:
    box = Box(x0=0, x1=Decimal("2.5"), y0=0, y1=1, fill="must")  # type: ignore[arg-type]
    picture = Picture(shapes=(box,), span=(0, 3), height=10)
    assert json.loads(json.dumps(_spec(picture)))["height"] == 10


@pytest.mark.parametrize("colours", [LIGHT, DARK, GREY], ids=["light", "dark", "grey"])
def test_only_colours_of_the_look_are_used(colours: Colours) -> None:
    spec = _spec(colours=colours)
    used = {
        row[key] for layer in range(4) for row in _values(spec, layer) for key in ("fill", "edge", "hue") if key in row
    }
    assert used <= {*colours.values(), "transparent"}


def test_x_is_the_span_and_y_runs_down() -> None:
    picture = _picture()
    encoding = _spec(picture)["layer"][0]["encoding"]
    assert encoding["x"]["scale"]["domain"] == list(picture.span)
    assert encoding["y"]["scale"]["domain"] == [picture.height, 0]


def test_long_words_do_not_shrink_the_scale() -> None:
    assert _spec()["autosize"] == "none"


def test_altair_draws_no_axis_or_frame_of_its_own() -> None:
    config = _spec()["config"]
    assert config["axis"]["disable"] is True
    assert config["view"]["stroke"] is None


@pytest.mark.parametrize("sign", sorted(SIGNS))
def test_every_sign_has_a_closed_path(sign: str) -> None:
    picture = Picture(shapes=(Mark(x=0, y=0, sign=sign, size=10),), span=(0, 1), height=10)
    path = _values(_spec(picture), 0)[0]["sign"]
    assert path.startswith("M")
    assert path.count("Z") == len(SIGNS[sign])


def test_a_kind_of_shape_that_a_picture_has_not_makes_no_layer() -> None:
    picture = Picture(shapes=(Lettering(x=1, y=1, text="only", size=12),), span=(0, 3), height=10)
    assert [layer["mark"]["type"] for layer in _spec(picture)["layer"]] == ["text"]
