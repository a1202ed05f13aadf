"""When a practice is closed: weekdays, its own closed days, the public holidays of its country; and healing times."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum

from estimator.base.fields import Fields
from estimator.inputs.case.model import Arch


class Weekday(StrEnum):
    """Days of the week, Monday first as in ISO 8601."""

    MONDAY = "monday"
    TUESDAY = "tuesday"
    WEDNESDAY = "wednesday"
    THURSDAY = "thursday"
    FRIDAY = "friday"
    SATURDAY = "saturday"
    SUNDAY = "sunday"


WEEKEND = (Weekday.SATURDAY, Weekday.SUNDAY)
_LONGEST_DAYS = 90


@dataclass(frozen=True, slots=True, kw_only=True)
class Closing:
    """Days on which the practice is closed, the first and the last included, and why."""

    first: date
    last: date
    name: str = ""

    def list_days(self) -> tuple[date, ...]:
        """Each of its days."""
        return tuple(self.first + timedelta(days=n) for n in range((self.last - self.first).days + 1))


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarSettings:
    """A practice's calendar. Holidays of `country` (ISO 3166 alpha-2) and its `subdivision`; none without a country.

    `healing_weeks` by arch stand in place of the shipped ones.
    """

    country: str = ""
    subdivision: str = ""
    closed_weekdays: tuple[Weekday, ...] = WEEKEND
    closings: tuple[Closing, ...] = ()
    healing_weeks: Mapping[Arch, Decimal] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedDays:
    """Weekdays and days on which no appointment is made, each day with its name."""

    weekdays: tuple[Weekday, ...] = WEEKEND
    days: Mapping[date, str] = field(default_factory=dict)

    def is_open(self, day: date) -> bool:
        """Whether the practice works on a day."""
        return day not in self.days and tuple(Weekday)[day.weekday()] not in self.weekdays


def read_calendar(fields: Fields) -> CalendarSettings:
    """The table [calendar] of the settings; everything in it is optional."""
    weekdays = fields.read_texts("closed_weekdays", [day.value for day in Weekday])
    if len(weekdays) == len(Weekday):
        fields.add_problem("closed_weekdays", "at least one weekday left open")
    healing = fields.read_table("healing_weeks")
    calendar = CalendarSettings(
        country=fields.read_line("country", expected="a country of two letters, such as US", longest=2),
        subdivision=fields.read_line("subdivision", expected="a state or region, such as CA", longest=60),
        closed_weekdays=tuple(Weekday(day) for day in weekdays) if "closed_weekdays" in fields else WEEKEND,
        closings=tuple(_read_closing(table) for table in fields.read_tables("closed")),
        healing_weeks=_read_healing(healing) if healing else {},
    )
    if calendar.subdivision and not calendar.country:
        fields.add_problem("country", "the country that the subdivision lies in, such as US")
    fields.refuse_others()
    return calendar


def _read_closing(table: Fields) -> Closing:
    first = table.read_date("from")
    last = table.read_date("to") or first
    if first is None or last is None:
        table.add_problem("from", "the first closed day, such as 2026-12-24")
        first = last = date(2000, 1, 1)
    if not 0 <= (last - first).days < _LONGEST_DAYS:
        table.add_problem("to", f"a day from {first.isoformat()} on, and at most {_LONGEST_DAYS} days")
        last = first
    name = table.read_line("name", expected="one line, such as Inventory", longest=60)
    table.refuse_others()
    return Closing(first=first, last=last, name=name or "closed")


def _read_healing(table: Fields) -> dict[Arch, Decimal]:
    read = {arch: table.read_decimal(arch.value, 0, 104, what="weeks from 0 to 104", example="12") for arch in Arch}
    table.refuse_others()
    return {arch: weeks for arch, weeks in read.items() if weeks is not None}
