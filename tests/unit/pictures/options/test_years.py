"""The cost so far by year: one calendar, one money scale, nothing cut."""

from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.pictures.base.rows import KeyWords, Picture, Sizes, find_misfits
from estimator.pictures.base.shapes import Lettering, Stroke
from estimator.pictures.options.years import YearsRow, draw_years

SIZES = Sizes(bar=72)


def make_row(first: int, yearly: int, years: int) -> YearsRow:
    so_far = tuple(
        (Decimal(first + yearly * n // 2), Decimal(first + yearly * n), Decimal(first + yearly * n * 2))
        for n in range(1, years + 1)
    )
    return YearsRow(
        name="Connecting bar", finding="8,590 first, about 15,010 after 10 years", first=Decimal(first), so_far=so_far
    )


def draw(*rows: YearsRow) -> Picture:
    return draw_years(rows, SIZES, axis="years from delivery", expected="expected cost so far", words=KeyWords())


def list_lines(picture: Picture, colour: str, width: float) -> list[Stroke]:
    return [s for s in picture.shapes if isinstance(s, Stroke) and s.colour == colour and s.width == width]


def test_the_expected_cost_runs_from_the_first_cost_to_the_last_year_without_a_gap() -> None:
    lines = list_lines(draw(make_row(2250, 300, 10)), "usual", 4.0)
    assert [(line.x0, line.x1) for line in lines] == [(n, n + 1) for n in range(10)]
    assert all(a.y1 == b.y0 for a, b in pairwise(lines))


def test_two_range_lines_hold_the_expected_one() -> None:
    picture = draw(make_row(2250, 300, 10))
    expected, bounds = list_lines(picture, "usual", 4.0), list_lines(picture, "ink", 1.0)
    ends = sorted({line.y1 for line in bounds if (line.x0, line.x1) == (9, 10)})
    assert ends[0] < expected[-1].y1 < ends[1]


def test_all_rows_have_one_money_scale() -> None:
    picture = draw(make_row(2250, 300, 10), make_row(8590, 600, 10))
    labels = [
        s.text for s in picture.shapes if isinstance(s, Lettering) and s.text.replace(",", "").isdigit() and s.dx == 6
    ]
    assert len(labels) == 2
    assert len(set(labels)) == 1
    heights = [line.y0 - line.y1 for line in list_lines(picture, "must", 7)]
    assert heights[1] / heights[0] == pytest.approx(8590 / 2250)


@given(st.integers(1, 5_000_000), st.integers(0, 500_000), st.integers(1, 30))
def test_nothing_leaves_its_row(first: int, yearly: int, years: int) -> None:
    place = SIZES.place_row(0)
    for line in [
        s
        for s in draw(make_row(first, yearly, years)).shapes
        if isinstance(s, Stroke) and s.width in (1.0, 4.0, 7) and s.y0 > SIZES.head
    ]:
        assert place.bar_top - 1e-6 <= min(line.y0, line.y1)
        assert max(line.y0, line.y1) <= place.bar_foot + 1e-6


def test_no_words_are_cut_or_meet() -> None:
    assert find_misfits(draw(make_row(2250, 300, 10), make_row(8590, 600, 10)), 358) == ()
