"""Annual percentage rates of 12 CFR 1026 Appendix J and of our own derivation (apr.csv names source and how sure)."""

import csv
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import numpy_financial
import pytest
from scipy.optimize import brentq

from estimator.inputs.payment.model import HUNDRED, Instalments
from estimator.quote.payment.apr import (
    UNITS,
    UnitPeriod,
    UnitPeriods,
    find_apr,
    find_unit_rate,
    grow,
    measure_span,
)
from estimator.quote.payment.instalments import plan_instalments

Row = dict[str, str]
ROWS = list(csv.DictReader((Path(__file__).parent / "apr.csv").read_text(encoding="utf-8").splitlines()))
UNITS_BY_NAME = {
    "month": UnitPeriod(months=1),
    "semimonth": UnitPeriod(half_month=True),
    "week": UnitPeriod(days=7),
    "4 weeks": UnitPeriod(days=28),
    "255 days": UnitPeriod(days=255),
    "6 months": UnitPeriod(months=6),
}
CENT = Decimal("0.01")
every_row = pytest.mark.parametrize("row", ROWS, ids=[row["id"] for row in ROWS])


def list_payments(row: Row) -> list[Decimal]:
    parts = [part.split("x") for part in row["payments"].split("+")]
    return [Decimal(amount) for count, amount in parts for _ in range(int(count))]


def measure(row: Row) -> UnitPeriods:
    first, unit = date.fromisoformat(row["first_payment"]), UNITS_BY_NAME[row["unit"]]
    return measure_span(date.fromisoformat(row["advance"]), first, unit)


@every_row
def test_the_time_to_the_first_payment_is_counted_as_in_the_source(row: Row) -> None:
    whole, fraction = row["fraction"].split(";")
    span = measure(row)
    assert (span.whole, Fraction(span.odd_days, span.of_days)) == (int(whole), Fraction(fraction))


@every_row
def test_the_rate_is_that_of_the_source_to_its_last_digit(row: Row) -> None:
    found = find_apr(Decimal(row["amount_financed"]), list_payments(row), measure(row), UNITS_BY_NAME[row["unit"]])
    assert found.quantize(Decimal(row["apr"])) == Decimal(row["apr"])


@every_row
def test_the_recursion_of_the_balance_ends_at_zero_at_the_found_rate(row: Row) -> None:
    amount, payments, span = Decimal(row["amount_financed"]), list_payments(row), measure(row)
    rate = find_unit_rate(amount, payments, span)
    balance = amount * grow(span, rate) - payments[0]
    for payment in payments[1:]:
        balance = balance * (1 + rate) - payment
    assert abs(balance) < Decimal("1e-15")


@every_row
def test_a_row_names_its_source_and_how_sure_it_is(row: Row) -> None:
    assert row["source"]
    assert row["how_sure"] in {"rule", "quoted", "derived"}


def find_compounded(row: Row) -> float:
    """The wrong rate: the fraction of a unit-period compounded like the rest."""
    payments, span = [float(p) for p in list_payments(row)], measure(row)
    start = span.whole + float(span.fraction)

    def miss(rate: float) -> float:
        worth: float = sum(p / (1 + rate) ** (start + n) for n, p in enumerate(payments))
        return worth - float(row["amount_financed"])

    rate: float = brentq(miss, 1e-9, 1, xtol=1e-14)
    return rate * float(UNITS_BY_NAME[row["unit"]].per_year * HUNDRED)


def test_of_the_rows_with_odd_days_one_catches_a_fraction_that_is_compounded() -> None:
    odd = [row for row in ROWS if measure(row).odd_days]
    caught = {row["id"] for row in odd if f"{find_compounded(row):.2f}" != row["apr"]}
    assert caught == {"J-c2ii"}


@pytest.mark.parametrize("number", [6, 12, 60])
@pytest.mark.parametrize("rate", [1.5, 9.9, 24.0])
def test_even_plans_agree_with_numpy_financial(rate: float, number: int) -> None:
    payment = -float(numpy_financial.pmt(rate / 1200, number, 5000))
    span = UnitPeriods(whole=1, odd_days=0, of_days=30)
    found = find_apr(Decimal(5000), [Decimal(f"{payment:.12f}")] * number, span, UnitPeriod(months=1))
    assert float(found) == pytest.approx(rate, abs=1e-9)
    assert float(found) / 1200 == pytest.approx(
        float(numpy_financial.rate(number, -payment, 5000, 0, tol=1e-12)), abs=1e-9
    )


def compare_schedule(number: int, first: date, signed: date, rate: str, amount: str) -> Sequence[Decimal]:
    way = Instalments(key="w", label="W", number=number, first=first, rate_percent=Decimal(rate))
    return [p.amount for p in plan_instalments(way, Decimal(amount), signed_on=signed, quantum=CENT)]


def test_our_own_schedule_is_that_of_the_derived_row() -> None:
    """D-V2: 3000.00 at 9.9 % in twelve months; rounding to cents is what makes 9.9002."""
    found = compare_schedule(12, date(2026, 4, 10), date(2026, 3, 10), "9.9", "3000.00")
    assert found == list_payments(next(row for row in ROWS if row["id"] == "D-V2"))


def test_units_have_the_usual_number_a_year() -> None:
    assert [int(unit.per_year) for unit in UNITS.values()] == [52, 26, 13, 12, 6, 4]
    assert UnitPeriod(half_month=True).per_year == 24
    assert UnitPeriod(days=1).per_year == 365
