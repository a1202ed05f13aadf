"""Versions of a fee schedule: written as a file, held against each other line by line, brought together."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from estimator.base.problems import InputError, Problem
from estimator.base.table import CsvRow, CsvTable, escape_formula, write_table
from estimator.inputs.fees.schedule import COLUMNS, EFFECTIVE, TEXTS, FeeLine, FeeSchedule

FILE_COLUMNS = (*COLUMNS[:-1], EFFECTIVE, COLUMNS[-1])
LINE_COLUMNS = tuple(name for name in COLUMNS if name not in ("currency", "price_date"))
"""What belongs to one line; the other columns are the same in all rows."""


class FeeChangeKind(StrEnum):
    """What happened to a line between two versions."""

    ADDED = "added"
    REMOVED = "removed"
    CHANGED = "changed"


@dataclass(frozen=True, slots=True, kw_only=True)
class FeeChange:
    """One line that two versions do not have alike, as each of them has it; None where a version lacks it."""

    before: FeeLine | None
    after: FeeLine | None

    @property
    def line(self) -> FeeLine:
        """The line as the later version that has it says it."""
        line = self.after or self.before
        if line is None:
            raise ValueError("'before' or 'after' must be a line (got None for both)")
        return line

    @property
    def kind(self) -> FeeChangeKind:
        """What happened to it."""
        if self.before is None:
            return FeeChangeKind.ADDED
        return FeeChangeKind.REMOVED if self.after is None else FeeChangeKind.CHANGED

    @property
    def columns(self) -> tuple[str, ...]:
        """The columns that differ, a fee and the end of its range in one; none where one version lacks the line."""
        if self.before is None or self.after is None:
            return ()
        return _list_differing(self.before, self.after)


@dataclass(frozen=True, slots=True, kw_only=True)
class Merged:
    """Two people's changes in one schedule; `both` are the keys that both changed, where the first one's line stays."""

    schedule: FeeSchedule
    both: tuple[str, ...]


def show_line(line: FeeLine) -> dict[str, str]:
    """A line as texts by column, just as they were typed."""
    cost = line.practice_cost
    fee = f"{line.fee:f}" if line.fee_to is None else f"{line.fee:f} to {line.fee_to:f}"
    return {
        "key": line.key, "label": line.label, "kind": line.kind.value, "charged_per": line.charged_per.value,
        "fee": fee, "practice_cost": "" if cost is None else f"{cost:f}", "minutes": str(line.minutes),
        "provider": line.provider, "office_code": line.office_code, "benefit_class": line.benefit_class,
        "note": line.note,
    }  # fmt: skip


def write_fees(schedule: FeeSchedule) -> str:
    """A schedule as the text of a CSV file: amounts with a point, no cell that a spreadsheet would work out."""
    head = {
        "currency": schedule.currency,
        "price_date": schedule.price_date.isoformat(),
        EFFECTIVE: schedule.effective_from.isoformat() if schedule.effective_from else "",
    }
    columns = FILE_COLUMNS if schedule.effective_from else COLUMNS
    lines = (_escape({**show_line(line), **head}) for line in schedule.lines.values())
    return write_table(columns, ([cells[name] for name in columns] for cells in lines))


def make_fee_table(
    rows: Iterable[CsvRow], *, file: str, currency: str, price_date: date, effective_from: date
) -> CsvTable:
    """Lines as typed into a table on a screen, ready for `read_fees`; rows without anything in them are left out."""
    head = {"currency": currency, "price_date": price_date.isoformat(), EFFECTIVE: effective_from.isoformat()}
    kept = (row for row in rows if any(row.cells.values()))
    whole = tuple(replace(row, cells={**_escape(row.cells), **head}) for row in kept)
    return CsvTable(file=file, columns=FILE_COLUMNS, rows=whole)


def _escape(cells: Mapping[str, str]) -> dict[str, str]:
    return {name: escape_formula(text) if name in TEXTS else text for name, text in cells.items()}


def compare_versions(before: FeeSchedule, after: FeeSchedule) -> tuple[FeeChange, ...]:
    """Lines removed or changed in the order of the first version, then lines added in the order of the second."""
    pairs = [(line, after.lines.get(key)) for key, line in before.lines.items()]
    pairs = [(was, now) for was, now in pairs if now is None or _list_differing(was, now)]
    added = (line for key, line in after.lines.items() if key not in before.lines)
    return (
        *(FeeChange(before=was, after=now) for was, now in pairs),
        *(FeeChange(before=None, after=line) for line in added),
    )


def _list_differing(before: FeeLine, after: FeeLine) -> tuple[str, ...]:
    """Columns whose values differ. Amounts are compared as amounts: 5 and 5.00 are one fee."""
    return tuple(name for name in LINE_COLUMNS if _read_value(before, name) != _read_value(after, name))


def _read_value(line: FeeLine, column: str) -> object:
    return (line.fee, line.fee_to) if column == "fee" else getattr(line, column)


def check_dates(schedule: FeeSchedule, parent: FeeSchedule) -> None:
    """Raises InputError where a version is dated before the one it was made from."""
    days = (
        ("price_date", schedule.price_date, parent.price_date),
        (EFFECTIVE, schedule.effective_from, parent.effective_from),
    )
    problems = [
        Problem(
            file=schedule.file,
            code="fees.dated_before",
            column=column,
            found=day,
            expected={"least": least, "column": column, "parent": parent.file},
        )
        for column, day, least in days
        if day is not None and least is not None and day < least
    ]
    if problems:
        raise InputError(problems)


def merge_versions(parent: FeeSchedule, mine: FeeSchedule, theirs: FeeSchedule) -> Merged:
    """What `mine` changed of its parent, put on top of `theirs`, which was made of the same parent."""
    own = {change.line.key for change in compare_versions(parent, mine)}
    other = {change.line.key for change in compare_versions(parent, theirs)}
    lines = {key: line for key, line in theirs.lines.items() if key not in own or key in mine.lines}
    lines |= {key: line for key, line in mine.lines.items() if key in own}
    differing = {change.line.key for change in compare_versions(mine, theirs)}
    currency = theirs.currency if mine.currency == parent.currency else mine.currency
    return Merged(schedule=replace(theirs, lines=lines, currency=currency), both=tuple(sorted(own & other & differing)))
