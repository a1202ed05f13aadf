"""Bytes become text, rows and documents with their places."""

import csv
import io
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from decimal import Decimal
from itertools import islice
from pathlib import Path
from typing import Any

from estimator.base.problems import InputError, Problem, free_problem
from estimator.base.table import CsvRow, CsvTable

_LARGEST_BYTES = 5_000_000
_CONTROL = frozenset(range(32)) - {9, 10, 13}


@contextmanager
def gather(problems: list[Problem]) -> Iterator[None]:
    """Collect the problems of one file and go on to the next."""
    try:
        yield
    except InputError as error:
        problems.extend(error.problems)


def read_text(path: Path) -> str:
    """A text file in UTF-8, with or without byte-order mark. Raises InputError if it is not one."""
    try:
        size = path.stat().st_size
        data = path.read_bytes() if size <= _LARGEST_BYTES else b""
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise InputError(
            [free_problem(file=path.name, place="", found=reason.lower(), expected="a file that can be read")]
        ) from None
    if size > _LARGEST_BYTES:
        raise InputError(
            [free_problem(file=path.name, place="", found=f"{size} bytes", expected="a file of at most 5 MB")]
        )
    return decode_text(data, path.name)


def decode_text(data: bytes, file: str) -> str:
    """Bytes as text, refused where they are empty, binary, or in another encoding than UTF-8."""
    if not data.strip():
        raise InputError(
            [free_problem(file=file, place="", found="an empty file", expected="a file with something in it")]
        )
    if any(byte in _CONTROL for byte in data[:10_000]):
        raise InputError([free_problem(file=file, place="", found="a binary file", expected="a text file in UTF-8")])
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        found = f"a byte that is not UTF-8 (0x{data[error.start]:02x})"
        expected = 'text in UTF-8: in a spreadsheet, choose "CSV UTF-8" when saving'
        raise InputError([free_problem(file=file, place=f"line {line}", found=found, expected=expected)]) from None


def parse_toml(text: str, file: str) -> dict[str, Any]:
    """A TOML document with its numbers as Decimal."""
    try:
        return tomllib.loads(text, parse_float=Decimal)
    except RecursionError:
        found = "brackets nested too deep"
    except ValueError as error:  # TOMLDecodeError, and numbers of thousands of digits
        found = str(error).partition(";")[0]
    raise InputError([free_problem(file=file, place="", found=found, expected="a TOML file")])


def parse_csv(text: str, file: str, *, most_lines: int | None = None) -> CsvTable:
    """A CSV with a heading row; semicolons mean decimal commas. Blank rows are skipped, ragged rows are problems.

    With `most_lines` only so many are read, the heading among them.
    """
    heading = text.split("\n", 1)[0]
    semicolons = heading.count(";") > heading.count(",")
    problems: list[Problem] = []
    try:
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=";" if semicolons else ",", strict=True)
        lines = list(islice(reader, most_lines))
    except csv.Error as error:
        place, expected = "", "a CSV file in which each opened quote is closed"
        raise InputError([free_problem(file=file, place=place, found=str(error), expected=expected)]) from None
    columns = tuple(cell.strip() for cell in lines[0])
    while columns and not columns[-1]:
        columns = columns[:-1]
    rows = []
    for number, cells in enumerate(lines[1:], 2):
        cells = [cell.strip() for cell in cells]
        if not any(cells):
            continue
        if len(cells) < len(columns) or any(cells[len(columns) :]):
            found, expected = (
                f"{len(cells)} cells",
                f"{len(columns)} cells, as in row 1 (a cell with a comma in it needs quotes)",
            )
            problems.append(free_problem(file=file, place=f"row {number}", found=found, expected=expected))
            continue
        rows.append(CsvRow(number=number, cells=dict(zip(columns, cells, strict=False))))
    return CsvTable(file=file, columns=columns, rows=tuple(rows), decimal_comma=semicolons, problems=tuple(problems))


def load_table(path: Path) -> CsvTable:
    """A CSV file from disk."""
    return parse_csv(read_text(path), path.name)


def load_toml(path: Path) -> dict[str, Any]:
    """A TOML file from disk."""
    return parse_toml(read_text(path), path.name)
