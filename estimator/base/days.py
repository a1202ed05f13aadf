"""Days: read from a text, months that keep their anchor day, and business days between holidays."""

import re
from calendar import monthrange
from collections.abc import Collection
from datetime import date, timedelta

_SATURDAY = 5
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def parse_day(text: str) -> date | None:
    """A day such as 2026-11-25, written in no other way; None for anything else."""
    try:
        return date.fromisoformat(text) if _DAY.fullmatch(text) else None
    except ValueError:  # the thirtieth of February
        return None


def place_in_month(year: int, month: int, anchor: int) -> date:
    """The anchor day (1 to 31) of a month, or its last day where it is shorter."""
    return date(year, month, min(anchor, monthrange(year, month)[1]))


def add_months(day: date, months: int, *, anchor: int | None = None) -> date:
    """The same day some months later or earlier; `anchor` is the day meant where `day` fell in a shorter month.

    31 January, 28 February, 31 March: an anchor is never lost to a short month.
    """
    months += day.year * 12 + day.month - 1
    return place_in_month(months // 12, months % 12 + 1, anchor or day.day)


def is_business_day(day: date, closed: Collection[date]) -> bool:
    """Whether a day is neither Saturday nor Sunday nor one of the closed days."""
    return day.weekday() < _SATURDAY and day not in closed


def add_business_days(day: date, count: int, closed: Collection[date]) -> date:
    """The business day that is `count` of them later, or earlier where `count` is below 0; the day itself for 0."""
    step = timedelta(days=1 if count > 0 else -1)
    left = abs(count)
    while left:
        day += step
        left -= is_business_day(day, closed)
    return day
