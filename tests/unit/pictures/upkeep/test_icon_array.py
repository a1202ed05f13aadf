"""Icon arrays: as many cells as the number says, and never more than the whole."""

import pytest

from estimator.pictures.base.rows import Sizes
from estimator.pictures.base.shapes import Box, Lettering, Stroke
from estimator.pictures.upkeep.icon_array import draw_icon_array

SIZES = Sizes(small=12, body=14, bar=14, wide=True, width=468)
KEYS = ("yes", "perhaps", "no")


@pytest.mark.parametrize(("count", "high", "whole"), [(0, 0, 100), (12, 16, 100), (100, 100, 100), (23, 34, 1000)])
def test_as_many_cells_are_dark_and_half_dark_as_the_numbers_say(count: int, high: int, whole: int) -> None:
    picture = draw_icon_array(count, high, whole, SIZES, words=KEYS)
    boxes = [shape for shape in picture.shapes if isinstance(shape, Box)][:-3]
    assert [box.fill for box in boxes] == ["must"] * count + ["usual"] * (high - count)
    lines = [shape for shape in picture.shapes if isinstance(shape, Stroke)]
    across = sum(line.x0 == line.x1 for line in lines) - 1
    down = sum(line.y0 == line.y1 for line in lines) - 1
    assert across * down == whole


def test_the_key_is_in_words_of_twelve_points_and_inside_the_picture() -> None:
    picture = draw_icon_array(2, 3, 1000, SIZES, words=KEYS)
    words = [shape for shape in picture.shapes if isinstance(shape, Lettering)]
    assert [word.text for word in words] == list(KEYS)
    assert all(word.size == 12 and word.y + 6 <= picture.height for word in words)


@pytest.mark.parametrize(("count", "high", "whole"), [(5, 4, 100), (-1, 4, 100), (1, 101, 100), (1, 2, 50)])
def test_numbers_that_are_no_part_of_the_whole_are_refused(count: int, high: int, whole: int) -> None:
    with pytest.raises(ValueError, match="must"):
        draw_icon_array(count, high, whole, SIZES, words=KEYS)
