"""Rows of a CSV file with their places; what `files` makes and `inputs` reads."""

import csv
import io
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimator.base.days import parse_day
from estimator.base.problems import Problem, offer_names


@dataclass(frozen=True, slots=True, kw_only=True)
class CsvRow:
    """One row: its number in the file (the heading is row 1) and its cells by column name, stripped."""

    number: int
    cells: dict[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class CsvTable:
    """A CSV file as read: heading, rows, and whether it was written with decimal commas.

    `problems` holds the rows that could not be read at all; whoever reads the table reports them with its own.
    """

    file: str
    columns: tuple[str, ...]
    rows: tuple[CsvRow, ...]
    decimal_comma: bool = False
    problems: tuple[Problem, ...] = ()

    def make_problem(self, row: CsvRow, column: str, code: str, /, **expected: object) -> Problem:
        """A problem with one cell: the code of its sentence and what fills it."""
        found = row.cells.get(column) or None
        return Problem(file=self.file, row=row.number, column=column, code=code, found=found, expected=expected)

    def read_number_text(self, row: CsvRow, column: str) -> str:
        """A cell with its decimal comma, if the file uses those, turned into a point."""
        text = row.cells.get(column, "")
        return text.replace(",", ".", 1) if self.decimal_comma and "." not in text else text


def check_columns(table: CsvTable, known: tuple[str, ...], required: tuple[str, ...]) -> list[Problem]:
    """Problems with unreadable rows, and with the heading row: missing, doubled and misspelt columns."""
    problems = list(table.problems)
    for name in dict.fromkeys(table.columns):
        if name not in known:
            problems.append(_blame_heading(table, "unknown_column", name, **offer_names(name, known)))
        if table.columns.count(name) > 1:
            problems.append(_blame_heading(table, "column_twice", name))
    for name in required:
        if name not in table.columns:
            problems.append(_blame_heading(table, "no_column", name, required=required))
    return problems


def _blame_heading(table: CsvTable, code: str, column: str, **expected: object) -> Problem:
    return Problem(file=table.file, row=1, code=code, found=column, expected=expected)


def is_heading_sound(problems: Iterable[Problem]) -> bool:
    """Whether the heading of a table is sound, so that its rows can be read."""
    return not any(problem.row == 1 for problem in problems)


def find_duplicates(table: CsvTable, column: str) -> list[Problem]:
    """A problem for each row whose value in `column` stood in an earlier row."""
    seen: dict[str, int] = {}
    problems = []
    for row in table.rows:
        value = row.cells.get(column, "")
        if value and value in seen:
            problems.append(table.make_problem(row, column, "twice", column=column, row=seen[value]))
        seen.setdefault(value, row.number)
    return problems


def parse_plain_decimal(text: str) -> Decimal | None:
    """A plain ASCII decimal such as -3, 2.25; None for anything else."""
    sign, digits = (-1, text[1:]) if text[:1] in ("-", "\N{MINUS SIGN}") else (1, text)
    whole, point, fraction = digits.partition(".")
    parts_ok = whole.isascii() and whole.isdigit() and (not point or (fraction.isascii() and fraction.isdigit()))
    return sign * Decimal(digits) if parts_ok and len(digits) <= 15 else None


def read_past_day_cell(
    table: CsvTable, row: CsvRow, column: str, problems: list[Problem], *, today: date
) -> date | None:
    """A cell with a day that is not after today, such as 2026-11-25; None after noting what is wrong with it."""
    day = parse_day(row.cells.get(column, ""))
    if day is not None and day <= today:
        return day
    code = "day" if day is None else "past_day"
    problems.append(table.make_problem(row, column, code, today=today))
    return None


_FORMULA = re.compile(r"'*[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]")
"""How a cell begins that a spreadsheet would work out instead of showing (practice), whatever apostrophes precede."""


def escape_formula(text: str) -> str:
    """A text cell as a file holds it: an apostrophe before what a spreadsheet would take for a formula."""
    return f"'{text}" if _FORMULA.match(text) else text


def restore_formula(text: str) -> str:
    """A text cell as it was before `escape_formula`; any other text as it stands."""
    return text[1:] if text.startswith("'") and _FORMULA.match(text) else text


def write_table(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Rows of texts as the text of a CSV file with a heading."""
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="\n").writerows([columns, *rows])
    return text.getvalue()
