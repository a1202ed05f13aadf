"""When a practice is closed: weekdays, its own closed days, the public holidays of its country; and healing times."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum

from estimator.base.declared import Field, FieldKind, Section, read_declared
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


CALENDAR = Section(
    key="calendar",
    help="When you are closed: no visit is planned on such a day.",
    attribute="calendar",
    parts=(
        Field(key="country", kind=FieldKind.LINE, label="Country",
              help="Public holidays of this country are skipped; none without it.", longest=2, example='"US"',
              code="calendar.country"),
        Field(key="subdivision", kind=FieldKind.LINE, label="State or region",
              help="And those of this state or region.", longest=60, example='"CA"',
              code="calendar.subdivision"),
        Field(key="closed_weekdays", kind=FieldKind.WORDS, label="Closed weekdays",
              help="Weekdays on which you do not work.", choices=Weekday, default=WEEKEND,
              example='["saturday", "sunday"]'),
        Section(
            key="healing_weeks",
            help="Weeks from surgery to the abutments, in place of the shipped ones.",
            parts=tuple(
                Field(key=arch.value, kind=FieldKind.NUMBER, label=f"Healing of the {arch}, weeks",
                      code="number.weeks", high=104, example=example, attribute=f"healing_weeks.{arch}")
                for arch, example in ((Arch.MANDIBLE, "12"), (Arch.MAXILLA, "16"))
            ),
        ),
        Section(
            key="closed",
            help="Your own closed days; as many of these tables as you like.",
            repeated=True,
            attribute="closings",
            parts=(
                Field(key="from", kind=FieldKind.DAY, label="First closed day", example="2026-12-24", required=True,
                      missing="calendar.closed_from", attribute="first"),
                Field(key="to", kind=FieldKind.DAY, label="Last closed day", example="2026-12-31",
                      help="The last closed day, at most 90 days in all; one day without it.", attribute="last"),
                Field(key="name", kind=FieldKind.LINE, label="Why", help="Why, as the visits show it.", longest=60,
                      code="calendar.closed_name", example='"Inventory"', default="closed"),
            ),
        ),
    ),
)  # fmt: skip
"""The table [calendar] of the settings."""


def read_calendar(fields: Fields) -> CalendarSettings:
    """The table [calendar] of the settings; everything in it is optional."""
    said = read_declared(fields, CALENDAR)
    if len(said["closed_weekdays"]) == len(Weekday):
        fields.add_problem("closed_weekdays", "calendar.weekdays")
    healing = fields.read_table("healing_weeks")
    calendar = CalendarSettings(
        **said,
        closings=tuple(_read_closing(table) for table in fields.read_tables("closed")),
        healing_weeks=_read_healing(healing) if healing else {},
    )
    if calendar.subdivision and not calendar.country:
        fields.add_problem("country", "calendar.no_country")
    fields.refuse_others()
    return calendar


def _read_closing(table: Fields) -> Closing:
    said = read_declared(table, CALENDAR.get_section("closed"))
    first: date | None = said["from"]
    last: date | None = said["to"] or first
    if first is None or last is None:
        first = last = date(2000, 1, 1)
    if not 0 <= (last - first).days < _LONGEST_DAYS:
        table.add_problem("to", "calendar.closed_to", first=first, most=_LONGEST_DAYS)
        last = first
    table.refuse_others()
    return Closing(first=first, last=last, name=said["name"] or "closed")


def _read_healing(table: Fields) -> dict[Arch, Decimal]:
    said = read_declared(table, CALENDAR.get_section("healing_weeks"))
    table.refuse_others()
    return {Arch(key): weeks for key, weeks in said.items() if weeks is not None}
