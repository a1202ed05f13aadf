"""Totals that can be defended: the rule of each quantity, where a line comes from, tax, and what must not change them."""

import random
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.estimate.cost.charges import CostLine, Fees, add_fees, join_jaws, price_option, trace_line
from estimator.estimate.result import CaseEstimate
from estimator.estimate.snapshot import take_snapshot
from estimator.inputs.case.model import Arch
from estimator.inputs.fees.schedule import FeeKind, FeeSchedule, FeeTax
from estimator.inputs.options.model import Charge
from estimator.inputs.practice_bundle import Practice
from tests.builders import estimate_all, estimate_jaw, find_option, load_demo_practice, make_jaw

PRACTICE = load_demo_practice()
FEES = PRACTICE.fees
CENT = Decimal("0.01")
TAX = FeeTax(rates=((FeeKind.LABORATORY, Decimal("0.0825")), (FeeKind.PART, Decimal("0.1"))), reason="treatment")
jaws = st.builds(
    make_jaw, implants=st.integers(2, 8), implants_present=st.booleans(), extractions=st.integers(0, 9),
    arch=st.sampled_from(list(Arch)),
)  # fmt: skip
options = st.sampled_from([option.key for option in PRACTICE.options])


def find_line(fees: Fees, key: str) -> CostLine:
    return next(line for line in fees.lines if line.key == key)


def use_tax(tax: FeeTax) -> Practice:
    return replace(PRACTICE, fees=replace(FEES, tax=tax))


@pytest.mark.parametrize(("key", "rule"), [
    ("abutment_bar", "6 implants"), ("attachment_on_bar", "4 attachments"), ("bar_segment", "5 bar segments"),
    ("examination", "1 case"), ("bar_base", "1 jaw"), ("review", "2 visits"),
])  # fmt: skip
def test_a_quantity_says_how_it_comes_about(key: str, rule: str) -> None:
    fees = price_option(make_jaw(implants=6), find_option("connecting_bar"), FEES)
    assert find_line(fees, key).rule == rule


def test_teeth_to_be_removed_are_counted_as_teeth() -> None:
    fees = price_option(make_jaw(extractions=3), find_option("conventional_denture"), FEES)
    assert find_line(fees, "extraction").rule == "3 teeth"


def test_a_fee_charged_twice_for_each_says_so() -> None:
    bar = find_option("connecting_bar")
    twice = replace(bar, charges=(*bar.charges, Charge(fee="abutment_bar")))
    line = find_line(price_option(make_jaw(), twice, FEES), "abutment_bar")
    assert (line.rule, line.quantity) == ("2 × 4 implants", 8)


@settings(max_examples=30, deadline=None)
@given(jaws, options)
def test_the_rule_multiplies_out_to_the_quantity(jaw: object, key: str) -> None:
    for line in price_option(jaw, find_option(key), FEES).lines:  # type: ignore[arg-type]
        product = 1
        for word in line.rule.split():
            product *= int(word) if word.isdigit() else 1
        assert product == line.quantity


def test_a_line_traces_to_its_row_file_and_version() -> None:
    line = find_line(price_option(make_jaw(), find_option("connecting_bar"), FEES), "abutment_bar")
    row = list(FEES.lines).index("abutment_bar") + 2
    assert trace_line(line, FEES) == f"4 implants; row {row} of demo_fees.csv, prices of 2026-11-01"


def test_json_traces_every_line() -> None:
    shown = take_snapshot(estimate_all(make_jaw()))
    lines = [line for option in shown["jaws"][0]["options"] for line in option["fees"]["lines"]]
    assert all(
        line["trace"].startswith(f"{line['quantity_rule']}; row {line['row']} of demo_fees.csv") for line in lines
    )
    assert (shown["fee_schedule"], shown["effective_from"]) == ("demo_fees.csv", None)


def test_tax_is_added_by_kind_and_the_total_is_what_is_to_be_paid() -> None:
    """Bar on four present implants: the laboratory's and the parts' sums times their rates, each rounded once."""
    plain, taxed = (
        price_option(make_jaw(), find_option("connecting_bar"), replace(FEES, tax=t)) for t in (FeeTax(), TAX)
    )
    kinds = dict(plain.by_kind)
    expected = (kinds[FeeKind.LABORATORY] * Decimal("0.0825")).quantize(CENT) + kinds[FeeKind.PART] / 10
    assert taxed.tax_total == expected > 0
    assert (taxed.total, taxed.before_tax) == (plain.total + expected, plain.total)
    assert (taxed.lines, taxed.by_kind, taxed.by_provider) == (plain.lines, plain.by_kind, plain.by_provider)


def test_what_comes_later_is_taxed_too() -> None:
    tax = FeeTax(rates=tuple((kind, Decimal("0.1")) for kind in FeeKind))
    plain, taxed = (estimate_jaw(make_jaw(), practice=use_tax(t))["connecting_bar"] for t in (FeeTax(), tax))
    assert float(taxed.fees.total) == pytest.approx(1.1 * float(plain.fees.total))
    assert float(taxed.upkeep.expected) == pytest.approx(1.1 * float(plain.upkeep.expected), rel=1e-4)


def strip(estimate: CaseEstimate) -> dict[str, object]:
    return {**take_snapshot(estimate), "invented_prices": None}


def test_no_tax_changes_nothing_at_all() -> None:
    zero = FeeTax(rates=tuple((kind, Decimal(0)) for kind in FeeKind))
    assert strip(estimate_all(make_jaw("12"), practice=use_tax(zero))) == strip(estimate_all(make_jaw("12")))


@settings(max_examples=30, deadline=None)
@given(jaws, options, st.randoms(use_true_random=False))
def test_the_order_of_lines_changes_no_total(jaw: object, key: str, chance: random.Random) -> None:
    fees = price_option(jaw, find_option(key), replace(FEES, tax=TAX))  # type: ignore[arg-type]
    shuffled = list(fees.lines)
    chance.shuffle(shuffled)
    again = add_fees(tuple(shuffled), CENT, TAX)
    assert (again.total, again.by_kind, again.tax_total, again.per_case) == (
        fees.total, fees.by_kind, fees.tax_total, fees.per_case,
    )  # fmt: skip
    assert dict(again.by_provider) == dict(fees.by_provider)


@settings(max_examples=40, deadline=None)
@given(jaws, options, st.data())
def test_a_line_split_in_two_changes_no_total(jaw: object, key: str, data: st.DataObject) -> None:
    fees = price_option(jaw, find_option(key), replace(FEES, tax=TAX))  # type: ignore[arg-type]
    many = [line for line in fees.lines if line.quantity > 1]
    line = data.draw(st.sampled_from(many or list(fees.lines)))
    part = data.draw(st.integers(0, line.quantity))
    halves = tuple(replace(line, quantity=n, amount=line.unit_fee * n) for n in (part, line.quantity - part))
    again = add_fees((*(x for x in fees.lines if x is not line), *halves), CENT, TAX)
    assert (again.total, again.by_kind, dict(again.by_provider), again.tax_total, again.per_case) == (
        fees.total, fees.by_kind, dict(fees.by_provider), fees.tax_total, fees.per_case,
    )  # fmt: skip


@pytest.mark.parametrize("currency", ["JPY", "KWD"])
def test_another_currency_changes_only_how_amounts_are_written(currency: str) -> None:
    """The demo's amounts are whole, so that yen hold them too."""
    other = estimate_jaw(make_jaw("12"), practice=replace(PRACTICE, fees=replace(FEES, currency=currency)))
    for key, option in estimate_jaw(make_jaw("12")).items():
        assert (other[key].clearance, other[key].visits) == (option.clearance, option.visits)
        assert [(x.key, x.quantity, x.rule) for x in other[key].fees.lines] == [
            (x.key, x.quantity, x.rule) for x in option.fees.lines
        ]
        assert other[key].fees.total == option.fees.total
        assert other[key].fees.total.as_tuple().exponent == {"JPY": 0, "KWD": -3}[currency]


def test_both_jaws_pay_what_is_charged_once_a_case_once() -> None:
    lower = price_option(make_jaw(), find_option("connecting_bar"), FEES)
    upper = price_option(make_jaw(arch=Arch.MAXILLA, implants=6), find_option("conventional_denture"), FEES)
    together = join_jaws((lower, upper), FEES)
    assert together.total == lower.total + upper.total - min(lower.per_case, upper.per_case)


def test_a_line_charged_once_a_case_in_one_jaw_only_is_paid_for() -> None:
    """A scan that only one jaw needs is not what both share."""
    schedule: FeeSchedule = FEES
    planned = price_option(make_jaw(implants_present=False), find_option("connecting_bar"), schedule)
    denture = price_option(make_jaw(arch=Arch.MAXILLA), find_option("conventional_denture"), schedule)
    once = {line.key: line.amount for fees in (planned, denture) for line in fees.lines if line.charged_per == "case"}
    assert join_jaws((planned, denture), schedule).per_case == sum(once.values())
