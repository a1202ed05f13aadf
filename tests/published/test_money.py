"""Money against published allocation examples and derived rounding cases (money.csv names source and how sure)."""

import csv
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.base.money import add_up, round_money, share_out

ROWS = list(csv.DictReader((Path(__file__).parent / "money.csv").read_text(encoding="utf-8").splitlines()))
CENT = Decimal("0.01")


@pytest.mark.parametrize("row", ROWS, ids=[row["id"] for row in ROWS])
def test_money_agrees_with_the_source(row: dict[str, str]) -> None:
    amount = Decimal(row["amount"])
    parts = [int(part) for part in row["parts"].split(";") if part]
    discounted = amount * Decimal("0.95")
    match row["case"]:
        case "share":
            found = share_out(amount, parts, Decimal(1))
        case "share_cents":
            found = share_out(amount, parts, CENT)
        case "round":
            found = (round_money(amount, CENT),)
        case "discount_lines":
            found = (add_up([round_money(discounted, CENT)] * len(parts), CENT),)
        case _:
            found = (round_money(discounted * len(parts), CENT),)
    assert found == tuple(Decimal(value) for value in row["expected"].split(";"))
