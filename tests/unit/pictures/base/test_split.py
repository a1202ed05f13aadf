"""A picture taller than a page goes on in parts, each under the same ruler."""

from decimal import Decimal

import pytest

from estimator.pictures.base.rows import KeyWords, Picture, Sizes
from estimator.pictures.base.shapes import Lettering
from estimator.pictures.base.split import split_picture
from estimator.pictures.options.money import MoneyRow, draw_money

NAMES = ("Full denture", "Posts", "Bar", "Nothing")
ROWS = tuple(MoneyRow(name=name, finding="to begin with", first=Decimal(100 + i)) for i, name in enumerate(NAMES))
WHOLE = draw_money(ROWS, Sizes(), axis="US dollars", words=KeyWords())


def read(picture: Picture) -> list[str]:
    return [shape.text for shape in picture.shapes if isinstance(shape, Lettering)]


def test_a_picture_that_fits_stays_whole() -> None:
    assert split_picture(WHOLE, WHOLE.height) == (WHOLE,)


@pytest.mark.parametrize("most", [220.0, 250.0, 320.0])
def test_parts_are_no_higher_than_asked_and_hold_every_row_once(most: float) -> None:
    parts = split_picture(WHOLE, most)
    assert len(parts) > 1
    assert max(part.height for part in parts) <= most
    assert [text for part in parts for text in read(part) if text in NAMES] == list(NAMES)


def test_each_part_has_the_ruler_and_the_last_one_the_key() -> None:
    parts = split_picture(WHOLE, 250)
    assert all("US dollars" in read(part) and part.span == WHOLE.span for part in parts)
    assert ["first cost" in read(part) for part in parts] == [False] * (len(parts) - 1) + [True]


def test_what_is_moved_up_stays_inside_its_part() -> None:
    for part in split_picture(WHOLE, 250):
        assert all(0 <= shape.y <= part.height for shape in part.shapes if isinstance(shape, Lettering))
