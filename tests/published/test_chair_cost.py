"""What an hour of a chair costs, against a published worked example (chair_cost.csv names source and how sure)."""

import csv
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.inputs.practice.chair_cost import find_chair_cost

ROWS = list(csv.DictReader((Path(__file__).parent / "chair_cost.csv").read_text(encoding="utf-8").splitlines()))


@pytest.mark.parametrize("row", ROWS, ids=[row["source"] for row in ROWS])
def test_a_chair_hour_costs_what_the_source_says(row: dict[str, str]) -> None:
    overhead, chairs, weeks, days, hours, share, expected = (Decimal(text) for text in list(row.values())[:7])
    found = find_chair_cost(overhead, chairs=chairs, weeks=weeks, days=days, hours=hours, share_in_use=share)
    assert found == expected
