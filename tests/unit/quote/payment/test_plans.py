"""Ways to pay side by side: totals, disclosure, and what the office is told before it prints."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator import files
from estimator.inputs.payment.jurisdiction import Profile
from estimator.inputs.payment.model import Instalments, Interval, Lender, Milestone, Milestones, PayInFull, Portion, Way
from estimator.quote.payment.plans import PlannedWay, plan_ways
from tests.problem_builders import refuses

CENT = Decimal("0.01")
SIGNED = date(2026, 3, 10)
PROFILE = files.load_profile(files.DATA / "demo")
BARE = files.load_shipped_profiles()["united_states"]


def instalments(number: int = 12, **more: Any) -> Instalments:
    return Instalments(key="monthly", label="Monthly", number=number, first=date(2026, 4, 10), **more)


def milestones(*percents: int, **more: Any) -> Milestones:
    stages = tuple(Milestone(what=f"stage {n}", percent=Decimal(p)) for n, p in enumerate(percents, 1))
    return Milestones(key="milestones", label="By milestone", stages=stages, **more)


def percent(number: int) -> Portion:
    return Portion(percent=Decimal(number))


def plan(*ways: Way, price: str = "3000.00", profile: Profile = PROFILE) -> tuple[PlannedWay, ...]:
    return plan_ways(
        ways, Decimal(price), signed_on=SIGNED, profile=profile, creditor="Harbor Row Dental", quantum=CENT
    )


def list_keys(planned: PlannedWay) -> list[str]:
    return [notice.key for notice in planned.notices]


@given(
    st.decimals(300, 20000, places=2), st.integers(1, 48), st.sampled_from(Interval), st.integers(0, 60),
    st.sampled_from([Decimal(0), Decimal("9.9"), Decimal(25)]), st.decimals(0, 50, places=2),
)  # fmt: skip
def test_all_that_is_paid_is_price_and_charge(
    price: Decimal, number: int, interval: Interval, deposit: int, rate: Decimal, fee: Decimal
) -> None:
    portion = Portion(percent=Decimal(deposit)) if deposit else None
    way = instalments(number, interval=interval, deposit=portion, rate_percent=rate, set_up_fee=fee)
    [one] = plan(way, price=f"{price}")
    assert one.at_signing + sum(p.amount for p in one.payments) == one.total == price + one.charge
    assert one.apr is not None
    assert (one.apr > 0) is (one.charge > 0)


def test_a_set_up_fee_lowers_the_amount_financed_and_raises_the_rate() -> None:
    """D-V4 of apr.csv."""
    [one] = plan(instalments(rate_percent=Decimal("9.9"), set_up_fee=Decimal(75)))
    assert one.box is not None
    assert (one.box.amount_financed, one.box.apr) == (Decimal("2925.00"), Decimal("14.7122"))
    assert one.box.finance_charge == one.box.total_of_payments - one.box.amount_financed


def test_the_box_groups_equal_payments_and_holds_what_was_paid_down() -> None:
    [one] = plan(instalments(rate_percent=Decimal("9.9"), deposit=Portion(amount=Decimal(500))), price="3500.00")
    assert one.box is not None
    assert [(s.number, s.amount) for s in one.box.schedule] == [(11, Decimal("263.61")), (1, Decimal("263.59"))]
    assert (one.box.schedule[0].first, one.box.schedule[1].last) == (date(2026, 4, 10), date(2027, 3, 10))
    assert one.box.total_sale_price == one.box.down_payment + one.box.total_of_payments
    assert one.box.late_payment and one.box.paying_early


@pytest.mark.parametrize(
    ("way", "disclosed"),
    [
        (instalments(4), False),
        (instalments(5), True),
        (instalments(2, rate_percent=Decimal(5)), True),
        (instalments(2, set_up_fee=Decimal(20)), True),
        (milestones(40, 30, 30), False),
        (milestones(20, 20, 20, 20, 20), True),
        (PayInFull(key="full", label="In full"), False),
        (Lender(key="lender", label="A lender"), False),
    ],
    ids=["four", "five", "interest", "fee", "three stages", "five stages", "in full", "lender"],
)
def test_terms_are_disclosed_over_four_payments_or_with_a_charge(way: Way, disclosed: bool) -> None:
    assert (plan(way)[0].box is not None) is disclosed


def test_a_practice_can_always_disclose() -> None:
    always = replace(PROFILE, disclosure=replace(PROFILE.disclosure, always=True))
    assert [one.box is not None for one in plan(milestones(50, 50), PayInFull(key="f", label="F"), profile=always)] == [
        True, False,
    ]  # fmt: skip


def test_a_discount_for_paying_in_full_beside_instalments_is_warned_of_with_the_rate_it_would_make() -> None:
    """D-V8 of apr.csv."""
    full, monthly = plan(PayInFull(key="full", label="In full", discount=percent(5)), instalments(5), price="1000.00")
    [notice] = [n for n in monthly.notices if n.key == "discount_beside_instalments"]
    assert dict(notice.values) == {"discount": "50.00", "apr": "20.81"}
    assert full.total == Decimal("950.00")
    assert "discount_beside_instalments" not in list_keys(full)


def test_a_discount_beside_milestones_is_warned_of_too() -> None:
    found = plan(PayInFull(key="full", label="In full", discount=percent(5)), milestones(50, 50))
    assert "discount_beside_plan" in list_keys(found[1])


@pytest.mark.parametrize(("deposit", "warned"), [(40, False), (41, True)])
def test_a_deposit_over_the_cap_is_warned_of(deposit: int, warned: bool) -> None:
    assert ("deposit_over_cap" in list_keys(plan(instalments(deposit=percent(deposit)))[0])) is warned


def test_paying_everything_in_advance_is_over_any_cap() -> None:
    assert list_keys(plan(PayInFull(key="full", label="In full"))[0]) == ["deposit_over_cap"]


def test_texts_that_the_practice_has_not_written_are_named() -> None:
    assert list_keys(plan(instalments(5), profile=BARE)[0]) == [
        "treatment_stops_missing", "implant_fails_missing", "late_payment_missing", "paying_early_missing",
    ]  # fmt: skip
    assert list_keys(plan(milestones(50, 50), profile=BARE)[0]) == ["treatment_stops_missing", "implant_fails_missing"]


def test_a_lender_is_one_neutral_line_without_figures_of_ours() -> None:
    [one] = plan(Lender(key="lender", label="A lender of your choice"))
    assert (one.total, one.payments, one.apr, one.box, one.notices) == (Decimal("3000.00"), (), None, None, ())


@pytest.mark.parametrize(
    ("way", "place"),
    [
        (instalments(deposit=Portion(amount=Decimal(3001))), r"monthly\.deposit_amount: got 3001.00"),
        (instalments(deposit=percent(100)), r"monthly\.deposit: got 3000.00; expected less than the price"),
        (instalments(set_up_fee=Decimal(3000)), r"monthly\.set_up_fee: got 3000; expected less than 3000.00"),
        (PayInFull(key="full", label="F", discount=Portion(amount=Decimal(4000))), r"full\.discount_amount"),
    ],
)
def test_a_way_that_does_not_go_with_the_price_is_a_problem(way: Way, place: str) -> None:
    with refuses(place):
        plan(way)


def test_more_than_four_ways_are_refused() -> None:
    with pytest.raises(ValueError, match="'ways' must be 4 or fewer"):
        plan(*(Lender(key=f"l{n}", label="L") for n in range(5)))


def test_ways_say_what_is_due_at_once_at_most_and_last() -> None:
    [one] = plan(instalments(3, deposit=percent(10), set_up_fee=Decimal(25)))
    assert (one.at_signing, one.largest_payment, one.last_due) == (
        Decimal("325.00"),
        Decimal("900.00"),
        date(2026, 6, 10),
    )


def test_paying_in_full_at_the_end_is_no_advance_and_no_plan() -> None:
    [one] = plan(PayInFull(key="full", label="In full", when="at delivery", in_advance=False, discount=percent(5)))
    assert (one.at_signing, one.total) == (Decimal(0), Decimal("2850.00"))
    assert not one.notices
    assert one.box is None
    assert [(p.what, p.amount) for p in one.payments] == [("at delivery", Decimal("2850.00"))]


def test_a_deposit_of_the_whole_price_leaves_no_milestone_to_pay() -> None:
    stages = (Milestone(what="surgery", percent=Decimal(60)), Milestone(what="delivery", percent=Decimal(40)))
    [planned] = plan_ways(
        [Milestones(key="stages", label="By milestone", stages=stages, deposit=Portion(percent=Decimal(100)))],
        Decimal("900.00"), signed_on=SIGNED, profile=PROFILE, creditor="", quantum=CENT,
    )  # fmt: skip
    assert planned.deposit == 900
    assert not planned.payments


def test_instalments_of_nothing_are_a_problem_that_says_so() -> None:
    way = Instalments(key="monthly", label="Monthly", number=12, first=date(2026, 12, 25))
    with refuses(r"monthly: got 0\.00; expected no instalments, as nothing is left to pay"):
        plan_ways([way], Decimal(0), signed_on=SIGNED, profile=PROFILE, creditor="", quantum=CENT)


def test_a_known_day_is_not_lost_beside_a_milestone_of_the_same_amount_without_one() -> None:
    stages = (
        Milestone(what="surgery", percent=Decimal(50)),
        Milestone(what="delivery", percent=Decimal(50), due=date(2026, 9, 1)),
    )
    profile = replace(PROFILE, disclosure=replace(PROFILE.disclosure, always=True))
    [planned] = plan_ways(
        [Milestones(key="stages", label="By milestone", stages=stages)], Decimal("900.00"),
        signed_on=SIGNED, profile=profile, creditor="", quantum=CENT,
    )  # fmt: skip
    assert planned.box is not None
    assert [(one.number, one.first) for one in planned.box.schedule] == [(1, None), (1, date(2026, 9, 1))]
