"""What comes later in pictures: the calendar of what usually needs doing."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.pictures.base.rows import Picture, Sizes, find_misfits
from estimator.pictures.base.shapes import Lettering, Mark, Stroke
from estimator.pictures.upkeep.calendar import CalendarRow, draw_calendar, list_times
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
