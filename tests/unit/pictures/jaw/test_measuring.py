"""The picture of how a site is measured names each length where it stands."""

import pytest

from estimator.pictures.base.look import DARK, GREY, LIGHT
from estimator.pictures.base.shapes import Box, Lettering, Mark, Stroke
from estimator.pictures.jaw.measuring import MEASURING_ALT, draw_measuring

PICTURE = draw_measuring()


@pytest.mark.parametrize("length", ["space", "tissue", "depth", "width", "lean"])
def test_each_length_is_named_in_the_picture_and_in_words(length: str) -> None:
    assert [shape.text for shape in PICTURE.shapes if isinstance(shape, Lettering)].count(length) == 1
    assert length in MEASURING_ALT.lower()


def test_everything_lies_inside_the_picture() -> None:
    for shape in PICTURE.shapes:
        xs = (shape.x,) if isinstance(shape, Lettering | Mark) else (shape.x0, shape.x1)
        ys = (shape.y,) if isinstance(shape, Lettering | Mark) else (shape.y0, shape.y1)
        assert all(PICTURE.span[0] <= x <= PICTURE.span[1] for x in xs)
        assert all(0 <= y <= PICTURE.height for y in ys)


@pytest.mark.parametrize("colours", [LIGHT, DARK, GREY], ids=["light", "dark", "grey"])
def test_every_role_has_a_colour_in_every_theme(colours: dict[str, str]) -> None:
    roles = {shape.colour for shape in PICTURE.shapes if isinstance(shape, Lettering | Stroke)}
    roles |= {role for shape in PICTURE.shapes if isinstance(shape, Box) for role in (shape.fill, shape.edge) if role}
    assert roles <= set(colours)
