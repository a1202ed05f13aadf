"""Decimal amounts."""

from decimal import Decimal

import pytest
from babel.numbers import list_currencies
from hypothesis import given
from hypothesis import strategies as st

from estimator.base.money import MINOR_UNITS, add_up, get_quantum, offer_amount, parse_amount, round_money, share_out

CENT = Decimal("0.01")


@pytest.mark.parametrize("text", ["0", "120.00", "120.5", "99999999.99"])
def test_a_plain_amount_is_read(text: str) -> None:
    assert parse_amount(text, "USD") == Decimal(text)


@pytest.mark.parametrize(
    "text",
    [
        "12O.00",
        "-3",
        "NaN",
        "1e9",
        "1e9999999",
        "１２",
        "1,000.00",
        "1.000,00",
        "1.005",
        " 5",
        "",
        "$5",
        "=1+1",
        "999999999",
    ],
)
def test_anything_else_is_not_an_amount(text: str) -> None:
    assert parse_amount(text, "USD") is None


def test_minor_units_decide_the_decimals() -> None:
    assert parse_amount("1250.5", "JPY") is None
    assert parse_amount("1250.125", "KWD") == Decimal("1250.125")
    assert [get_quantum(c) for c in ("JPY", "USD", "KWD")] == [Decimal(1), CENT, Decimal("0.001")]


def test_what_is_expected_names_the_decimals_with_an_example() -> None:
    assert offer_amount("USD") == {"decimals": 2, "example": Decimal("1250.00")}
    assert str(offer_amount("JPY")["example"]) == "1250"


def test_every_currency_is_known_to_an_independent_table() -> None:
    assert set(MINOR_UNITS) <= set(list_currencies())


@given(
    st.decimals(min_value=0, max_value=10**6, places=2),
    st.lists(st.integers(0, 50), min_size=1, max_size=9).filter(any),
)
def test_sharing_loses_no_cent_and_is_off_by_less_than_one(amount: Decimal, weights: list[int]) -> None:
    shares = share_out(amount, weights, CENT)
    assert sum(shares) == amount
    assert all(abs(s - amount * w / sum(weights)) < CENT for s, w in zip(shares, weights, strict=True))


@given(st.lists(st.decimals(min_value=0, max_value=10**5, places=2), max_size=20))
def test_a_total_is_the_sum_of_its_lines(amounts: list[Decimal]) -> None:
    assert add_up(amounts, CENT) == sum(amounts)


def test_weights_without_sum_are_refused() -> None:
    with pytest.raises(ValueError, match="'weights' must be 0 or more with a sum above 0"):
        share_out(Decimal(5), [0, 0], CENT)


def test_half_goes_up() -> None:
    assert round_money(Decimal("0.125"), CENT) == Decimal("0.13")


@pytest.mark.parametrize("weights", [[4, 1, 1], [40, 10, 10]])
def test_equal_fractions_of_unequal_shares_are_a_tie_for_the_earlier_line(weights: list[int]) -> None:
    # 20 x 4/6 = 13 1/3 and 20 x 1/6 = 3 1/3: three fractions of a third and one unit left (derived).
    assert share_out(Decimal(20), weights, Decimal(1)) == tuple(map(Decimal, (14, 3, 3)))
