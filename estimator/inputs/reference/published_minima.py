"""Published minimum heights, each with the landmark its source counts from, if it says so."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from estimator.base.evidence import HowSure
from estimator.base.problems import InputError, Problem
from estimator.base.table import CsvRow, CsvTable, check_columns, find_duplicates, is_heading_sound, parse_plain_decimal
from estimator.inputs.case.model import Arch, Landmark
from estimator.inputs.options.model import Attachments

COLUMNS = ("key", "label", "attachments", "arch", "low", "high", "landmark", "source", "place", "how_sure", "note")
NOT_STATED = "not_stated"


@dataclass(frozen=True, slots=True, kw_only=True)
class Minimum:
    """A published minimum [mm] of the restorative space, as it stands in its source.

    It applies to options with one of these `attachments`, in one arch or (None) in both. `landmark` is None where the
    source does not say where it counts from.
    """

    key: str
    label: str
    attachments: tuple[Attachments, ...]
    arch: Arch | None
    low_mm: Decimal
    high_mm: Decimal
    landmark: Landmark | None
    source: str
    place: str
    how_sure: HowSure
    note: str = ""


def read_minima(table: CsvTable, sources: Mapping[str, str]) -> tuple[Minimum, ...]:
    """Minima from a table with the columns of `COLUMNS`. Raises InputError with all problems."""
    problems = check_columns(table, COLUMNS, COLUMNS) or find_duplicates(table, "key")
    minima = []
    if is_heading_sound(problems):
        for row in table.rows:
            before = len(problems)
            _check_row(table, row, sources, problems)
            if len(problems) == before:
                minima.append(_make_minimum(table, row))
    if problems:
        raise InputError(problems)
    return tuple(minima)


def _check_row(table: CsvTable, row: CsvRow, sources: Mapping[str, str], problems: list[Problem]) -> None:
    words: dict[str, tuple[type[StrEnum] | tuple[str, ...], str]] = {
        "landmark": ((*Landmark, NOT_STATED), row.cells["landmark"]),
        "how_sure": (HowSure, row.cells["how_sure"]),
        "arch": ((*Arch, ""), row.cells["arch"]),
        "source": (tuple(sources), row.cells["source"]),
    }
    for column, (known, found) in words.items():
        if found not in tuple(known):
            problems.append(table.make_problem(row, column, "known", known=tuple(word for word in known if word)))
    if not _list_attachments(row) or not all(word in tuple(Attachments) for word in _list_attachments(row)):
        problems.append(table.make_problem(row, "attachments", "reference.attachments", known=tuple(Attachments)))
    if not row.cells["label"]:
        problems.append(table.make_problem(row, "label", "text"))
    low, high = (parse_plain_decimal(table.read_number_text(row, column)) for column in ("low", "high"))
    if low is None or high is None or not 0 < low <= high:
        points = {"low": row.cells["low"], "high": row.cells["high"]}
        problems.append(Problem(file=table.file, row=row.number, code="reference.rising", expected=points))


def _make_minimum(table: CsvTable, row: CsvRow) -> Minimum:
    cells = row.cells
    low, high = (parse_plain_decimal(table.read_number_text(row, column)) for column in ("low", "high"))
    return Minimum(
        key=cells["key"],
        label=cells["label"],
        attachments=tuple(Attachments(word) for word in _list_attachments(row)),
        arch=Arch(cells["arch"]) if cells["arch"] else None,
        low_mm=low or Decimal(0),
        high_mm=high or Decimal(0),
        landmark=None if cells["landmark"] == NOT_STATED else Landmark(cells["landmark"]),
        source=cells["source"],
        place=cells["place"],
        how_sure=HowSure(cells["how_sure"]),
        note=cells["note"],
    )


def _list_attachments(row: CsvRow) -> list[str]:
    return row.cells["attachments"].split()
