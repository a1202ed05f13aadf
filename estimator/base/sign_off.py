"""Who confirmed which figure: a practice's confirmed.csv, read and written."""

import unicodedata
from collections.abc import Iterable, Mapping
from datetime import date

from estimator.base.evidence import Confirmation, Figure, read_points
from estimator.base.problems import InputError, Problem, offer_names
from estimator.base.table import (
    CsvRow,
    CsvTable,
    check_columns,
    find_duplicates,
    is_heading_sound,
    read_past_day_cell,
    write_table,
)

COLUMNS = ("key", "low", "value", "high", "confirmed_by", "confirmed_on")
_LONGEST_NAME = 60


def read_confirmations(table: CsvTable, *, known: Mapping[str, Figure], today: date) -> dict[str, Confirmation]:
    """What was confirmed, by the key of its figure. A row whose numbers are no longer those in use is no problem.

    Raises InputError with all problems.
    """
    problems = check_columns(table, COLUMNS, COLUMNS) or find_duplicates(table, "key")
    found = {}
    if is_heading_sound(problems):
        for row in table.rows:
            key = row.cells["key"]
            if key not in known:
                problems.append(table.make_problem(row, "key", "known", **offer_names(key, known)))
            confirmation = _read_confirmation(table, row, problems, today)
            if confirmation is not None:
                found[key] = confirmation
    if problems:
        raise InputError(problems)
    return found


def _read_confirmation(table: CsvTable, row: CsvRow, problems: list[Problem], today: date) -> Confirmation | None:
    points = read_points(table, row, problems)
    day = read_past_day_cell(table, row, "confirmed_on", problems, today=today)
    name = read_name(row.cells["confirmed_by"])
    if name is None:
        problems.append(table.make_problem(row, "confirmed_by", "figures.clinician", longest=_LONGEST_NAME))
    if points is None or day is None or name is None:
        return None
    return Confirmation(points=points, confirmed_by=name, confirmed_on=day)


def read_name(text: str) -> str | None:
    """A name in any script, in NFC; None where the text is none. A first letter keeps spreadsheets from computing."""
    name = unicodedata.normalize("NFC", " ".join(text.split()))
    return name if name[:1].isalpha() and name.isprintable() and len(name) <= _LONGEST_NAME else None


def make_name_problem(by: str, *, file: str = "") -> Problem:
    """What is wrong with a text that is no name."""
    found, longest = by.strip() or None, {"longest": _LONGEST_NAME}
    return Problem(file=file, path=("name",), code="figures.clinician", found=found, expected=longest)


def confirm_figures(figures: Iterable[Figure], by: str, *, today: date) -> dict[str, Confirmation]:
    """A confirmation of each figure as it stands. Raises InputError where `by` is no name or nothing was chosen."""
    figures, name = tuple(figures), read_name(by)
    problems = []
    if name is None:
        problems.append(make_name_problem(by))
    if not figures:
        problems.append(Problem(file="", path=("figures",), code="figures.none"))
    if name is None or problems:
        raise InputError(problems)
    return {f.key: Confirmation(points=f.points, confirmed_by=name, confirmed_on=today) for f in figures}


def write_confirmations(confirmations: Mapping[str, Confirmation]) -> str:
    """The text of a confirmed.csv."""
    rows = [
        (key, *(f"{point:f}" for point in said.points), said.confirmed_by, said.confirmed_on.isoformat())
        for key, said in confirmations.items()
    ]
    return write_table(COLUMNS, rows)
