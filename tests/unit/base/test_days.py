"""Days against python-dateutil and holidays as oracles."""

from datetime import date, timedelta
from functools import cache

import holidays
import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from estimator.base.days import add_business_days, add_months, is_business_day, parse_day

DAYS = st.dates(date(2000, 1, 1), date(2099, 12, 31))
CLOSED = frozenset(holidays.country_holidays("US", years=range(1999, 2101)))


@cache
def load_oracle(year: int) -> holidays.HolidayBase:
    """The holidays of two years, as the library has them."""
    return holidays.country_holidays("US", years=range(year, year + 2))


@given(DAYS)
def test_a_day_is_read_back_from_how_it_is_written(day: date) -> None:
    assert parse_day(day.isoformat()) == day


@pytest.mark.parametrize(
    "text", ["20261125", "2026-W48-3", "25.11.2026", "2026-02-30", "2026-11-25 ", "２０２６-11-25", ""]
)
def test_a_day_written_in_another_way_is_none(text: str) -> None:
    assert parse_day(text) is None


@given(DAYS, st.integers(-120, 120))
def test_months_are_added_as_dateutil_adds_them(day: date, months: int) -> None:
    assert add_months(day, months) == day + relativedelta(months=months)


def test_an_anchor_at_the_end_of_the_month_survives_february() -> None:
    days = [add_months(date(2027, 1, 31), n) for n in range(4)]
    assert days == [date(2027, 1, 31), date(2027, 2, 28), date(2027, 3, 31), date(2027, 4, 30)]


def test_an_anchor_can_be_meant_where_the_first_day_fell_in_a_short_month() -> None:
    assert add_months(date(2027, 2, 28), 1, anchor=30) == date(2027, 3, 30)


@given(DAYS, st.integers(1, 30))
def test_business_days_are_added_as_the_holidays_library_adds_them(day: date, count: int) -> None:
    assert add_business_days(day, count, CLOSED) == load_oracle(day.year).get_nth_working_day(day, count)


@given(DAYS, st.integers(1, 30))
def test_business_days_back_undo_business_days_on(day: date, count: int) -> None:
    while not is_business_day(day, CLOSED):
        day += timedelta(days=1)
    assert add_business_days(add_business_days(day, count, CLOSED), -count, CLOSED) == day


@pytest.mark.parametrize(("day", "open_"), [("2026-11-26", False), ("2026-11-27", True), ("2026-11-28", False), ("2026-07-03", False)],
                         ids=["Thanksgiving", "the day after", "a Saturday", "Independence Day observed"])  # fmt: skip
def test_a_business_day_is_neither_weekend_nor_holiday(day: str, open_: bool) -> None:
    assert is_business_day(date.fromisoformat(day), CLOSED) is open_


def test_no_business_days_later_is_the_day_itself() -> None:
    assert add_business_days(date(2026, 11, 28), 0, CLOSED) == date(2026, 11, 28)
