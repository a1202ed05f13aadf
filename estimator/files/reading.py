"""Bytes become text, rows and documents with their places."""

import csv
import io
import re
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from decimal import Decimal
from itertools import islice
from pathlib import Path
from typing import Any

from estimator.base.problems import InputError, Problem
from estimator.base.table import CsvRow, CsvTable

_LARGEST_BYTES = 5_000_000
_CONTROL = re.compile(rb"[\x00-\x08\x0b\x0c\x0e-\x1f]")


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
        raise InputError([Problem(file=path.name, code="file.unreadable", found=reason.lower())]) from None
    if size > _LARGEST_BYTES:
        most = {"most": _LARGEST_BYTES // 1_000_000}
        raise InputError([Problem(file=path.name, code="file.large", found=size, expected=most)])
    return decode_text(data, path.name)


def decode_text(data: bytes, file: str) -> str:
    """Bytes as text, refused where they are empty, binary, or in another encoding than UTF-8."""
    if not data.strip():
        raise InputError([Problem(file=file, code="file.empty")])
    if _CONTROL.search(data, 0, 10_000):
        raise InputError([Problem(file=file, code="file.binary")])
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = {"line": data[: error.start].count(b"\n") + 1}
        raise InputError([Problem(file=file, code="file.utf8", found=data[error.start], expected=line)]) from None


def parse_toml(text: str, file: str) -> dict[str, Any]:
    """A TOML document with its numbers as Decimal."""
    try:
        return tomllib.loads(text, parse_float=Decimal)
    except RecursionError:
        code, found = "file.nested", ""
    except ValueError as error:  # TOMLDecodeError, and numbers of thousands of digits
        code, found = "file.toml", str(error).partition(";")[0]
    raise InputError([Problem(file=file, code=code, found=found)])


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
        raise InputError([Problem(file=file, code="file.csv", found=str(error))]) from None
    columns = tuple(cell.strip() for cell in lines[0])
    while columns and not columns[-1]:
        columns = columns[:-1]
    rows = []
    for number, cells in enumerate(lines[1:], 2):
        cells = [cell.strip() for cell in cells]
        if not any(cells):
            continue
        if len(cells) < len(columns) or any(cells[len(columns) :]):
            columns_known = {"columns": len(columns)}
            problems.append(Problem(file=file, row=number, code="file.cells", found=len(cells), expected=columns_known))
            continue
        rows.append(CsvRow(number=number, cells=dict(zip(columns, cells, strict=False))))
    return CsvTable(file=file, columns=columns, rows=tuple(rows), decimal_comma=semicolons, problems=tuple(problems))


def load_table(path: Path) -> CsvTable:
    """A CSV file from disk."""
    return parse_csv(read_text(path), path.name)


def load_toml(path: Path) -> dict[str, Any]:
    """A TOML file from disk."""
    return parse_toml(read_text(path), path.name)
