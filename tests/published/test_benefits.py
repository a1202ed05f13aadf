"""Benefits against glossary examples, a quoted page and derived cases (benefits.csv names source and how sure)."""

import csv
from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from estimator.inputs.case.model import Arch
from estimator.inputs.plans.model import EVERYTHING, BenefitPlan, Member, Replacement, SecondRule
from estimator.quote.benefits.phasing import OneYear, compare_phases
from tests.benefit_builders import estimate_line, list_reasons, make_limit, make_line, make_plan

ROWS = list(csv.DictReader((Path(__file__).parent / "benefits.csv").read_text(encoding="utf-8").splitlines()))
Given = dict[str, str]


def split(text: str) -> Given:
    return dict(pair.split("=", 1) for pair in text.split(";"))


def plan_of(given: Given) -> BenefitPlan:
    names = {"deductible": "deductible", "annual": "annual_maximum", "lifetime": "lifetime_maximum"}
    limits: dict[str, Any] = {field: make_limit(given[name]) for name, field in names.items() if name in given}
    lost = Member(covered_since=date(2024, 1, 1), teeth_lost_on=date(2020, 1, 1))
    return make_plan(
        given["percent"],
        in_network=given.get("in_network") == "yes",
        allowed={"denture": Decimal(given["allowed"])} if "allowed" in given else {},
        missing_tooth=EVERYTHING if "missing_tooth" in given else None,
        member=lost if "missing_tooth" in given else Member(),
        **limits,
    )


def find_line(given: Given) -> Given:
    line = estimate_line(make_line(given["fee"]), plan_of(given))
    over = {reason.key: dict(reason.values)["amount"] for reason in line.reasons}.get("over_allowed", Decimal(0))
    found = {"plan": line.plan_pays, "patient": line.patient_pays, "write_off": line.write_off, "over_allowed": over}
    return {name: f"{value:.2f}" for name, value in found.items()}


def find_years(given: Given) -> Given:
    lines = [make_line(given["first"], date(2026, 12, 1)), make_line(given["second"], date(2027, 1, 20))]
    compared = compare_phases(lines, [plan_of(given)], currency="USD")
    one = {other.which: other.estimate for other in compared.in_one_year}
    return {
        "plan": str(compared.as_planned.plan_pays[0]),
        "one_year": str(one[OneYear.FIRST].plan_pays[0]),
    }


def find_second(given: Given) -> Given:
    first = make_plan(given["primary"], key="first")
    found = {}
    for rule in SecondRule:
        line = estimate_line(make_line(given["fee"]), first, make_plan(given["secondary"], as_second=rule))
        found[rule.value] = f"{line.shares[1].paid:.2f}"
    return found


def find_second_patient(given: Given) -> Given:
    second = make_plan(given["secondary"], as_second=SecondRule.NON_DUPLICATION)
    line = estimate_line(make_line(given["fee"]), make_plan(given["primary"], key="first"), second)
    return {"primary": str(line.shares[0].paid), "patient": f"{line.patient_pays:.2f}"}


def find_replacement(given: Given) -> Given:
    """The first day of a year of days on which the plan pays."""
    member = Member(dentures={Arch.MANDIBLE: date.fromisoformat(given["placed"])})
    rule = Replacement(months=int(given["months"]), scope=EVERYTHING)
    plan = make_plan("50", replacement=rule, member=member)
    days = (date(2026, 1, 1) + timedelta(days=n) for n in range(365))
    paid = (day for day in days if "replacement" not in list_reasons(estimate_line(make_line(on=day), plan)))
    return {"first_eligible": next(paid).isoformat()}


CASES: dict[str, Callable[[Given], Given]] = {
    "line": find_line,
    "years": find_years,
    "second": find_second,
    "second_patient": find_second_patient,
    "replacement": find_replacement,
}


@pytest.mark.parametrize("row", ROWS, ids=[row["id"] for row in ROWS])
def test_benefits_agree_with_the_source(row: dict[str, str]) -> None:
    found, expected = CASES[row["case"]](split(row["given"])), split(row["expected"])
    assert {name: found[name] for name in expected} == expected
