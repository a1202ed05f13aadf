"""Every reason has words for both readers; the letter to a plan and its answer beside the estimate."""

import re
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from estimator import files
from estimator.base.days import add_months
from estimator.inputs.case.model import Arch
from estimator.inputs.payment.model import PaymentTerms
from estimator.inputs.plans.model import EVERYTHING, BenefitPlan, Replacement, SecondRule
from estimator.inputs.plans.predetermination import AnswerLine, Decision, PlanAnswer
from estimator.inputs.practice.settings import Settings
from estimator.inputs.practice.working_days import ClosedDays
from estimator.quote.benefits.claim import ClaimLine
from estimator.quote.benefits.claims import date_option, list_claim_lines
from estimator.quote.benefits.estimate import BenefitEstimate, estimate_benefits
from estimator.quote.benefits.explanations import Audience, say_phases, say_reason
from estimator.quote.benefits.phasing import compare_phases
from estimator.quote.benefits.predetermination_letter import (
    compare_answer,
    find_answer_problems,
    say_letter,
    write_letter,
)
from tests.benefit_builders import estimate, estimate_line, make_limit, make_line, make_plan
from tests.builders import CHECKOUT, TODAY, estimate_jaw, find_option, load_demo_practice, make_case, make_jaw
from tests.problem_builders import list_places
from tests.quote_builders import list_quote_lines

WORDING = files.load_wording()
CODE = "\n".join(p.read_text(encoding="utf-8") for p in sorted((CHECKOUT / "estimator" / "quote").rglob("*.py")))
GIVEN = set(re.findall(r'give_reason\(\s*"(\w+)"', CODE)) | {"lifetime_maximum", "annual_maximum"} | set(SecondRule)


def list_texts(group: str) -> set[str]:
    return {key.removeprefix(group) for key in WORDING.texts if key.startswith(group)}


@pytest.mark.parametrize("reader", Audience)
def test_every_reason_that_is_given_has_words_and_no_words_are_left_over(reader: Audience) -> None:
    assert list_texts(f"benefits.reason_{reader}.") == GIVEN


def test_the_estimate_is_no_guarantee() -> None:
    assert "not a guarantee of payment" in WORDING.say("benefits.not_a_guarantee")


@pytest.mark.parametrize("text", sorted(key for key in WORDING.texts if key.startswith("benefits.reason_patient.")))
def test_what_a_patient_reads_has_no_term_of_the_trade(text: str) -> None:
    terms = ("benefit class", "alternate benefit", "deductible", "coinsurance", "allowed amount", "non-duplication")
    assert not [term for term in terms if term in WORDING.get(text).lower()]


def say(line_number: int, made: BenefitEstimate, reader: Audience) -> list[str]:
    share = made.lines[line_number].shares[0]
    return [say_reason(r, WORDING, reader=reader, locale="en_US", currency="USD") for r in share.reasons]


def test_reasons_are_sentences_with_their_numbers() -> None:
    plan = make_plan("50", deductible=make_limit("50.00"), annual_maximum=make_limit("400.00"))
    made = estimate(make_line("1450.00"), plans=(plan,))
    assert say(0, made, Audience.OFFICE) == [
        "No allowed amount on file: the fee is taken.", "Deductible 50.00 taken first.", "Plan pays 50 % of 1,400.00.",
        "Annual maximum: 400.00 left.",
    ]  # fmt: skip
    assert say(0, made, Audience.PATIENT)[1:3] == [
        "You pay the first 50.00 of the year.",
        "The plan pays 50 % of 1,400.00.",
    ]


@pytest.mark.parametrize(("second", "words"), [
    ("1500.00", "they would pay 1,500.00: as planned they pay 200.00 more."),
    ("0.00", "they would pay the same."),
], ids=["a gain", "the same"])  # fmt: skip
def test_two_benefit_years_are_compared_in_words(second: str, words: str) -> None:
    plan = make_plan("50", deductible=make_limit("50"), annual_maximum=make_limit("1500"))
    lines = [make_line("2000.00", date(2026, 12, 1)), make_line(second, date(2027, 1, 4))]
    said = say_phases(compare_phases(lines, [plan], currency="USD"), WORDING, locale="en_US", currency="USD")
    assert said[1] == f"All counted in the first year {words}"
    assert "do not move" in said[-1]


def make_demo_claim() -> tuple[tuple[ClaimLine, ...], tuple[BenefitPlan, ...]]:
    """A bar in the demo practice, begun in one year and delivered in the next, under both demo plans."""
    practice, jaw, option = load_demo_practice(), make_jaw("12"), find_option("connecting_bar")
    made = estimate_jaw(jaw)[option.key]
    days = date_option(
        jaw, option, made.visits, practice.variants, first_visit=date(2026, 11, 30), closed=ClosedDays(weekdays=())
    )
    plans = tuple(files.load_plan(p, today=TODAY, fees=practice.fees) for p in files.find_plans(files.DATA / "demo"))
    lines = list_quote_lines([(jaw.arch, made.fees)], practice.fees)
    profile = files.load_profile().settle_currency("USD")
    return list_claim_lines(lines, PaymentTerms(), profile, {jaw.arch: days}), plans


def test_lines_of_an_option_are_dated_by_its_visits() -> None:
    lines = {line.key: line for line in make_demo_claim()[0]}
    trial, review, laboratory = (lines[key] for key in ("tooth_trial", "review", "finish_overdenture"))
    assert (trial.prepared_on, trial.delivered_on) == (date(2027, 1, 4), date(2027, 2, 15))
    assert (review.prepared_on, review.delivered_on) == (date(2027, 2, 22), date(2027, 2, 22))
    assert (laboratory.prepared_on, laboratory.delivered_on) == (date(2026, 12, 7), date(2027, 2, 15))


def test_what_is_charged_once_a_case_belongs_to_no_jaw() -> None:
    arches = {line.key: line.arch for line in make_demo_claim()[0]}
    assert (arches["examination"], arches["tooth_trial"]) == (None, Arch.MANDIBLE)


def test_the_demo_under_two_plans_comes_apart_to_the_cent() -> None:
    lines, plans = make_demo_claim()
    made = estimate_benefits(lines, plans, currency="USD")
    assert made.fee == sum(made.plan_pays) + made.write_off + made.patient_pays
    assert all(paid > 0 for paid in made.plan_pays)


@pytest.mark.parametrize(("day", "months", "later"), [
    (date(2026, 1, 31), 1, date(2026, 2, 28)),
    (date(2024, 2, 29), 12, date(2025, 2, 28)),
    (date(2019, 6, 15), 84, date(2026, 6, 15)),
    (date(2026, 12, 5), 1, date(2027, 1, 5)),
], ids=str)  # fmt: skip
def test_months_ahead_keep_the_day_or_take_the_last(day: date, months: int, later: date) -> None:
    assert add_months(day, months) == later


SETTINGS = Settings(practice_name="Harbor Row Dental (invented)")


def test_a_letter_says_what_is_planned_and_asks_what_the_plan_leaves_open() -> None:
    plan = make_plan(name="Plan A", replacement=Replacement(months=60, scope=EVERYTHING))
    made = estimate(
        make_line("480.00", label="Overdenture finished", arch=Arch.MANDIBLE), make_line("0"), plans=(plan,)
    )
    letter = write_letter(made, 0, make_case(make_jaw()), SETTINGS, WORDING, day=TODAY)
    assert letter.about == ("To: Plan A", "Our reference: T-1")
    assert letter.rows == (
        (
            "Overdenture finished",
            "mandible",
            "1",
            "480.00",
            "Dec\N{NO-BREAK SPACE}1,\N{NO-BREAK SPACE}2026",
            "Dec\N{NO-BREAK SPACE}1,\N{NO-BREAK SPACE}2026",
        ),
    )
    assert len(letter.head) == len(letter.rows[0])
    assert any("present denture" in question for question in letter.questions)
    assert not [question for question in letter.questions if "missing tooth" in question or "other plan" in question]


def test_a_letter_to_the_second_plan_asks_how_it_pays_after_another() -> None:
    made = estimate(make_line(), plans=(make_plan(), make_plan(key="other")))
    first, second = (
        write_letter(made, n, make_case(make_jaw()), SETTINGS, WORDING, day=TODAY).questions for n in (0, 1)
    )
    assert [q for q in second if q not in first] == ["How you pay where another plan pays before you."]


def test_a_letter_as_text_holds_every_line_and_question_and_nothing_more_of_the_patient() -> None:
    made = estimate(make_line("480.00", label="Overdenture finished"), plans=(make_plan(name="Plan A"),))
    letter = write_letter(made, 0, make_case(make_jaw(), health=("smoking",)), SETTINGS, WORDING, day=TODAY)
    text = say_letter(letter)
    assert all(part in text for part in (letter.title, *letter.about, *letter.rows[0], *letter.questions))
    assert "smoking" not in text


def answer(*lines: AnswerLine, plan: str = "plan") -> PlanAnswer:
    return PlanAnswer(plan=plan, reference="T-1", currency="USD", asked_on=TODAY, answered_on=TODAY, decision=Decision.APPROVED_IN_PART, lines=lines)  # fmt: skip


def test_an_answer_stands_beside_the_estimate_line_by_line() -> None:
    made = estimate(make_line(), make_line(key="bar"), plans=(make_plan("50"),))
    compared = compare_answer(made, answer(AnswerLine(line="denture", arch=None, plan_pays=Decimal("420.00"))))
    assert [(x.estimated, x.answered, x.difference) for x in compared] == [
        (Decimal(500), Decimal(420), Decimal(-80)),
        (Decimal(500), None, None),
    ]


def test_an_answer_of_another_plan_is_refused() -> None:
    made = estimate(make_line(), plans=(make_plan(),))
    with pytest.raises(ValueError, match="must be of one of the plans plan"):
        compare_answer(made, answer(plan="other"))


def test_an_answer_for_a_line_of_the_estimate_that_stands_in_two_jaws_is_told_apart() -> None:
    made = estimate(make_line(arch=Arch.MANDIBLE), make_line(arch=Arch.MAXILLA), plans=(make_plan(),))
    compared = compare_answer(made, answer(AnswerLine(line="denture", arch=Arch.MAXILLA, plan_pays=Decimal(7))))
    assert [x.answered for x in compared] == [None, Decimal(7)]


def test_a_line_out_of_network_says_what_is_over_the_allowed_amount() -> None:
    line = estimate_line(make_line("100.00"), make_plan(allowed={"denture": Decimal(70)}))
    said = [say_reason(r, WORDING, reader=Audience.PATIENT, locale="en_US", currency="USD") for r in line.reasons]
    assert said == ["30.00 is more than the plan counts. You pay it."]


@pytest.mark.parametrize(("changes", "place"), [
    ({"plan": "other"}, "plan"),
    ({"currency": "EUR"}, "currency"),
    ({"reference": "T-2"}, "reference"),
    ({"lines": (AnswerLine(line="bar", arch=None, plan_pays=Decimal(1)),)}, "lines[1]"),
    ({"lines": (AnswerLine(line="denture", arch=Arch.MAXILLA, plan_pays=Decimal(1)),)}, "lines[1]"),
], ids=["another plan", "another currency", "another case", "another line", "another jaw"])  # fmt: skip
def test_an_answer_to_something_else_is_a_problem(changes: dict[str, Any], place: str) -> None:
    made = estimate(make_line(), plans=(make_plan(),))
    wrong = replace(answer(), **changes)
    [problem] = find_answer_problems(made, wrong, file="answer.toml", reference="T-1")
    assert list_places([problem]) == [place]


def test_an_answer_to_this_estimate_is_no_problem() -> None:
    made = estimate(make_line(), plans=(make_plan(),))
    lines = (AnswerLine(line="denture", arch=None, plan_pays=Decimal(1)),)
    assert find_answer_problems(made, answer(*lines), file="answer.toml", reference="T-1") == ()
