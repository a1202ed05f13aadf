"""The practice's own experience: how often something needed doing, and in how many years at risk. No patient in it."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from enum import StrEnum

from estimator.base.problems import InputError, Problem, offer_names
from estimator.base.table import (
    CsvRow,
    CsvTable,
    check_columns,
    is_heading_sound,
    parse_plain_decimal,
    read_past_day_cell,
    write_table,
)
from estimator.inputs.options.model import MOST_PER_YEAR, Option, OwnCounts, Per, Seen, UpkeepItem

COLUMNS = ("option", "item", "period", "counted_per", "years_at_risk", "events", "from", "to", "note")
MOST_YEARS = 100_000
_LONGEST_NOTE = 120


class Period(StrEnum):
    """The first year of wear has a rate of its own."""

    FIRST_YEAR = "first_year"
    LATER = "later"


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """One row of the log: events of an option's upkeep item between two days, in jaw-years or implant-years."""

    option: str
    item: str
    period: Period
    counted_per: Per
    years_at_risk: Decimal
    events: int
    start: date
    end: date
    note: str = ""


def read_experience(table: CsvTable, options: Iterable[Option], *, today: date) -> tuple[Observation, ...]:
    """The log from a table with the columns of `COLUMNS`; a row of zeros counts nothing and is kept.

    Raises InputError with all problems.
    """
    problems = check_columns(table, COLUMNS, COLUMNS[:-1])
    found: list[tuple[CsvRow, Observation]] = []
    if is_heading_sound(problems):
        known = {option.key: option for option in options}
        for row in table.rows:
            read = _RowReader(table, row, known, problems).read(today)
            if read is not None:
                found.append((row, read))
        problems += _find_overlaps(table, found)
    if problems:
        raise InputError(problems)
    return tuple(observation for _, observation in found)


class _RowReader:
    """Reads one row; knows the options whose items can be counted."""

    def __init__(self, table: CsvTable, row: CsvRow, options: dict[str, Option], problems: list[Problem]) -> None:
        self.table, self.row, self.options, self.problems = table, row, options, problems

    def read(self, today: date) -> Observation | None:
        before = len(self.problems)
        cells = self.row.cells
        item, period = self.read_item(), self.read_period()
        years, events = self.read_years(), self.read_events()
        start = read_past_day_cell(self.table, self.row, "from", self.problems, today=today)
        end = read_past_day_cell(self.table, self.row, "to", self.problems, today=today)
        if start and end and not start < end:
            self.add_problem("to", "experience.to", start=start)
        note = cells.get("note", "")
        if not (note.isprintable() and len(note) <= _LONGEST_NOTE):
            self.add_problem("note", "experience.note", longest=_LONGEST_NOTE)
        if item and period and years is not None and events is not None:
            self.check_counts(item, period, years, events)
        if not (item and period and start and end) or years is None or events is None or len(self.problems) > before:
            return None
        return Observation(
            option=cells["option"], item=item.key, period=period, counted_per=item.per, years_at_risk=years,
            events=events, start=start, end=end, note=note,
        )  # fmt: skip

    def add_problem(self, column: str, code: str, /, **expected: object) -> None:
        self.problems.append(self.table.make_problem(self.row, column, code, **expected))

    def read_item(self) -> UpkeepItem | None:
        option = self.options.get(self.row.cells["option"])
        if option is None:
            self.add_problem("option", "known", **offer_names(self.row.cells["option"], self.options))
            return None
        items = {item.key: item for item in option.upkeep}
        item = items.get(self.row.cells["item"])
        if item is None:
            self.add_problem("item", "known", **offer_names(self.row.cells["item"], items))
        elif self.row.cells["counted_per"] != item.per:
            self.add_problem("counted_per", "experience.counted_per", per=item.per)
        return item

    def read_period(self) -> Period | None:
        text = self.row.cells["period"]
        if text in tuple(Period):
            return Period(text)
        self.add_problem("period", "experience.period", known=tuple(Period))
        return None

    def read_years(self) -> Decimal | None:
        years = parse_plain_decimal(self.table.read_number_text(self.row, "years_at_risk"))
        if years is not None and 0 <= years <= MOST_YEARS:
            return years
        self.add_problem("years_at_risk", "experience.years", most=MOST_YEARS)
        return None

    def read_events(self) -> int | None:
        text = self.row.cells["events"]
        if text.isascii() and text.isdigit() and len(text) <= 6:
            return int(text)
        self.add_problem("events", "experience.events")
        return None

    def check_counts(self, item: UpkeepItem, period: Period, years: Decimal, events: int) -> None:
        rate = item.first_year if period is Period.FIRST_YEAR else item.later
        if events and not years:
            self.add_problem("years_at_risk", "experience.no_years", events=events)
        elif events > MOST_PER_YEAR * max(years, Decimal(1)):
            self.add_problem("events", "experience.too_many", most=MOST_PER_YEAR, years=years)
        elif events and rate.value == 0:
            self.add_problem("events", "experience.never", figure=rate.key)


def _find_overlaps(table: CsvTable, found: list[tuple[CsvRow, Observation]]) -> list[Problem]:
    """A problem for each row that counts what another row counts: events seen once must not weigh twice."""
    furthest: dict[tuple[str, str, str], tuple[CsvRow, Observation]] = {}
    problems = []
    for row, one in sorted(found, key=lambda pair: pair[1].start):
        key = (one.option, one.item, one.period)
        if not one.years_at_risk:
            continue
        other = furthest.get(key)
        if other is not None and one.start < other[1].end:
            problems.append(_blame_overlap(table, (row, one), other))
        if other is None or one.end > other[1].end:
            furthest[key] = (row, one)
    return problems


def _blame_overlap(table: CsvTable, *pair: tuple[CsvRow, Observation]) -> Problem:
    (first, counted), (second, _) = sorted(pair, key=lambda one: one[0].number)
    days = {"start": counted.start, "end": counted.end, "row": first.number}
    return table.make_problem(second, "from", "experience.overlap", **days)


def add_own_counts(options: Iterable[Option], observations: Iterable[Observation]) -> tuple[Option, ...]:
    """The options, with what the practice has counted in place at each of their upkeep items."""
    log = [o for o in observations if o.years_at_risk]
    return tuple(
        replace(
            option,
            upkeep=tuple(_add_to_item(item, [o for o in log if o.option == option.key]) for item in option.upkeep),
        )
        for option in options
    )


def _add_to_item(item: UpkeepItem, log: list[Observation]) -> UpkeepItem:
    rows = [o for o in log if o.item == item.key]
    if not rows:
        return item
    first, later = (
        Seen(events=sum(o.events for o in part), years_at_risk=sum((o.years_at_risk for o in part), Decimal(0)))
        for part in ([o for o in rows if o.period is period] for period in Period)
    )
    return replace(item, own=OwnCounts(first_year=first, later=later))


def write_experience(observations: Iterable[Observation]) -> str:
    """The text of an experience.csv."""
    rows = [
        (
            o.option, o.item, o.period.value, o.counted_per.value, f"{o.years_at_risk:f}", str(o.events),
            o.start.isoformat(), o.end.isoformat(), o.note,
        )
        for o in observations
    ]  # fmt: skip
    return write_table(COLUMNS, rows)


def begin_experience(options: Iterable[Option], *, today: date) -> tuple[Observation, ...]:
    """A row of zeros for everything that can be counted, over the last whole year: a log to be filled in."""
    start, end = date(today.year - 1, 1, 1), date(today.year - 1, 12, 31)
    return tuple(
        Observation(
            option=option.key, item=item.key, period=period, counted_per=item.per, years_at_risk=Decimal(0), events=0,
            start=start, end=end,
        )
        for option in options
        for item in option.upkeep
        for period in Period
    )  # fmt: skip
