"""The benefit estimate as a whole: every fee comes apart without a rest, and no plan pays more than it may."""

from datetime import date, timedelta
from decimal import Decimal
from itertools import product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.inputs.case.model import Arch
from estimator.inputs.fees.schedule import FeeKind
from estimator.inputs.plans.model import (
    EVERYTHING,
    Alternate,
    BenefitClass,
    BenefitPlan,
    Frequency,
    Limit,
    Member,
    Replacement,
    Scope,
    SecondRule,
    Subsidy,
)
from estimator.quote.benefits.claim import ClaimLine
from estimator.quote.benefits.estimate import BenefitEstimate, estimate_benefits
from tests.benefit_builders import DAY, estimate, make_limit, make_line, make_plan

KEYS = ("denture", "implant", "film", "visit")
KINDS = (FeeKind.LABORATORY, FeeKind.SURGERY)
PERCENTS = st.sampled_from([100, 80, 50, 33, 0])
CENTS = st.sampled_from(["1450.00", "333.33", "99.99", "2600.05", "0.00"]).map(Decimal) | st.integers(1, 400_000).map(
    lambda n: Decimal(n) / 100
)
DAYS = st.integers(0, 700).map(lambda n: DAY + timedelta(days=n))
SMALL = st.sampled_from(["50.00", "400.00", "1500.00", "0.01", "0.00"]).map(Decimal)
LIMITS = st.one_of(st.builds(Limit, amount=SMALL, used=st.sampled_from([Decimal(0), Decimal("40.00")])), st.none())


FEW_CENTS = st.dictionaries(st.sampled_from(KEYS), CENTS, max_size=1)
SCOPES = st.sampled_from([EVERYTHING, Scope(lines=("denture",)), Scope(classes=("surgery",))])
ALLOWANCES = st.none() | st.builds(Limit, amount=CENTS, scope=SCOPES)
ALTERNATES = st.just(()) | st.tuples(st.builds(Alternate, instead=st.just("x"), amount=CENTS, scope=SCOPES))
SUBSIDIES = st.just(()) | st.tuples(st.builds(Subsidy, finding=st.just("x"), amount=CENTS, scope=SCOPES))
FREQUENCIES = st.sampled_from([(), (Frequency(times=2, months=6, scope=EVERYTHING),)])
SECOND_RULES = st.sampled_from(SecondRule)
LINE_KEYS, LINE_KINDS = st.sampled_from(KEYS), st.sampled_from(KINDS)
ARCHES = st.sampled_from([None, Arch.MANDIBLE, Arch.MAXILLA])
COVERED = st.sampled_from([KINDS, KINDS[:1]])
"""Made once: a strategy that is made inside another is checked again in every example, which takes most of the time."""


@st.composite
def draw_line(draw: st.DrawFn) -> ClaimLine:
    begun = draw(DAYS)
    return ClaimLine(
        key=draw(LINE_KEYS),
        label="line",
        kind=draw(LINE_KINDS),
        fee=draw(CENTS),
        prepared_on=begun,
        delivered_on=begun + timedelta(days=draw(st.integers(0, 60))),
        quantity=draw(st.integers(1, 4)),
        arch=draw(ARCHES),
    )


@st.composite
def draw_plan(draw: st.DrawFn) -> BenefitPlan:
    classes = tuple(
        BenefitClass(key=kind.value, name="class", plan_pays_percent=Decimal(draw(PERCENTS)), kinds=(kind,))
        for kind in draw(COVERED)
    )
    return make_plan(
        classes=classes,
        in_network=draw(st.booleans()),
        allowed=draw(FEW_CENTS),
        year_begins_month=draw(st.integers(1, 12)),
        as_second=draw(SECOND_RULES),
        deductible=draw(LIMITS),
        annual_maximum=draw(LIMITS),
        lifetime_maximum=draw(LIMITS),
        yearly_allowance=draw(ALLOWANCES),
        alternates=draw(ALTERNATES),
        subsidies=draw(SUBSIDIES),
        frequencies=draw(FREQUENCIES),
        replacement=Replacement(months=60, scope=Scope(lines=("denture",))),
        member=Member(dentures={Arch.MANDIBLE: DAY - timedelta(days=1500)}),
    )  # fmt: skip


@st.composite
def draw_generous_plan(draw: st.DrawFn) -> BenefitPlan:
    """Pays for everything, so that maxima are reached and two plans meet."""
    return make_plan(
        draw(st.sampled_from(["100", "80"])),
        in_network=draw(st.booleans()),
        as_second=draw(SECOND_RULES),
        annual_maximum=draw(LIMITS),
    )


LINES = st.lists(draw_line(), min_size=1, max_size=5)
PLANS = st.lists(draw_generous_plan() | draw_plan(), min_size=1, max_size=2)


@given(LINES, PLANS)
def test_plans_patient_and_write_off_add_up_to_the_fee_of_every_line(
    lines: list[ClaimLine], plans: list[BenefitPlan]
) -> None:
    made = estimate(*lines, plans=tuple(plans))
    for line in made.lines:
        assert line.plan_pays == sum(share.paid for share in line.shares)
        assert line.plan_pays + line.write_off + line.patient_pays == line.line.fee
        assert min(line.write_off, line.patient_pays, *(share.paid for share in line.shares), Decimal(0)) >= 0


@settings(max_examples=40)
@given(LINES, PLANS)
def test_totals_are_the_sums_of_their_lines(lines: list[ClaimLine], plans: list[BenefitPlan]) -> None:
    made = estimate(*lines, plans=tuple(plans))
    assert made.fee == sum(made.plan_pays) + made.write_off + made.patient_pays
    assert made.plan_pays == tuple(sum(use.paid for use in years) for years in made.years)


@given(LINES, PLANS)
def test_a_plan_never_pays_more_than_its_maxima(lines: list[ClaimLine], plans: list[BenefitPlan]) -> None:
    made = estimate(*lines, plans=tuple(plans))
    for plan, paid, years in zip(plans, made.plan_pays, made.years, strict=True):
        if plan.lifetime_maximum:
            assert paid <= max(Decimal(0), plan.lifetime_maximum.amount - plan.lifetime_maximum.used)
        for use in years:
            assert plan.annual_maximum is None or use.paid <= plan.annual_maximum.amount
            assert plan.deductible is None or use.deductible <= plan.deductible.amount


@settings(max_examples=40)
@given(LINES, PLANS)
def test_a_plan_never_pays_more_than_the_allowed_amount(lines: list[ClaimLine], plans: list[BenefitPlan]) -> None:
    for line in estimate(*lines, plans=tuple(plans)).lines:
        assert all(share.paid <= share.basis <= share.allowed <= line.line.fee for share in line.shares)


@settings(max_examples=40)
@given(LINES, PLANS)
def test_every_line_says_why(lines: list[ClaimLine], plans: list[BenefitPlan]) -> None:
    made = estimate(*lines, plans=tuple(plans))
    assert all(share.reasons for line in made.lines for share in line.shares)


def name_lines(lines: list[ClaimLine]) -> list[ClaimLine]:
    """Each with a day of its own, so that lines can be told apart and only one order is right."""
    return [make_line(str(x.fee), DAY + timedelta(days=40 * n), key=f"line{n}") for n, x in enumerate(lines)]


def by_key(made: BenefitEstimate) -> dict[str, tuple[Decimal, ...]]:
    return {x.line.key: (x.plan_pays, x.patient_pays, x.write_off) for x in made.lines}


@given(LINES, PLANS)
def test_lines_of_different_days_come_out_the_same_in_any_order(
    lines: list[ClaimLine], plans: list[BenefitPlan]
) -> None:
    named = name_lines(lines)
    simple = [make_plan(in_network=p.in_network, deductible=p.deductible, annual_maximum=p.annual_maximum, as_second=p.as_second) for p in plans]  # fmt: skip
    assert by_key(estimate(*named, plans=tuple(simple))) == by_key(estimate(*reversed(named), plans=tuple(simple)))


@given(st.lists(CENTS, min_size=1, max_size=6), CENTS, CENTS, st.integers(0, 100))
def test_the_order_of_same_day_lines_changes_only_which_line_uses_the_deductible_and_the_maximum(
    fees: list[Decimal], deductible: Decimal, maximum: Decimal, percent: int
) -> None:
    """Totals may move by rounding: half a cent a line each way."""
    plan = make_plan(str(percent), deductible=Limit(amount=deductible), annual_maximum=Limit(amount=maximum))
    lines = [make_line(str(fee), key=f"line{n}") for n, fee in enumerate(fees)]
    one, other = estimate(*lines, plans=(plan,)), estimate(*reversed(lines), plans=(plan,))
    assert (one.fee, one.write_off) == (other.fee, other.write_off)
    assert one.years[0][0].deductible == other.years[0][0].deductible
    assert abs(one.plan_pays[0] - other.plan_pays[0]) <= Decimal("0.01") * len(fees)


def test_without_a_plan_the_patient_pays_the_fee() -> None:
    made = estimate(make_line("1450.00"), plans=())
    assert (made.patient_pays, made.plan_pays, made.write_off) == (Decimal("1450.00"), (), Decimal(0))


@pytest.mark.parametrize("term", ["annual_maximum", "lifetime_maximum", "yearly_allowance"])
def test_what_one_line_uses_of_a_maximum_is_gone_for_the_next(term: str) -> None:
    terms: dict[str, Any] = {term: make_limit("1500.00")}
    plan = make_plan(**terms)
    made = estimate(make_line(), make_line(key="next"), make_line(key="last"), plans=(plan,))
    assert [line.plan_pays for line in made.lines] == [1000, 500, 0]


def test_what_one_line_uses_of_the_deductible_is_gone_for_the_next() -> None:
    made = estimate(make_line("70"), make_line(), plans=(make_plan(deductible=make_limit("100")),))
    assert [line.shares[0].deductible for line in made.lines] == [70, 30]


def test_an_earlier_line_uses_a_maximum_up_first_wherever_it_stands() -> None:
    plan = make_plan(annual_maximum=make_limit("1500.00"))
    made = estimate(make_line(on=date(2026, 12, 2)), make_line(on=date(2026, 12, 1), key="earlier"), plans=(plan,))
    assert [line.plan_pays for line in made.lines] == [500, 1000]


def test_a_lifetime_maximum_lasts_beyond_the_benefit_year() -> None:
    plan = make_plan(lifetime_maximum=make_limit("1500.00"))
    made = estimate(make_line(on=date(2026, 12, 1)), make_line(on=date(2027, 12, 1)), plans=(plan,))
    assert made.plan_pays == (Decimal(1500),)


def test_used_amounts_count_in_the_benefit_year_they_were_told_for() -> None:
    maximum = make_limit("1500.00", used="1500.00")
    plan = make_plan(annual_maximum=maximum, member=Member(as_of=date(2026, 11, 20)))
    made = estimate(make_line(on=date(2026, 12, 1)), make_line(on=date(2027, 1, 4)), plans=(plan,))
    assert [line.plan_pays for line in made.lines] == [Decimal(0), Decimal("1000.00")]


def test_a_benefit_year_may_begin_in_july() -> None:
    plan = make_plan(year_begins_month=7, annual_maximum=make_limit("600.00"))
    days = (date(2026, 6, 30), date(2026, 7, 1), date(2027, 6, 30))
    made = estimate(*(make_line("500.00", day) for day in days), plans=(plan,))
    assert [(use.year, use.paid) for use in made.years[0]] == [(2025, Decimal("500.00")), (2026, Decimal("600.00"))]


@pytest.mark.parametrize(("one", "other"), list(product([True, False], repeat=2)))
def test_the_patient_never_owes_more_than_a_contract_allows(one: bool, other: bool) -> None:
    low = make_plan("0", in_network=one, allowed={"denture": Decimal(700)})
    high = make_plan("0", in_network=other, allowed={"denture": Decimal(900)})
    (line,) = estimate(make_line(), plans=(low, high)).lines
    assert line.patient_pays == (700 if one else 900 if other else 1000)


@pytest.mark.parametrize(("lines", "plans", "message"), [
    ([], [make_plan()] * 3, "at most 2"),
    ([], [make_plan(currency="EUR")], "must be in USD"),
    ([make_line("-1")], [make_plan()], "0 or more"),
], ids=["three plans", "another currency", "a fee below zero"])  # fmt: skip
def test_what_cannot_be_estimated_is_refused(lines: list[ClaimLine], plans: list[BenefitPlan], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        estimate_benefits(lines, plans, currency="USD")
