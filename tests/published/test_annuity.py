"""Published exercises and closed forms of present values; every row says where it is from and how sure it is."""

import csv
import re
from collections.abc import Callable, Iterable
from decimal import Decimal
from pathlib import Path

import numpy_financial
import pytest

from estimator.estimate.upkeep.discounting import (
    CENT,
    annuity_factor,
    equivalent_annual_cost,
    find_yearly_factor,
    round_amount,
)

Row = dict[str, str]
MICRO = Decimal("0.000001")


def read_rows() -> list[Row]:
    with (Path(__file__).parent / "annuity.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


ROWS = read_rows()


def add_worths(amounts: Iterable[Decimal], rate: float, *, quantum: Decimal = CENT) -> Decimal:
    """What amounts at the ends of years 1, 2, … are worth today, each by the yearly factor of the model."""
    yearly = find_yearly_factor(rate, 0.0)
    return round_amount(sum(float(amount) * yearly**year for year, amount in enumerate(amounts, start=1)), quantum)


def run_rising_costs() -> tuple[float, ...]:
    worth = add_worths([Decimal(cost) for cost in (5406, 6517, 7628, 8739, 9850)], 0.081)
    return float(worth), float(equivalent_annual_cost(Decimal(0), worth, 0.081, 5))


def run_purchase_and_upkeep() -> tuple[float, ...]:
    upkeep = add_worths([Decimal(8000)] * 3, 0.14)
    total = Decimal(290000) + upkeep
    return float(total), float(equivalent_annual_cost(Decimal(290000), upkeep, 0.14, 3))


def run_net_present_value() -> tuple[float, ...]:
    returns = [Decimal(amount) for amount in (1500, 2500, 3500, 4500, 6000)]
    return (float(add_worths(returns, 0.05, quantum=MICRO) - 15000),)


def run_annuity_factors() -> tuple[float, ...]:
    return tuple(annuity_factor(0.03, years) for years in (5, 10, 15, 20))


RUNS: dict[str, Callable[[], tuple[float, ...]]] = {
    "A-1": run_rising_costs,
    "A-2": run_purchase_and_upkeep,
    "A-3": run_net_present_value,
    "A-4": run_annuity_factors,
}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_row_is_met_within_its_tolerance(row: Row) -> None:
    expected = [float(number) for number in re.findall(r"\d+\.\d+", row["expected"])]
    assert list(RUNS[row["id"]]()) == pytest.approx(expected, abs=float(row["tolerance"]), rel=0)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_row_names_its_source_and_how_sure_it_is(row: Row) -> None:
    assert row["source"]
    assert row["how_sure"] in {"abstract", "chapter", "rule", "quoted", "memory", "practice", "derived"}


@pytest.mark.parametrize("rate", [0.001, 0.03, 0.035, 0.05, 0.14])
def test_amounts_at_the_yearly_factor_agree_with_numpy_financial(rate: float) -> None:
    amounts = [310, 0, 95, 2750, 120, 60]
    found = add_worths([Decimal(amount) for amount in amounts], rate, quantum=MICRO)
    assert float(found) == pytest.approx(float(numpy_financial.npv(rate, [0, *amounts])), abs=1e-6)


@pytest.mark.parametrize("years", [1, 10, 30])
@pytest.mark.parametrize("rate", [0.0, 0.03, 0.05])
def test_equivalent_annual_cost_agrees_with_numpy_financial(rate: float, years: int) -> None:
    found = equivalent_annual_cost(Decimal("8400"), Decimal("3851.19"), rate, years, quantum=MICRO)
    assert float(found) == pytest.approx(-float(numpy_financial.pmt(rate, years, 12251.19)), abs=1e-6)
