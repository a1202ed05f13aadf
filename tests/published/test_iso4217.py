"""Currencies against the list of the maintenance agency (iso4217.csv names source and how sure)."""

import csv
from pathlib import Path

import pytest

from estimator.base.money import MINOR_UNITS

ROWS = list(csv.DictReader((Path(__file__).parent / "iso4217.csv").read_text(encoding="utf-8").splitlines()))
NOT_FOR_A_PRACTICE = {"XAD", "UYW"}
"""Units of account between banks, and of pensions."""
MONEY = [row for row in ROWS if row["fund"] == "no" and row["minor_units"] != "N.A." and row["code"] not in NOT_FOR_A_PRACTICE]  # fmt: skip


@pytest.mark.parametrize("row", MONEY, ids=[row["code"] for row in MONEY])
def test_a_currency_has_the_minor_units_of_the_list(row: dict[str, str]) -> None:
    assert MINOR_UNITS[row["code"]] == int(row["minor_units"])


def test_no_currency_is_known_that_is_not_on_the_list() -> None:
    assert set(MINOR_UNITS) == {row["code"] for row in MONEY}
