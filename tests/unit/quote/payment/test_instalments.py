"""Instalments and milestones: dates, amounts, balances."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from dateutil.relativedelta import relativedelta
from dateutil.rrule import MONTHLY, rrule
from hypothesis import example, given
from hypothesis import strategies as st

from estimator.inputs.payment.model import Instalments, Interval, Milestone
from estimator.quote.payment.apr import UnitPeriod, UnitPeriods, find_unit_rate, measure_span
from estimator.quote.payment.instalments import Payment, list_due_dates, measure_first, plan_instalments, plan_stages
from tests.problem_builders import refuses

CENT = Decimal("0.01")
SIGNED = date(2026, 11, 25)


def make(number: int = 12, *, first: date = date(2026, 12, 25), **more: Any) -> Instalments:
    return Instalments(key="monthly", label="Monthly", number=number, first=first, **more)


def plan(way: Instalments, principal: str) -> tuple[Payment, ...]:
    return plan_instalments(way, Decimal(principal), signed_on=SIGNED, quantum=CENT)


def test_without_interest_the_last_instalment_takes_what_is_left() -> None:
    assert [p.amount for p in plan(make(3), "1000.00")] == [Decimal("333.33"), Decimal("333.33"), Decimal("333.34")]


def test_interest_is_worked_out_on_what_is_still_owed() -> None:
    payments = plan(make(2, rate_percent=Decimal(12)), "100.00")
    assert [(p.interest, p.amount, p.balance) for p in payments] == [
        (Decimal("1.00"), Decimal("50.75"), Decimal("50.25")),
        (Decimal("0.50"), Decimal("50.75"), Decimal("0.00")),
    ]


def test_a_longer_first_month_bears_simple_interest_for_its_odd_days() -> None:
    payments = plan(make(2, first=date(2027, 1, 10), rate_percent=Decimal(12)), "1000.00")
    assert payments[0].interest == Decimal("15.05"), "1000 x (1 + 0.01 x 15/30) x 1.01 - 1000 = 15.05"


def most_rounding(way: Instalments) -> Decimal:
    """How far the last instalment can be from the others.

    Each payment leaves half a cent at most from rounding its interest and half a cent at most from rounding the level
    instalment. What is left at payment k bears interest until the last one: (1 + i) ** (number - k) cents.
    """
    unit, _ = measure_first(way, SIGNED)
    growth = 1 + way.rate_percent / 100 / unit.per_year
    return sum((CENT * growth**left for left in range(way.number)), Decimal(0))


@given(
    st.decimals(200, 20000, places=2), st.integers(1, 60), st.sampled_from(Interval), st.integers(1, 60),
    st.sampled_from([Decimal(0), Decimal(1), Decimal("9.9"), Decimal(25)]),
)  # fmt: skip
@example(Decimal(200), 39, Interval.THREE_MONTHS, 21, Decimal(25))
def test_instalments_sum_to_amount_and_interest_and_the_last_clears(
    principal: Decimal, number: int, interval: Interval, days: int, rate: Decimal
) -> None:
    way = make(number, first=SIGNED + timedelta(days=days), interval=interval, rate_percent=rate)
    payments = plan(way, f"{principal}")
    assert sum(p.amount for p in payments) == principal + sum(p.interest for p in payments)
    assert payments[-1].balance == 0
    assert all(p.amount == payments[0].amount for p in payments[:-1])
    assert abs(payments[-1].amount - payments[0].amount) <= most_rounding(way)
    assert all(p.amount > 0 and p.amount == p.interest + p.principal for p in payments)


@given(st.dates(date(2026, 12, 1), date(2030, 12, 31)), st.integers(1, 40), st.sampled_from([1, 2, 3]))
def test_monthly_dates_are_those_of_dateutil(first: date, number: int, step: int) -> None:
    interval = {1: Interval.MONTH, 2: Interval.TWO_MONTHS, 3: Interval.THREE_MONTHS}[step]
    found = list_due_dates(make(number, first=first, interval=interval))
    assert found == tuple(first + relativedelta(months=step * n) for n in range(number))


def test_dates_at_the_end_of_the_month_are_those_of_a_recurrence_rule() -> None:
    rule = rrule(MONTHLY, dtstart=date(2027, 1, 31), count=24, bymonthday=-1)
    assert list_due_dates(make(24, first=date(2027, 1, 31))) == tuple(day.date() for day in rule)


@given(st.dates(date(2026, 12, 1), date(2030, 12, 31)), st.integers(0, 400))
def test_months_are_counted_back_from_the_payment_and_odd_days_are_left(payment: date, ago: int) -> None:
    advance = payment - timedelta(days=ago)
    span = measure_span(advance, payment, UnitPeriod(months=1))
    full = max(n for n in range(15) if payment - relativedelta(months=n) >= advance)
    odd = (payment - relativedelta(months=full) - advance).days
    assert span.whole * 30 + span.odd_days == 30 * full + odd


def test_for_the_last_day_of_each_month_months_are_counted_to_the_last_day() -> None:
    assert measure_span(date(2027, 1, 31), date(2027, 2, 28), UnitPeriod(months=1), anchor=31).whole == 1
    assert measure_span(date(2027, 1, 31), date(2027, 4, 30), UnitPeriod(months=1), anchor=31) == UnitPeriods(
        whole=3, odd_days=0, of_days=30
    )


def test_two_months_count_sixty_days_of_which_a_full_month_is_thirty() -> None:
    assert measure_span(date(2027, 1, 10), date(2027, 4, 15), UnitPeriod(months=2)) == UnitPeriods(
        whole=1, odd_days=35, of_days=60
    )


def test_an_instalment_on_the_day_of_signing_is_a_deposit() -> None:
    with pytest.raises(ValueError, match="'first' must be after 2026-11-25"):
        plan(make(first=SIGNED), "100.00")


def test_too_many_instalments_for_an_amount_are_a_problem() -> None:
    with refuses(r"monthly\.number: got 60; expected fewer instalments"):
        plan(make(60), "0.40")


def test_payments_that_do_not_cover_the_amount_have_no_rate() -> None:
    with pytest.raises(ValueError, match="'payments' must sum to 100 or more"):
        find_unit_rate(Decimal(100), [Decimal(99)], UnitPeriods(whole=1, odd_days=0, of_days=30))


def test_a_payment_before_the_advance_is_refused() -> None:
    with pytest.raises(ValueError, match="'payment' must not be before the advance"):
        measure_span(SIGNED, SIGNED - timedelta(days=1), UnitPeriod(days=7))


@given(st.decimals(0, 9999, places=2), st.lists(st.integers(1, 50), min_size=1, max_size=6))
def test_milestones_keep_every_cent_and_end_at_nothing_owed(amount: Decimal, shares: list[int]) -> None:
    stages = tuple(Milestone(what=f"s{n}", percent=Decimal(share)) for n, share in enumerate(shares))
    payments = plan_stages(stages, amount, quantum=CENT)
    assert sum(p.amount for p in payments) == amount
    assert payments[-1].balance == 0
    assert [p.what for p in payments] == [stage.what for stage in stages]


def test_milestones_without_a_percent_are_equal_parts_to_the_cent() -> None:
    stages = tuple(Milestone(what=name) for name in ("start", "trial", "end"))
    payments = plan_stages(stages, Decimal("8590.00"), quantum=CENT)
    assert [f"{p.amount}" for p in payments] == ["2863.34", "2863.33", "2863.33"]


@pytest.mark.parametrize("days", [14, 28, 255, 364])
def test_a_single_payment_has_as_many_terms_a_year_as_go_into_365_days(days: int) -> None:
    # 12 CFR 1026 Appendix J (b)(5)(vii): 365 divided by the days of the term, weeks or not (quoted).
    unit, span = measure_first(make(1, first=SIGNED + timedelta(days=days)), SIGNED)
    assert (unit.per_year, span.whole, span.odd_days) == (Decimal(365) / days, 1, 0)


def test_a_single_payment_after_a_leap_year_is_one_year_ahead() -> None:
    # 12 CFR 1026 Appendix J (b)(4): the unit-period is the term, at most a year; years are counted by the date (memory).
    unit, span = measure_first(make(1, first=date(2028, 11, 25)), date(2027, 11, 25))
    assert (unit.per_year, span.whole, span.odd_days) == (Decimal(1), 1, 0)


@pytest.mark.parametrize(("months", "per_year"), [(1, 12), (6, 2), (9, Decimal(12) / 9)])
def test_a_single_payment_after_whole_months_has_its_term_counted_in_months(
    months: int, per_year: Decimal | int
) -> None:
    # 12 CFR 1026 Appendix J (b)(5)(vi): 12 divided by the months of the term (quoted).
    unit, span = measure_first(make(1, first=SIGNED + relativedelta(months=months)), SIGNED)
    assert (unit.per_year, span.whole, span.odd_days) == (Decimal(per_year), 1, 0)


@pytest.mark.parametrize("spans", [
    {}, {"months": 1, "days": 7}, {"months": 1, "half_month": True}, {"months": 13}, {"days": 366},
    {"months": -1, "days": 7}, {"months": 1, "days": -7},
], ids=str)  # fmt: skip
def test_no_rate_is_told_for_an_interval_that_is_none_or_two_or_more_than_a_year(spans: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match="a unit-period must be months, days or a half month, at most a year"):
        UnitPeriod(**spans)


@pytest.mark.parametrize(("amount", "payments"), [(0, [50, 50]), (-100, [50, 50]), (100, [150, -20])])
def test_no_rate_is_told_for_a_credit_of_nothing_or_for_a_payment_to_the_patient(
    amount: int, payments: list[int]
) -> None:
    with pytest.raises(ValueError, match="'amount_financed' must be above 0 and no payment below it"):
        find_unit_rate(Decimal(amount), [Decimal(p) for p in payments], UnitPeriods(whole=1, odd_days=0, of_days=30))


def test_instalments_of_nothing_with_everything_due_at_the_last_are_a_problem() -> None:
    # 0.20 in sixty parts is a third of a cent: each would round to 0.00 and the last would be 0.20.
    with refuses(r"monthly\.number: got 60; expected fewer instalments"):
        plan(make(60), "0.20")
