"""Published minima as a table: every bad row is named, nothing is half-read."""

from decimal import Decimal

import pytest

from estimator.base.problems import InputError
from estimator.base.table import CsvRow, CsvTable
from estimator.inputs.reference.published_minima import COLUMNS, read_minima
from tests.problem_builders import list_places, refuses

GOOD = ("a", "Someone 2000", "on_bar", "", "11", "12", "platform", "book", "ch. 1", "chapter", "")


def read(**changes: str) -> object:
    cells = dict(zip(COLUMNS, GOOD, strict=True)) | changes
    table = CsvTable(file="minima.csv", columns=COLUMNS, rows=(CsvRow(number=2, cells=cells),))
    return read_minima(table, {"book": "A book"})


def test_a_whole_row_is_read() -> None:
    [minimum] = read_minima(
        CsvTable(file="m", columns=COLUMNS, rows=(CsvRow(number=2, cells=dict(zip(COLUMNS, GOOD, strict=True))),)),
        {"book": ""},
    )
    assert (minimum.low_mm, minimum.high_mm, minimum.arch) == (Decimal(11), Decimal(12), None)


@pytest.mark.parametrize(("column", "found"), [
    ("landmark", "gum"), ("how_sure", "sure"), ("arch", "lower"), ("source", "hearsay"), ("attachments", "on_top"),
    ("attachments", ""), ("label", ""),
])  # fmt: skip
def test_a_bad_cell_is_named(column: str, found: str) -> None:
    with pytest.raises(InputError) as raised:
        read(**{column: found})
    assert list_places(raised.value.problems) == [f'row 2, column "{column}"']


@pytest.mark.parametrize(("low", "high"), [("12", "11"), ("-1", "2"), ("", "2"), ("11 mm", "12"), ("0", "0")])
def test_lengths_that_do_not_rise_are_named(low: str, high: str) -> None:
    with refuses("low and high in mm, rising"):
        read(low=low, high=high)
