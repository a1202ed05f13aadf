"""Payment terms from a document: every slip is named with its place and a hint, nothing is half-read."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from estimator.base.problems import InputError
from estimator.inputs.payment.model import Direction, Instalments, Interval, Milestones, PaymentTerms, Portion, Spread
from estimator.inputs.payment.reader import read_payment_terms
from tests.problem_builders import refuses, say_parts

SIGNED = date(2026, 11, 25)
IN_FULL = {"key": "full", "kind": "in_full", "label": "In full", "discount_percent": 5}
MONTHLY = {
    "key": "monthly", "kind": "instalments", "label": "Monthly", "number": 12, "first": date(2027, 1, 31),
    "rate_percent": Decimal("9.9"), "set_up_fee": Decimal("25.50"), "deposit_amount": 500,
}  # fmt: skip
STAGES = [
    {"what": "surgery", "percent": 40},
    {"what": "impressions", "percent": 30},
    {"what": "delivery", "percent": 30},
]
BY_STAGE = {"key": "stages", "kind": "milestones", "label": "By milestone", "stages": STAGES}
LENDER = {"key": "lender", "kind": "lender", "label": "A lender"}
COURTESY = {"reason": "courtesy", "percent": 5}


def read(document: dict[str, Any], *, currency: str = "USD") -> PaymentTerms:
    return read_payment_terms(document, file="terms", currency=currency, signed_on=SIGNED, lines=("lab", "visit"))


def test_all_four_ways_and_an_adjustment_are_read() -> None:
    terms = read({"currency": "USD", "adjustments": [COURTESY], "ways": [IN_FULL, BY_STAGE, MONTHLY, LENDER]})
    assert [way.key for way in terms.ways] == ["full", "stages", "monthly", "lender"]
    assert terms.ways[2] == Instalments(
        key="monthly", label="Monthly", number=12, first=date(2027, 1, 31), interval=Interval.MONTH, anchor_day=31,
        rate_percent=Decimal("9.9"), set_up_fee=Decimal("25.50"), deposit=Portion(amount=Decimal(500)),
    )  # fmt: skip
    assert isinstance(terms.ways[1], Milestones)
    assert terms.adjustments[0].spread is Spread.TOTAL


def test_an_increase_of_some_lines_is_read() -> None:
    changes = {"spread": "lines", "lines": ["lab"], "direction": "increase"}
    [adjustment] = read({"adjustments": [COURTESY | changes]}).adjustments
    assert (adjustment.lines, adjustment.direction) == (("lab",), Direction.INCREASE)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"percent": Decimal("0.8")}, r"adjustments\[1\]\.percent: got 0.8; expected .* \(write 80 for 80 %\)"),
        ({"percent": 101}, r"adjustments\[1\]\.percent: got 101"),
        ({"percent": "5"}, r"adjustments\[1\]\.percent: got '5'"),
        ({"percent": True}, r"adjustments\[1\]\.percent: got true"),
        ({"amount": 5}, "either percent or amount, not both"),
        ({"reason": ""}, r"adjustments\[1\]\.reason: got ''; expected the reason, which is printed"),
        ({"lines": ["lab"]}, 'expected no lines, or spread = "lines"'),
        ({"spread": "lines", "lines": ["lap"]}, "got 'lap'; expected 'lab' perhaps"),
        ({"procent": 5}, r"adjustments\[1\]\.procent: got an unknown field"),
    ],
)
def test_a_slip_in_an_adjustment_is_named(change: dict[str, Any], message: str) -> None:
    with refuses(message):
        read({"adjustments": [COURTESY | change]})


def test_an_adjustment_without_size_is_named() -> None:
    with refuses(r"adjustments\[1\]\.percent: got nothing; expected a percent or an amount"):
        read({"adjustments": [{"reason": "courtesy"}]})


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"rate_percent": Decimal("0.099")}, r"ways\[1\]\.rate_percent: got 0.099; .*\(write 9.9 for 9.9 %\)"),
        ({"first": SIGNED}, "first: got 2026-11-25; expected a day after 2026-11-25"),
        ({"first": date(2025, 1, 1)}, "expected a day after 2026-11-25"),
        ({"first": "2027-01-31"}, "expected a date without quotes"),
        ({"first": None}, "first: got nothing; expected the day of the first instalment"),
        ({"number": 0}, "number: got 0; expected a whole number from 1 to 120"),
        ({"set_up_fee": Decimal("5.005")}, "at most two decimals"),
        ({"set_up_fee": -1}, "set_up_fee: got -1; expected an amount of 0 or more"),
        ({"deposit_percent": 10}, "either deposit_percent or deposit_amount, not both"),
        ({"interval": "monthly"}, "interval: got 'monthly'; expected"),
        ({"anchor_day": 30}, "anchor_day: got 30; expected 31, the day of the first instalment"),
        ({"kind": "loan"}, "kind: got 'loan'; expected one of in_full, milestones, instalments, lender"),
    ],
)
def test_a_slip_in_a_way_to_pay_is_named(change: dict[str, Any], message: str) -> None:
    way = {name: value for name, value in (MONTHLY | change).items() if value is not None}
    with refuses(message):
        read({"ways": [way]})


def test_the_anchor_may_be_later_where_the_first_month_is_short() -> None:
    [way] = read({"ways": [MONTHLY | {"first": date(2027, 2, 28), "anchor_day": 30}]}).ways
    assert isinstance(way, Instalments)
    assert way.anchor_day == 30


@pytest.mark.parametrize(
    ("stages", "message"),
    [
        (STAGES[:2], "got shares that sum to 70; expected shares that sum to 100"),
        ([], "got 0; expected 1 to 12 milestones"),
        ([STAGES[0] | {"percent": 0}, STAGES[1]], "expected the share of this milestone"),
        ([{"what": "surgery"}, *STAGES[1:]], r"stages\[1\]\.percent: got nothing; expected the share of this milestone"),
        ([STAGES[0] | {"due": date(2027, 3, 1)}, STAGES[1] | {"due": date(2027, 2, 1)}, STAGES[2]], "the order of their days"),
        ([STAGES[0] | {"due": date(2026, 3, 1)}, *STAGES[1:]], "expected a day on or after 2026-11-25"),
    ],
)  # fmt: skip
def test_a_slip_in_milestones_is_named(stages: list[dict[str, Any]], message: str) -> None:
    with refuses(message):
        read({"ways": [BY_STAGE | {"stages": stages}]})


def test_milestones_that_say_no_share_are_equal_parts() -> None:
    [way] = read({"ways": [BY_STAGE | {"stages": [{"what": "surgery"}, {"what": "delivery"}]}]}).ways
    assert isinstance(way, Milestones)
    assert [stage.percent for stage in way.stages] == [None, None]


def test_terms_in_another_currency_are_a_problem() -> None:
    with refuses("currency: got 'EUR'; expected USD, the currency of the fee schedule"):
        read({"currency": "EUR"})


def test_an_amount_has_the_decimals_of_its_currency() -> None:
    with refuses(r"set_up_fee: got 25\.50; expected an amount of 0 or more with no decimals"):
        read({"ways": [MONTHLY]}, currency="JPY")


def test_more_than_four_ways_and_a_key_twice_are_problems_together() -> None:
    with pytest.raises(InputError) as raised:
        read({"ways": [IN_FULL, BY_STAGE, MONTHLY, LENDER, LENDER]})
    assert [say_parts(problem)[1] for problem in raised.value.problems] == ["5", "'lender' more than once"]


@pytest.mark.parametrize("first", [date(2031, 11, 26), date(9999, 12, 31)])
def test_a_first_instalment_more_than_five_years_away_is_a_slip(first: date) -> None:
    with refuses(r"ways\[1\]\.first: .* expected a day within five years of 2026-11-25"):
        read({"ways": [MONTHLY | {"first": first}]})


@pytest.mark.parametrize("kind", [["in_full"], {"in_full": 1}, "cash", 3])
def test_a_kind_of_way_that_is_none_is_a_problem_whatever_its_type(kind: object) -> None:
    with refuses(r"ways\[1\]\.kind: .* expected one of in_full, milestones"):
        read({"ways": [IN_FULL | {"kind": kind}]})
