"""The one stack against what is published (clearance.csv names source and how sure)."""

import csv
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.estimate.clearance.stack import add_stack
from estimator.estimate.clearance.verdict import Verdict
from tests.builders import estimate_jaw, find_option, make_jaw

ROWS = list(csv.DictReader((Path(__file__).parent / "clearance.csv").read_text(encoding="utf-8").splitlines()))


@pytest.mark.parametrize("row", ROWS, ids=[row["id"] for row in ROWS])
def test_a_stack_adds_up_to_the_published_sum(row: dict[str, str]) -> None:
    stack = add_stack(find_option(row["option"]))
    total = getattr(stack, f"{row['sum']}_mm") + Decimal(row["tissue_mm"] or 0)
    assert abs(total - Decimal(row["expected_mm"])) <= Decimal(row["tolerance_mm"])


def test_a_bar_needs_two_and_a_half_millimetres_more_than_individual_attachments() -> None:
    """About 2.5 by practice; 2 to 4 in the literature (how sure: practice)."""
    difference = (
        add_stack(find_option("connecting_bar")).usual_mm - add_stack(find_option("individual_attachments")).usual_mm
    )
    assert difference == Decimal("2.5")


def test_a_lower_jaw_of_four_millimetres_still_takes_a_conventional_denture() -> None:
    """Some lower dentures have no more than 4 mm: Muller, Salinas 2022, ch. 10 (how sure: chapter)."""
    assert estimate_jaw(make_jaw("4.0"))["conventional_denture"].clearance.verdict is Verdict.TIGHT
    assert estimate_jaw(make_jaw("3.9"))["conventional_denture"].clearance.verdict is Verdict.DOES_NOT_FIT
