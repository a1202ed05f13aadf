"""A case at the prices of another version."""

from dataclasses import replace
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.estimate.requote import compare_option_totals
from estimator.inputs.case.model import Arch
from estimator.inputs.fees.schedule import FeeKind, FeeSchedule, FeeTax
from tests.builders import estimate_all, load_demo_practice, make_case, make_jaw

PRACTICE = load_demo_practice()
FEES = PRACTICE.fees


def price(key: str, fee: str) -> FeeSchedule:
    return replace(FEES, lines={**FEES.lines, key: replace(FEES.get(key), fee=Decimal(fee))})


def test_nothing_changes_at_the_same_prices() -> None:
    assert not any(change.is_changed for change in compare_option_totals(make_case(make_jaw()), PRACTICE, FEES))


def test_each_option_is_told_before_and_after() -> None:
    """Four bar abutments, 10 dearer each."""
    changes = compare_option_totals(make_case(make_jaw()), PRACTICE, price("abutment_bar", "400.00"))
    assert [(c.option, c.difference, c.is_changed) for c in changes] == [
        ("conventional_denture", Decimal(0), False), ("individual_attachments", Decimal(0), False),
        ("connecting_bar", Decimal(40), True),
    ]  # fmt: skip


def test_a_later_fee_changes_the_upkeep_and_no_total() -> None:
    changes = compare_option_totals(make_case(make_jaw()), PRACTICE, price("reline", "500.00"))
    assert all(change.difference == 0 and change.upkeep_changes for change in changes)


def test_every_jaw_is_told_and_an_option_that_does_not_apply_is_not() -> None:
    case = make_case(make_jaw(), make_jaw(arch=Arch.MAXILLA, implants=1))
    changes = compare_option_totals(case, PRACTICE, FEES)
    assert [(c.arch, c.option) for c in changes] == [
        (jaw.jaw.arch, option.key) for jaw in estimate_all(*case.jaws).jaws for option in jaw.estimates
    ]


def test_a_new_version_is_taxed_as_the_old_one() -> None:
    tax = FeeTax(rates=((FeeKind.PART, Decimal("0.1")),))
    practice = replace(PRACTICE, fees=replace(FEES, tax=tax))
    assert not any(c.is_changed for c in compare_option_totals(make_case(make_jaw()), practice, FEES))


@settings(max_examples=20, deadline=None)
@given(st.sampled_from(sorted(FEES.lines)), st.integers(0, 9000))
def test_totals_are_those_of_an_estimate_at_the_new_prices(key: str, fee: int) -> None:
    new, jaw = price(key, f"{fee}.00"), make_jaw()
    after = {c.option: c.after for c in compare_option_totals(make_case(jaw), PRACTICE, new)}
    made = estimate_all(jaw, practice=replace(PRACTICE, fees=new), years=1).jaws[0].estimates
    assert after == {option.key: option.fees.total for option in made}
