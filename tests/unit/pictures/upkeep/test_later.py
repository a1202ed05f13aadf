"""What comes later in pictures: the calendar, the swings of a difference, the spread of a total."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.charts.shapes import draw_chart
from estimator.pictures.base.look import LIGHT
from estimator.pictures.base.rows import KeyWords, Picture, Sizes, find_misfits
from estimator.pictures.base.shapes import Box, Lettering, Mark, Stroke
from estimator.pictures.upkeep.calendar import CalendarRow, draw_calendar, list_times
from estimator.pictures.upkeep.spread import SpreadRow, draw_spread
from estimator.pictures.upkeep.swings import SwingRow, draw_swings
from estimator.pictures.upkeep.upkeep_calendar import list_calendar_rows
from tests.builders import estimate_jaw, make_jaw

SIZES = Sizes(width=340)


class TestTimes:
    @pytest.mark.parametrize(("by_year", "times"), [
        ((1.0, 1.0), (0.5, 1.5)), ((3.0,), (1 / 6, 0.5, 5 / 6)), ((0.4, 0.4), (1.25,)), ((0.2, 0.2), ()), ((), ()),
        ((0.0, 0.0, 1.0), (2.5,)), ((0.5,), (1.0,)),
    ])  # fmt: skip
    def test_a_time_is_where_the_expected_number_passes_a_half(
        self, by_year: tuple[float, ...], times: tuple[float, ...]
    ) -> None:
        assert list_times(by_year) == pytest.approx(times)

    @given(st.lists(st.floats(0, 4), max_size=30))
    def test_there_are_as_many_times_as_the_expected_number_rounds_to(self, by_year: list[float]) -> None:
        total = math.fsum(by_year)
        times = list_times(by_year)
        assert abs(len(times) - total) <= 0.5 + 1e-6
        assert all(a <= b for a, b in pairwise(times))
        assert all(0 <= t <= len(by_year) + 1e-6 for t in times)

    def test_a_recall_is_due_at_the_end_of_each_year(self) -> None:
        upkeep = estimate_jaw(make_jaw("13"), years=3)["connecting_bar"].upkeep
        rows = list_calendar_rows(upkeep, name=lambda e: e.key, note=lambda e: e.label)
        assert next(row.years for row in rows if row.name == "recall") == (1.0, 2.0, 3.0)


def draw_rows(*rows: CalendarRow, years: int = 10) -> Picture:
    return draw_calendar(rows, years, SIZES, axis="years from delivery", dot="about now", many="again and again")


class TestCalendar:
    ROW = CalendarRow(
        name="Retention service (inserts activated or changed)", note="about 4.4 times", years=(0.6, 2.8, 5.3, 7.8)
    )

    def test_each_time_is_a_dot_at_its_year(self) -> None:
        dots = [s.x for s in draw_rows(self.ROW).shapes if isinstance(s, Mark) and s.size == SIZES.small * 0.8]
        assert dots[:4] == [0.6, 2.8, 5.3, 7.8]

    def test_times_that_would_touch_are_one_line(self) -> None:
        often = CalendarRow(name="Sore spots", note="about 60 times", years=tuple(n / 6 for n in range(60)))
        picture = draw_rows(often)
        lines = [s for s in picture.shapes if isinstance(s, Stroke) and s.colour == "must"]
        assert [(line.x0, line.x1) for line in lines] == [(0, 59 / 6)]
        assert "again and again" in [s.text for s in picture.shapes if isinstance(s, Lettering)]

    def test_nothing_is_cut_at_the_narrowest_width(self) -> None:
        assert find_misfits(draw_rows(self.ROW), SIZES.width) == ()

    def test_a_calendar_without_a_row_is_refused(self) -> None:
        with pytest.raises(ValueError, match="'rows' must hold one row or more"):
            draw_rows()


def swing(*rows: SwingRow, central: float = 3980) -> Picture:
    return draw_swings(
        rows, central, SIZES, axis="", now="now 3,980", words=("towards its low", "towards its high")
    )  # fmt: skip


class TestSwings:
    ROW = SwingRow(name="Bar remade", note="0.002 to 0.02", at_low=3860, at_high=4390)

    def test_a_bar_runs_from_the_difference_as_it_stands_to_each_end(self) -> None:
        boxes = [s for s in swing(self.ROW).shapes if isinstance(s, Box) and s.edge == "must"]
        assert {(b.fill, b.x0, b.x1) for b in boxes} >= {("must", 3860, 3980), ("pale", 3980, 4390)}

    def test_zero_is_marked_where_the_difference_may_change_sides(self) -> None:
        picture = swing(SwingRow(name="x", note="", at_low=-500, at_high=900), central=200)
        assert any(isinstance(s, Stroke) and s.x0 == s.x1 == 0 for s in picture.shapes)
        assert picture.span[0] < -500

    @given(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6), st.floats(-1e6, 1e6))
    def test_any_difference_can_be_drawn(self, low: float, high: float, central: float) -> None:
        picture = swing(SwingRow(name="A rate", note="0 to 1", at_low=low, at_high=high), central=central)
        assert picture.span[0] <= min(low, high, central) <= max(low, high, central) <= picture.span[1]

    def test_it_is_a_chart_on_screen(self) -> None:
        assert draw_chart(swing(self.ROW), LIGHT)["layer"]


class TestSpread:
    def test_the_area_of_the_columns_is_the_chance(self) -> None:
        """Height times width is chance times one scale, whatever the width of a column."""
        rows = [
            SpreadRow(
                name="A", finding="f", start=1000, step=100, chances=(0.5, 0.5), low=1000, middle=1100, high=1200
            ),
            SpreadRow(name="B", finding="f", start=1000, step=200, chances=(1.0,), low=1000, middle=1100, high=1200),
        ]
        picture = draw_spread(rows, Sizes(bar=64), axis="money", middle="half", words=KeyWords())
        columns = [s for s in picture.shapes if isinstance(s, Box) and s.fill == "usual" and s.edge is None]
        areas = [(c.x1 - c.x0) * (c.y1 - c.y0) for c in columns]
        assert areas[0] + areas[1] == pytest.approx(areas[2])
