"""A benefit plan and a plan's answer: what is read, and every problem at once with a hint."""

from copy import deepcopy
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from estimator import files
from estimator.base.problems import InputError
from estimator.files.reading import load_toml
from estimator.inputs.case.model import Arch
from estimator.inputs.plans.model import BenefitPlan, DateRule, SecondRule
from estimator.inputs.plans.predetermination import Decision, PlanAnswer, read_plan_answer
from estimator.inputs.plans.reader import read_plan
from estimator.inputs.plans.writer import make_plan_document
from tests.builders import TODAY, load_demo_practice
from tests.problem_builders import say_problems

DEMO = files.find_plans(files.DATA / "demo")
FEES = load_demo_practice().fees
GOOD: dict[str, Any] = {
    "key": "plan_x",
    "name": "Plan X",
    "currency": "USD",
    "in_network": True,
    "classes": [
        {"key": "preventive", "name": "Preventive", "plan_pays_percent": 100, "lines": ["examination"]},
        {"key": "major", "name": "Major", "plan_pays_percent": 50, "kinds": ["laboratory"], "waiting_months": 6},
    ],
    "deductible": {"amount": 50},
    "annual_maximum": {"amount": Decimal("1500.00")},
    "member": {"covered_since": date(2024, 3, 1), "as_of": date(2026, 11, 20), "annual_used": 240},
}


def change(place: str, value: Any) -> dict[str, Any]:
    """The good plan with one field changed; the place is dotted, and numbers count list items from 0."""
    document = deepcopy(GOOD)
    *path, last = place.split(".")
    table: Any = document
    for step in path:
        table = table[int(step)] if step.isdigit() else table.setdefault(step, {})
    table[last] = value
    return document


def read(document: dict[str, Any], **more: Any) -> BenefitPlan:
    return read_plan(document, file="plan.toml", today=TODAY, **more)


def list_problems(document: dict[str, Any], **more: Any) -> list[str]:
    with pytest.raises(InputError) as caught:
        read(document, **more)
    return say_problems(caught.value.problems)


def test_a_plan_is_read() -> None:
    plan = read(GOOD, fees=FEES)
    assert [found.plan_pays_percent for found in plan.classes] == [100, 50]
    assert plan.annual_maximum
    assert (plan.annual_maximum.amount, plan.annual_maximum.used) == (Decimal("1500.00"), Decimal("240.00"))
    assert (plan.date_rule, plan.as_second, plan.year_begins_month) == (DateRule.DELIVERY, SecondRule.STANDARD, 1)


BAD = [
    ("a share for a percentage", "classes.1.plan_pays_percent", Decimal("0.8"), "for a share of 0.8 write 80"),
    ("one for a hundred", "classes.1.plan_pays_percent", 1, "for a share of 1 write 100"),
    ("a percentage above a hundred", "classes.1.plan_pays_percent", 150, "a percentage from 0 to 100"),
    ("a percentage in quotes", "classes.1.plan_pays_percent", "80", "without quotes"),
    ("percentages that do not make a hundred", "classes.1.patient_pays_percent", 20, "got 20; expected 50: what the plan and the patient pay"),
    ("the patient's percentages for the plan's", "classes.0.plan_pays_percent", 0, "got preventive 0, major 50; expected what the plan pays, not the patient (preventive 100, major 50?)"),
    ("a maximum below zero", "annual_maximum.amount", -1500, "got -1500; expected an amount of 0 or more with at most two decimals, such as 1250.00; leave [annual_maximum] out"),
    ("a maximum without an amount", "annual_maximum", {}, "annual_maximum.amount: got nothing"),
    ("an amount in quotes", "deductible.amount", "50.00", "a number without quotes"),
    ("a part of a cent", "deductible.amount", Decimal("50.001"), "at most two decimals"),
    ("an amount without end", "deductible.amount", Decimal("Infinity"), "an amount of 0 or more"),
    ("more used than there is", "member.annual_used", 2000, "got 2000; expected at most 1500.00, the whole annual maximum"),
    ("an amount used of a maximum that the plan does not have", "member.lifetime_used", 100, "a table [lifetime_maximum]"),
    ("a currency nobody knows", "currency", "DOL", "a three-letter ISO 4217 code"),
    ("another currency than the fees", "currency", "EUR", "got 'EUR'; expected USD, the currency of demo_fees.csv"),
    ("cover before birth", "member.covered_since", date(1940, 1, 1), "not before the patient was born, 1951-05-02"),
    ("cover that begins later", "member.covered_since", date(2027, 1, 1), "not after today, 2026-11-25"),
    ("no day of cover where a class waits", "member", {}, "member.covered_since: got nothing"),
    ("used amounts of a day before cover", "member.as_of", date(2023, 1, 1), "not before the plan began for this patient, 2024-03-01"),
    ("teeth lost before birth", "member.teeth_lost_on", date(1950, 1, 1), "not before the patient was born"),
    ("a denture from before birth", "member.present_denture", {"mandible": date(1950, 1, 1)}, "member.present_denture.mandible"),
    ("a past service of tomorrow", "member.past", [{"line": "examination", "on": date(2026, 11, 26)}], "not after today"),
    ("another birth than the case's", "member.born", date(1951, 5, 3), "1951-05-02, as the case says"),
    ("a date in quotes", "member.as_of", "2026-11-20", "a date without quotes"),
    ("a line the schedule does not have", "allowed", [{"line": "reline_x", "amount": 100}], "'reline' perhaps"),
    ("a line allowed twice", "allowed", [{"line": "reline", "amount": 1}, {"line": "reline", "amount": 2}], "each line once"),
    ("a line in two classes", "classes.1.lines", ["examination"], "line 'examination' more than once"),
    ("a class no limit can know", "deductible.classes", ["mayor"], "'major' perhaps"),
    ("an alternate benefit about nothing", "alternates", [{"instead": "full denture", "amount": 800}], 'lines = ["…"] or classes = ["…"]'),
    ("a misspelt rule for two plans", "as_second", "carveout", "'carve_out' perhaps"),
    ("a thirteenth month", "year_begins_month", 13, "a whole number from 1 to 12"),
    ("a misspelt field", "anual_maximum", {"amount": 1}, "'annual_maximum' perhaps"),
    ("nothing it pays for", "classes", [], "a [[classes]] table"),
]  # fmt: skip


@pytest.mark.parametrize(("place", "value", "message"), [b[1:] for b in BAD], ids=[b[0] for b in BAD])
def test_a_bad_field_is_one_problem_that_says_what_is_expected(place: str, value: Any, message: str) -> None:
    problems = list_problems(change(place, value), fees=FEES, born=date(1951, 5, 2))
    assert len(problems) == 1, problems
    assert message in problems[0]


def test_the_patients_percentage_alone_is_turned_into_the_plans() -> None:
    document = change("classes.1.patient_pays_percent", 20)
    del document["classes"][1]["plan_pays_percent"]
    (problem,) = list_problems(document)
    assert "classes[2].plan_pays_percent: got nothing; expected 80, the percentage that the plan pays" in problem


def test_whether_the_practice_has_a_contract_must_be_said() -> None:
    document = deepcopy(GOOD)
    del document["in_network"]
    assert "in_network: got nothing; expected true where the practice has a contract" in list_problems(document)[0]


def test_used_amounts_need_the_day_they_were_told_for() -> None:
    document = deepcopy(GOOD)
    del document["member"]["as_of"]
    assert "member.as_of: got nothing; expected the day the used amounts were told for" in list_problems(document)[0]


def test_unusual_percentages_are_taken_when_they_are_said_to_be_right() -> None:
    document = change("classes.0.plan_pays_percent", 0) | {"percentages_checked": True}
    assert read(document).classes[0].plan_pays_percent == 0


def test_all_problems_come_at_once() -> None:
    document = change("annual_maximum.amount", -1) | {"currency": "EUR", "date_rule": "never"}
    assert len(list_problems(document, fees=FEES)) == 3


@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)
def test_a_demo_plan_says_that_it_is_invented(path: Any) -> None:
    plan = files.load_plan(path, today=TODAY, fees=FEES)
    assert plan.invented
    assert "(invented)" in plan.name


@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)
def test_a_saved_plan_is_the_same_plan_again(path: Any) -> None:
    plan = files.load_plan(path, today=TODAY)
    assert read(make_plan_document(plan)) == plan


def test_every_part_of_a_plan_is_saved() -> None:
    document = deepcopy(GOOD) | {
        "lifetime_maximum": {"amount": Decimal("900.00"), "classes": ["major"]},
        "yearly_allowance": {"amount": Decimal("600.00")},
        "missing_tooth_clause": {"classes": ["major"]},
        "subsidies": [{"finding": "jaw without teeth", "amount": 400, "lines": ["reline"]}],
        "frequencies": [{"times": 1, "months": 60, "classes": ["preventive"]}],
        "alternates": [{"instead": "full denture", "amount": 800, "classes": ["major"]}],
        "replacement": {"months": 60},
        "dated": {"classes": ["major"]},
    }
    document["member"] |= {
        "teeth_lost_on": date(2020, 1, 1),
        "lifetime_used": 100,
        "present_denture": {"maxilla": date(2019, 6, 15)},
        "past": [{"line": "examination", "on": date(2026, 1, 2), "benefit_class": "preventive"}],
    }
    plan = read(document)
    assert plan.member.dentures == {Arch.MAXILLA: date(2019, 6, 15)}
    assert read(make_plan_document(plan)) == plan


def test_the_raw_demo_plan_has_no_field_that_the_reader_does_not_know() -> None:
    assert read(load_toml(DEMO[0])).key == "plan_a"


ANSWER: dict[str, Any] = {
    "plan": "plan_a",
    "reference": "C-1042",
    "currency": "USD",
    "asked_on": date(2026, 11, 2),
    "answered_on": date(2026, 11, 20),
    "decision": "approved_in_part",
    "valid_until": date(2027, 5, 20),
    "lines": [{"line": "finish_overdenture", "jaw": "mandible", "plan_pays": 240}, {"line": "examination", "plan_pays": 0}],
}  # fmt: skip


def read_answer(**changes: Any) -> PlanAnswer:
    return read_plan_answer(ANSWER | changes, file="answer.toml", today=TODAY)


def test_an_answer_is_read() -> None:
    answer = read_answer()
    assert answer.decision is Decision.APPROVED_IN_PART
    assert [(line.arch, line.plan_pays) for line in answer.lines] == [
        (Arch.MANDIBLE, Decimal(240)),
        (None, Decimal(0)),
    ]


@pytest.mark.parametrize(("field", "value", "message"), [
    ("answered_on", date(2026, 11, 1), "a day not before the plan was asked, 2026-11-02"),
    ("answered_on", date(2026, 12, 1), "not after today, 2026-11-25"),
    ("valid_until", date(2026, 11, 1), "a day not before the answer"),
    ("decision", "aproved", "'approved' perhaps"),
    ("decision", "refused", '"approved_in_part" where the plan pays some line'),
    ("lines", [{"line": "reline", "plan_pays": -1}], "0 where the plan refuses the line"),
    ("lines", [{"line": "reline", "plan_pays": 1}] * 2, "each line of a jaw once"),
    ("currency", "dollars", "ISO 4217"),
])  # fmt: skip
def test_a_bad_answer_is_one_problem(field: str, value: Any, message: str) -> None:
    with pytest.raises(InputError) as caught:
        read_answer(**{field: value})
    assert len(caught.value.problems) == 1
    assert message in "\n".join(say_problems(caught.value.problems))
