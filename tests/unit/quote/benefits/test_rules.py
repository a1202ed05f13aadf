"""Each rule of a plan on one line: what it pays, and the reason it gives."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from estimator.inputs.case.model import Arch
from estimator.inputs.fees.schedule import FeeKind
from estimator.inputs.plans.model import (
    EVERYTHING,
    Alternate,
    BenefitPlan,
    DateRule,
    Frequency,
    Member,
    PastService,
    Replacement,
    Scope,
    SecondRule,
    Subsidy,
)
from estimator.quote.benefits.adjudication import Draft
from estimator.quote.benefits.phasing import OneYear, compare_phases
from estimator.quote.benefits.rules import RULES
from tests.benefit_builders import (
    DAY,
    MAJOR,
    estimate,
    estimate_line,
    list_reasons,
    make_class,
    make_limit,
    make_line,
    make_plan,
)

SINCE = Member(covered_since=date(2026, 6, 1))
ONCE = Frequency(times=1, months=60, scope=EVERYTHING)


def alternate(amount: str, **scope: tuple[str, ...]) -> tuple[Alternate, ...]:
    return (Alternate(instead="full denture", amount=Decimal(amount), scope=Scope(**scope)),)


def subsidy(amount: str) -> tuple[Subsidy, ...]:
    return (Subsidy(finding="jaw without teeth", amount=Decimal(amount), scope=EVERYTHING),)


PAYS = [
    ("nothing where no class holds the line", {"classes": ()}, "0", "not_covered"),
    ("the percentage of the class", {"percent": "50"}, "500", "percentage"),
    ("the percentage of the allowed amount", {"percent": "50", "allowed": {"denture": Decimal(600)}}, "300", "allowed"),
    ("no more than on the fee where more is allowed", {"allowed": {"denture": Decimal(2000)}}, "1000", "allowed"),
    ("the percentage of the cheaper service", {"percent": "50", "alternates": alternate("700")}, "350", "alternate"),
    ("after the deductible", {"percent": "50", "deductible": make_limit("100")}, "450", "deductible"),
    ("without a deductible that is about another class", {"deductible": make_limit("100", classes=("basic",))}, "1000", "percentage"),
    ("what a deductible used up in part leaves", {"deductible": make_limit("100", "60")}, "960", "deductible"),
    ("no more than the annual maximum", {"annual_maximum": make_limit("400")}, "400", "annual_maximum"),
    ("no more than the annual maximum left", {"annual_maximum": make_limit("400", "150")}, "250", "annual_maximum"),
    ("no more than the lifetime maximum left", {"lifetime_maximum": make_limit("400", "150")}, "250", "lifetime_maximum"),
    ("nothing in the waiting period", {"waiting_months": 12, "member": SINCE}, "0", "waiting"),
    ("in full on the day the waiting period ends", {"waiting_months": 6, "member": SINCE}, "1000", "percentage"),
    ("nothing where it is not known whether the waiting is over", {"waiting_months": 6}, "0", "waiting_unknown"),
    ("nothing before cover began", {"member": Member(covered_since=date(2027, 1, 1))}, "0", "before_cover"),
    ("nothing for teeth lost before cover", {"missing_tooth": EVERYTHING, "member": Member(covered_since=DAY, teeth_lost_on=date(2020, 1, 1))}, "0", "missing_tooth"),
    ("for teeth lost in cover", {"missing_tooth": EVERYTHING, "member": Member(covered_since=date(2020, 1, 1), teeth_lost_on=date(2020, 1, 1))}, "1000", "percentage"),
    ("nothing where it is not known when teeth were lost", {"missing_tooth": EVERYTHING}, "0", "missing_tooth_unknown"),
    ("nothing more often than it may", {"frequencies": (ONCE,), "member": Member(past=(PastService(line="denture", on=date(2022, 1, 1)),))}, "0", "frequency"),
    ("again when the months are over", {"frequencies": (ONCE,), "member": Member(past=(PastService(line="denture", on=date(2021, 12, 1)),))}, "1000", "percentage"),
    ("nothing before the present denture has served", {"replacement": Replacement(months=84, scope=EVERYTHING), "member": Member(dentures={Arch.MANDIBLE: date(2020, 1, 1)})}, "0", "replacement"),
    ("a fixed amount whatever the percentage", {"percent": "10", "subsidies": subsidy("300"), "deductible": make_limit("100")}, "300", "subsidy"),
    ("no more of a fixed amount than the fee", {"subsidies": subsidy("3000")}, "1000", "subsidy"),
    ("a fixed amount where no class holds the line", {"classes": (), "subsidies": subsidy("300")}, "300", "subsidy"),
    ("everything up to the yearly allowance", {"percent": "10", "yearly_allowance": make_limit("600", "50")}, "550", "allowance"),
]  # fmt: skip


@pytest.mark.parametrize(("terms", "pays", "reason"), [p[1:] for p in PAYS], ids=[p[0] for p in PAYS])
def test_a_plan_pays(terms: dict[str, Any], pays: str, reason: str) -> None:
    line = estimate_line(make_line(), make_plan(**terms))
    assert (line.plan_pays, line.patient_pays) == (Decimal(pays), 1000 - Decimal(pays))
    assert reason in list_reasons(line)


def test_every_rule_is_applied_in_the_order_that_is_stated() -> None:
    assert [rule.__name__ for rule in RULES] == [
        "use_allowed_amount", "use_alternate", "exclude_not_covered", "exclude_before_cover", "exclude_waiting",
        "exclude_missing_tooth", "exclude_too_often", "exclude_too_soon", "take_deductible", "take_benefit",
        "cap_lifetime", "cap_year", "coordinate",
    ]  # fmt: skip


def test_every_reason_against_a_line_is_given_not_only_the_first() -> None:
    member = Member(covered_since=date(2026, 6, 1), teeth_lost_on=date(2020, 1, 1))
    reasons = list_reasons(
        estimate_line(make_line(), make_plan(waiting_months=12, missing_tooth=EVERYTHING, member=member))
    )
    assert {"waiting", "missing_tooth"} <= set(reasons)


def test_a_line_belongs_to_the_class_that_names_it_before_schedule_and_kind() -> None:
    plan = make_plan(classes=(make_class("10"), make_class("20", key="basic", kinds=()), make_class("30", key="named", kinds=(), lines=("denture",))))  # fmt: skip
    lines = (make_line(), make_line(key="other", benefit_class="basic"), make_line(key="third"))
    assert [line.plan_pays for line in estimate(*lines, plans=(plan,)).lines] == [300, 200, 100]


def test_an_allowed_amount_is_for_one_unit() -> None:
    line = estimate_line(make_line(quantity=3), make_plan(allowed={"denture": Decimal("250.00")}, in_network=True))
    assert (line.plan_pays, line.write_off) == (Decimal("750.00"), Decimal("250.00"))


def test_an_alternate_benefit_is_for_all_its_lines_together_and_shared_without_losing_a_cent() -> None:
    plan = make_plan(alternates=alternate("1000.00", lines=("base", "bar", "set_up")))
    lines = [make_line("700.00", key=key) for key in ("base", "bar", "set_up", "film")]
    assert [line.plan_pays for line in estimate(*lines, plans=(plan,)).lines] == [
        Decimal("333.34"), Decimal("333.33"), Decimal("333.33"), Decimal("700.00"),
    ]  # fmt: skip


def test_an_alternate_benefit_is_for_each_jaw() -> None:
    plan = make_plan(alternates=alternate("400.00"))
    made = estimate(make_line(arch=Arch.MANDIBLE), make_line(arch=Arch.MAXILLA), plans=(plan,))
    assert made.plan_pays == (Decimal("800.00"),)


def test_a_frequency_pays_for_the_part_of_the_quantity_that_is_left() -> None:
    rule = Frequency(times=3, months=60, scope=EVERYTHING)
    assert estimate_line(make_line(quantity=4), make_plan(frequencies=(rule,))).plan_pays == 750


def test_a_frequency_counts_the_lines_of_the_same_treatment() -> None:
    made = estimate(make_line(), make_line(key="again"), plans=(make_plan(frequencies=(ONCE,)),))
    assert [line.plan_pays for line in made.lines] == [1000, 0]


def test_the_replacement_interval_looks_at_the_denture_of_the_same_jaw() -> None:
    member = Member(dentures={Arch.MAXILLA: date(2024, 1, 1)})
    plan = make_plan(replacement=Replacement(months=60, scope=EVERYTHING), member=member)
    made = estimate(make_line(arch=Arch.MANDIBLE), make_line(arch=Arch.MAXILLA), plans=(plan,))
    assert [line.plan_pays for line in made.lines] == [1000, 0]


@pytest.mark.parametrize("placed", [("2015-01-01", "2024-01-01"), ("2024-01-01", "2015-01-01")], ids=["lower", "upper"])
def test_a_line_of_both_jaws_is_not_promised_before_the_younger_denture_has_served(placed: tuple[str, str]) -> None:
    upper, lower = (date.fromisoformat(day) for day in placed)
    member = Member(dentures={Arch.MAXILLA: upper, Arch.MANDIBLE: lower})
    line = estimate_line(make_line(), make_plan(replacement=Replacement(months=60, scope=EVERYTHING), member=member))
    assert line.plan_pays == 0
    (reason,) = (reason for reason in line.shares[0].reasons if reason.key == "replacement")
    assert dict(reason.values)["placed_on"] == date(2024, 1, 1)


@pytest.mark.parametrize(("rule", "year"), [(DateRule.PREPARATION, 2026), (DateRule.DELIVERY, 2027)], ids=str)
def test_the_date_rule_says_in_which_year_a_line_counts(rule: DateRule, year: int) -> None:
    line = make_line(on=date(2026, 12, 1), delivered_on=date(2027, 2, 1))
    assert estimate_line(line, make_plan(date_rule=rule)).shares[0].year == year


def test_lines_the_date_rule_is_not_about_count_on_the_day_they_are_done() -> None:
    line = make_line(on=date(2026, 12, 1), delivered_on=date(2027, 2, 1))
    assert estimate_line(line, make_plan(dated=Scope(classes=("other",)))).shares[0].year == 2026


def share(plan: BenefitPlan, other: BenefitPlan) -> Draft:
    return estimate_line(make_line(), plan, other).shares[1]


def test_a_second_plan_uses_up_only_what_it_pays() -> None:
    second = make_plan(as_second=SecondRule.NON_DUPLICATION, annual_maximum=make_limit("1000.00"))
    lines = (make_line(), make_line(key="other"))
    made = estimate(*lines, plans=(make_plan("60"), second))
    assert [line.shares[1].paid for line in made.lines] == [400, 0]


def test_maintenance_of_benefits_takes_the_second_deductible_after_the_first_payment() -> None:
    second = make_plan("80", as_second=SecondRule.MAINTENANCE_OF_BENEFITS, deductible=make_limit("100"))
    assert share(make_plan("50"), second).paid == 320


def test_the_allowable_amount_is_the_higher_of_two_contracts() -> None:
    low, high = (make_plan("50", in_network=True, allowed={"denture": Decimal(n)}) for n in (600, 900))
    assert share(low, high).paid == 450


def test_the_first_plan_sets_the_allowable_amount_where_only_one_has_a_contract() -> None:
    first = make_plan("50", in_network=True, allowed={"denture": Decimal(600)})
    assert share(first, make_plan()).paid == 300


@pytest.mark.parametrize(
    ("first", "second", "gain"), [("2000", "1500", "200"), ("600", "400", "-25"), ("1550", "0", "0")],
    ids=["a second maximum gains", "a second deductible loses", "one year only"],
)  # fmt: skip
def test_treatment_over_two_years_may_gain_or_lose(first: str, second: str, gain: str) -> None:
    plan = make_plan("50", deductible=make_limit("50"), annual_maximum=make_limit("1500"))
    lines = [make_line(first, date(2026, 12, 1)), make_line(second, date(2027, 1, 4))]
    compared = compare_phases(lines, [plan], currency="USD")
    assert {other.which: other.gain for other in compared.in_one_year}[OneYear.FIRST] == Decimal(gain)


def test_comparing_the_years_moves_no_date() -> None:
    lines = [make_line(on=date(2026, 12, 1)), make_line(on=date(2027, 1, 4))]
    compared = compare_phases(lines, [make_plan()], currency="USD")
    for other in compared.in_one_year:
        assert [line.line for line in other.estimate.lines] == lines
        assert [line.shares[0].counted_on for line in other.estimate.lines] == [line.prepared_on for line in lines]


def test_treatment_in_one_benefit_year_has_nothing_to_compare() -> None:
    assert not compare_phases([make_line()], [make_plan()], currency="USD").straddles


def test_a_class_of_the_plan_may_be_named_by_a_limit() -> None:
    plan = make_plan(annual_maximum=make_limit("100", classes=(MAJOR,)))
    assert estimate_line(make_line(), plan).plan_pays == 100


def test_of_two_frequencies_the_one_that_leaves_least_counts() -> None:
    twice, once = (Frequency(times=times, months=12, scope=EVERYTHING) for times in (2, 1))
    for rules in ((twice, once), (once, twice)):
        pays = estimate_line(make_line("300.00", quantity=3), make_plan(frequencies=rules)).plan_pays
        assert pays == 100, "one of three services is paid for (derived)"


def test_a_class_that_the_plan_pays_nothing_of_leaves_the_deductible_for_the_next_line() -> None:
    # The deductible is owed for covered services (uniform glossary: memory); a class of 0 % is covered by name only.
    nothing, half = (
        make_class("0", key="nothing", kinds=(FeeKind.VISIT,)),
        make_class("50", kinds=(FeeKind.LABORATORY,)),
    )
    plan = make_plan(classes=(nothing, half), deductible=make_limit("50"))
    made = estimate(make_line("100.00", key="visit", kind=FeeKind.VISIT), make_line("100.00"), plans=(plan,))
    assert [line.shares[0].deductible for line in made.lines] == [0, 50]
    assert [line.plan_pays for line in made.lines] == [0, 25]
