"""What a plan answered in place of our estimate: every fee still comes apart without a rest, and nothing is promised."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator import files
from estimator.base.problems import InputError
from estimator.inputs.plans.model import EVERYTHING, BenefitPlan, Frequency, SecondRule
from estimator.inputs.plans.predetermination import AnswerLine, Decision, PlanAnswer
from estimator.quote.benefits.claim import ClaimLine
from estimator.quote.benefits.claims import sum_up_answer
from estimator.quote.benefits.estimate import BenefitEstimate, estimate_benefits
from estimator.quote.benefits.explanations import say_promise
from estimator.quote.benefits.phasing import compare_phases
from estimator.quote.benefits.predetermination import find_late_answer
from estimator.quote.changes import ChangeKind, PlanAnswered
from estimator.quote.quote import CountedAnswer, Quote
from estimator.quote.snapshot import quote_to_dict, read_quote
from estimator.quote.versions import list_changes
from tests.benefit_builders import DAY, list_reasons, make_limit, make_line, make_plan
from tests.problem_builders import list_places, say_problem
from tests.unit.quote.benefits.test_estimate import LINES, PLANS
from tests.unit.quote.test_quote import make

ANSWERED_ON = date(2026, 11, 10)
ZERO = Decimal(0)


def make_answer(*said: tuple[str, str], plan: str = "plan", decision: Decision = Decision.APPROVED) -> PlanAnswer:
    """An answer with what the plan would pay by line."""
    return PlanAnswer(
        plan=plan,
        reference="C-1",
        currency="USD",
        asked_on=date(2026, 11, 1),
        answered_on=ANSWERED_ON,
        decision=decision,
        lines=tuple(AnswerLine(line=line, arch=None, plan_pays=Decimal(amount)) for line, amount in said),
    )


def count(lines: list[ClaimLine], answer: PlanAnswer | None, *plans: BenefitPlan) -> BenefitEstimate:
    return estimate_benefits(lines, plans or (make_plan("50"),), currency="USD", answer=answer)


@st.composite
def draw_answered(draw: st.DrawFn) -> tuple[list[ClaimLine], list[BenefitPlan], PlanAnswer]:
    """Lines and plans with an answer of the first or second plan about some lines, up to all that is left of a fee."""
    lines = list({(line.key, line.arch): line for line in draw(LINES)}.values())
    plans = [replace(plan, key=f"plan_{number}") for number, plan in enumerate(draw(PLANS))]
    number = draw(st.integers(0, len(plans) - 1))
    before = estimate_benefits(lines, plans[:number], currency="USD")
    said = []
    for line, known in zip(lines, before.lines, strict=True):
        left = line.fee - known.plan_pays
        if draw(st.booleans()):
            amount = min(left, (left * draw(st.integers(0, 100)) / 100).quantize(Decimal("0.01")))
            said.append(AnswerLine(line=line.key, arch=line.arch, plan_pays=amount))
    return lines, plans, replace(make_answer(plan=plans[number].key), lines=tuple(said))


@given(draw_answered())
def test_plans_patient_and_write_off_still_add_up_to_the_fee_of_every_line(
    drawn: tuple[list[ClaimLine], list[BenefitPlan], PlanAnswer],
) -> None:
    lines, plans, answer = drawn
    made = estimate_benefits(lines, plans, currency="USD", answer=answer)
    for line in made.lines:
        parts = (sum((share.paid for share in line.shares), ZERO), line.write_off, line.patient_pays)
        assert sum(parts, ZERO) == line.line.fee
        assert min(parts) >= 0
    assert sum(made.plan_pays, ZERO) + made.write_off + made.patient_pays == made.fee


@given(draw_answered())
def test_every_answered_line_pays_what_the_plan_answered(
    drawn: tuple[list[ClaimLine], list[BenefitPlan], PlanAnswer],
) -> None:
    lines, plans, answer = drawn
    made = estimate_benefits(lines, plans, currency="USD", answer=answer)
    number = [plan.key for plan in plans].index(answer.plan)
    paid = {(one.line.key, one.line.arch): one.shares[number].paid for one in made.lines}
    assert {(said.line, said.arch): said.plan_pays for said in answer.lines}.items() <= paid.items()


@given(LINES, PLANS)
def test_where_no_line_is_answered_nothing_moves(lines: list[ClaimLine], plans: list[BenefitPlan]) -> None:
    known = [replace(plan, key=f"plan_{number}") for number, plan in enumerate(plans)]
    silent = make_answer(plan="plan_0", decision=Decision.MORE_ASKED)
    counted = estimate_benefits(lines, known, currency="USD", answer=silent)
    assert replace(counted, answer=None) == estimate_benefits(lines, known, currency="USD")


def test_what_was_answered_uses_up_the_maximum_before_what_is_estimated() -> None:
    lines = [make_line("1000.00", key="first"), make_line("1000.00", DAY + timedelta(days=9), key="second")]
    plan = make_plan("100", annual_maximum=make_limit("1200.00"))
    made = count(lines, make_answer(("second", "900.00")), plan)
    assert [line.plan_pays for line in made.lines] == [Decimal("300.00"), Decimal("900.00")]


def test_a_contract_still_writes_off_what_is_above_the_allowed_amount() -> None:
    plan = make_plan("50", in_network=True, allowed={"denture": Decimal("800.00")})
    [line] = count([make_line("1000.00")], make_answer(("denture", "300.00")), plan).lines
    assert [line.plan_pays, line.write_off, line.patient_pays] == [300, 200, 500]
    assert list_reasons(line) == ["allowed", "answered", "written_off"]


def test_a_second_plan_pays_after_what_the_first_answered() -> None:
    plans = make_plan("50", key="one"), make_plan("80", key="two", as_second=SecondRule.STANDARD)
    [line] = count([make_line("1000.00")], make_answer(("denture", "300.00"), plan="one"), *plans).lines
    assert [share.paid for share in line.shares] == [300, 700]


def test_a_plan_that_refuses_pays_nothing_of_any_line() -> None:
    made = count([make_line(key="a"), make_line(key="b")], make_answer(decision=Decision.REFUSED))
    assert made.patient_pays == made.fee
    assert [list_reasons(line) for line in made.lines] == [["answered"]] * 2


def test_a_refusal_leaves_what_another_plan_is_estimated_to_pay() -> None:
    plans = make_plan("50", key="one"), make_plan("80", key="two")
    made = count([make_line("1000.00")], make_answer(plan="one", decision=Decision.REFUSED), *plans)
    assert made.plan_pays == (ZERO, Decimal(800))


@pytest.mark.parametrize(("answered", "left"), [("10.00", "0.00"), ("0.00", "500.00")], ids=["paid", "refused"])
def test_only_an_answered_line_that_is_paid_counts_for_how_often_the_plan_pays(answered: str, left: str) -> None:
    plan = make_plan("50", frequencies=(Frequency(times=1, months=60, scope=EVERYTHING),))
    lines = [make_line("1000.00", key="first"), make_line("1000.00", DAY + timedelta(days=9), key="second")]
    assert count(lines, make_answer(("first", answered)), plan).lines[1].plan_pays == Decimal(left)


@pytest.mark.parametrize(("amount", "expected"), [("1000.01", "from 0 to 1000.00"), ("-0.01", "from 0 to 1000.00")])
def test_an_amount_above_the_fee_or_below_0_is_a_problem_with_its_place(amount: str, expected: str) -> None:
    with pytest.raises(InputError) as raised:
        count([make_line("1000.00")], make_answer(("denture", amount)))
    [problem] = raised.value.problems
    assert say_problem(problem).startswith(f"answer, lines[1].plan_pays: got {amount}; expected {expected}")


def test_a_second_plan_cannot_answer_more_than_the_first_leaves_of_the_fee() -> None:
    plans = make_plan("50", key="one"), make_plan("80", key="two")
    with pytest.raises(InputError) as raised:
        count([make_line("1000.00")], make_answer(("denture", "500.01"), plan="two"), *plans)
    assert "from 0 to 500.00, what the first plan leaves" in say_problem(raised.value.problems[0])


def test_every_problem_of_an_answer_is_told_at_once() -> None:
    with pytest.raises(InputError) as raised:
        count([make_line("1000.00")], make_answer(("denture", "1000.01"), ("bridge", "5.00")))
    assert list_places(raised.value.problems) == ["lines[1].plan_pays", "lines[2]"]


def test_an_answer_of_another_plan_is_refused() -> None:
    with pytest.raises(ValueError, match="'answer' must be of one of the plans"):
        count([make_line()], make_answer(plan="other"))


@pytest.mark.parametrize(("late_by", "problems"), [(0, 0), (1, 1)])
def test_an_answer_is_late_from_the_day_after_its_last(late_by: int, problems: int) -> None:
    answer = replace(make_answer(), valid_until=DAY)
    assert len(find_late_answer(answer, file="answer", today=DAY + timedelta(days=late_by))) == problems


def test_benefit_years_are_not_compared_where_an_answer_is_counted() -> None:
    lines = [make_line(key="a"), make_line(on=DAY + timedelta(days=60), key="b")]
    plans = [make_plan("50")]
    assert compare_phases(lines, plans, currency="USD").straddles
    assert not compare_phases(lines, plans, currency="USD", answer=make_answer(("a", "5.00"))).straddles


@pytest.mark.parametrize(("said", "every"), [((("a", "1.00"), ("b", "0.00")), True), ((("a", "1.00"),), False)])
def test_an_estimate_tells_whether_every_line_was_answered(said: tuple[tuple[str, str], ...], every: bool) -> None:
    made = count([make_line(key="a"), make_line(key="b"), make_line("0.00", key="free")], make_answer(*said))
    assert sum_up_answer(made) == CountedAnswer(plan="Plan", answered_on=ANSWERED_ON, every_line=every)


def test_with_a_second_plan_something_is_estimated_still() -> None:
    plans = make_plan("50", key="one"), make_plan("80", key="two")
    counted = sum_up_answer(count([make_line()], make_answer(("denture", "1.00"), plan="one"), *plans))
    assert counted is not None
    assert not counted.every_line


@pytest.mark.parametrize("every_line", [True, False])
def test_an_answer_is_said_with_its_day_and_promises_nothing(every_line: bool) -> None:
    counted = CountedAnswer(plan="Plan A", answered_on=ANSWERED_ON, every_line=every_line)
    english, spanish = (
        say_promise(counted, files.load_wording(code), locale=locale)
        for code, locale in (("en", "en_US"), ("es", "es_US"))
    )
    assert "as the plan answered on November 10, 2026 (Plan A)" in english
    assert "still not a guarantee of payment." in english
    assert "el plan respondió el 10 de noviembre de 2026 (Plan A)" in spanish
    assert "Todavía no es una garantía de pago." in spanish


def count_in_quote() -> Quote:
    return replace(make(), answered=CountedAnswer(plan="Plan A", answered_on=ANSWERED_ON, every_line=True))


def test_a_quote_is_kept_with_the_answer_that_it_counts() -> None:
    assert read_quote(quote_to_dict(count_in_quote())) == count_in_quote()


def test_a_quote_that_was_kept_before_answers_were_counted_is_read_as_it_was() -> None:
    plain = quote_to_dict(make())
    del plain["answered"]
    assert read_quote(plain) == make()


def test_a_further_version_says_that_an_answer_is_counted() -> None:
    [change] = list_changes(make(), count_in_quote())
    assert (change.kind, change.before) == (ChangeKind.ANSWERED, None)
    assert change.after == PlanAnswered(plan="Plan A", answered_on=date(2026, 11, 10))
