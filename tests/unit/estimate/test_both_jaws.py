"""Two jaws: apart, together, and what is charged once a case counted once."""

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from estimator.estimate.both_jaws import list_together
from estimator.estimate.snapshot import take_snapshot
from estimator.inputs.case.model import Arch
from estimator.inputs.fees.schedule import Unit
from tests.builders import estimate_all, make_jaw

UPPER = make_jaw(arch=Arch.MAXILLA, implants=6, implants_present=False)


def test_one_jaw_has_no_pairs() -> None:
    assert list_together(estimate_all(make_jaw())) == ()


def test_only_a_line_that_both_charge_is_taken_off() -> None:
    """A denture below charges the examination (140) and a film (130), a bar above the examination and a scan."""
    two = list_together(estimate_all(make_jaw(), UPPER))[2]
    assert [option.key for option in two.options] == ["conventional_denture", "connecting_bar"]
    assert [line.key for line in two.shared] == ["examination"]
    assert two.total == Decimal(2250) + Decimal(23230) - 140


@given(st.integers(1, 8), st.booleans(), st.booleans())
def test_each_line_a_case_is_paid_once(implants: int, lower_present: bool, upper_present: bool) -> None:
    lower = make_jaw(implants=implants, implants_present=lower_present)
    upper = make_jaw(arch=Arch.MAXILLA, implants=implants, implants_present=upper_present)
    for two in list_together(estimate_all(lower, upper, years=1)):
        paid = [line for option in two.options for line in option.fees.lines if line.charged_per is not Unit.CASE]
        once = {line.key: line.amount for o in two.options for line in o.fees.lines if line.charged_per is Unit.CASE}
        assert two.total == sum(line.amount for line in paid) + sum(once.values())
        assert two.expected - two.total == sum(option.upkeep.expected for option in two.options)


def test_the_order_of_the_jaws_changes_no_total() -> None:
    one = {frozenset(enumerate((a.options[0].key, a.options[1].key))): a.total
           for a in list_together(estimate_all(make_jaw(), UPPER))}  # fmt: skip
    other = {frozenset(enumerate((a.options[1].key, a.options[0].key))): a.total
             for a in list_together(estimate_all(UPPER, make_jaw()))}  # fmt: skip
    assert one == other


def test_json_holds_every_pair_with_its_shared_lines() -> None:
    shown = take_snapshot(estimate_all(make_jaw(), UPPER))["together"]
    assert len(shown) == 9
    assert shown[2] | {"total_over_years": ""} == {
        "first": "conventional_denture", "second": "connecting_bar", "apart": ["2250.00", "23230.00"],
        "shared_lines": ["examination"], "shared": "140.00", "total": "25340.00", "total_over_years": "",
    }  # fmt: skip
