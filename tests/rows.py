"""Rows of a table of cases that stands beside the test that runs them."""

import csv
from collections.abc import Iterator
from pathlib import Path

Row = dict[str, str]


def read_rows(beside: str, name: str) -> list[Row]:
    """The rows of a CSV file in the folder of a test."""
    return list(csv.DictReader((Path(beside).parent / name).read_text(encoding="utf-8").splitlines()))


def read_numbers(text: str) -> list[float]:
    """The numbers of a cell, between semicolons."""
    return [float(number) for number in text.split(";")] if text else []


def pair_numbers(row: Row, *columns: str) -> Iterator[tuple[float, ...]]:
    """The numbers of several cells of a row side by side."""
    return zip(*(read_numbers(row[column]) for column in columns), strict=True)
