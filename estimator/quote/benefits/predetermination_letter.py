"""The letter that asks a plan for its decision, as plain values; and the plan's answer beside the estimate."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimator.base.formats import format_amount, format_day, format_table_day
from estimator.base.money import MINOR_UNITS
from estimator.base.problems import Problem
from estimator.inputs.case.model import Case
from estimator.inputs.plans.model import BenefitPlan
from estimator.inputs.plans.predetermination import PlanAnswer
from estimator.inputs.practice.settings import Settings
from estimator.inputs.reference.wording import Wording
from estimator.quote.benefits.claim import ClaimLine
from estimator.quote.benefits.estimate import BenefitEstimate

COLUMNS = ("line", "jaw", "quantity", "fee", "prepared", "delivered")


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """What a letter says, in order: who, to whom, about whom; what is planned; what is asked."""

    title: str
    practice: str
    day: str
    about: tuple[str, ...]
    opening: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    asking: str
    questions: tuple[str, ...]
    closing: str


def write_letter(
    estimate: BenefitEstimate, number: int, case: Case, settings: Settings, wording: Wording, *, day: date
) -> Letter:
    """The letter to the first (0) or second (1) plan of an estimate, dated `day`. The plan decides; we only ask."""
    plan, locale = estimate.plans[number], settings.locale
    keys = list_questions(plan, number=number, plans=len(estimate.plans))
    planned = [line.line for line in estimate.lines if line.line.fee]
    return Letter(
        title=wording.say("benefits.letter.title"),
        practice=settings.practice_name,
        day=format_day(day, locale),
        about=_say_about(plan, case, wording, locale),
        opening=wording.say("benefits.letter.opening"),
        head=tuple(wording.say(f"benefits.letter.head_{column}") for column in COLUMNS),
        rows=tuple(_show_row(line, plan.currency, wording, locale) for line in planned),
        asking=wording.say("benefits.letter.questions"),
        questions=tuple(wording.say(f"benefits.letter_question.{key}") for key in keys),
        closing=wording.say(
            "benefits.letter.closing", practice=settings.practice_name or wording.say("benefits.letter.unnamed")
        ),
    )


def say_letter(letter: Letter) -> str:
    """The letter as plain text, to be pasted or printed as it stands."""
    rows = [
        "  " + "; ".join(f"{name}: {cell}" for name, cell in zip(letter.head, row, strict=True)) for row in letter.rows
    ]
    asked = [f"  - {question}" for question in letter.questions]
    head = [line for line in (letter.practice, letter.day) if line]
    parts = (head, letter.about, [letter.title], [letter.opening], rows, [letter.asking, *asked], [letter.closing])
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def list_questions(plan: BenefitPlan, *, number: int, plans: int) -> tuple[str, ...]:
    """What to ask this plan: always the amounts, what is left and the day; then only what its rules leave open."""
    asked = {
        "each_line": True,
        "left": True,
        "day": True,
        "waiting": any(c.waiting_months for c in plan.classes),
        "missing_tooth": plan.missing_tooth is not None,
        "replacement": plan.replacement is not None,
        "frequency": bool(plan.frequencies),
        "alternate": bool(plan.alternates),
        "subsidy": bool(plan.subsidies),
        "allowance": plan.yearly_allowance is not None,
        "first": plans > 1,
        "second": plans > 1 and number > 0,
    }
    return tuple(key for key, needed in asked.items() if needed)


def _say_about(plan: BenefitPlan, case: Case, wording: Wording, locale: str) -> tuple[str, ...]:
    lines = [wording.say("benefits.letter.to", plan=plan.name)]
    if case.patient.name:
        lines.append(wording.say("benefits.letter.patient", name=case.patient.name))
    if case.patient.born:
        lines.append(wording.say("benefits.letter.born", born=format_day(case.patient.born, locale)))
    lines.append(wording.say("benefits.letter.reference", reference=case.reference))
    return tuple(lines)


def _show_row(line: ClaimLine, currency: str, wording: Wording, locale: str) -> tuple[str, ...]:
    jaw = wording.say(f"words.arch.office_{line.arch}") if line.arch else wording.say("benefits.letter.whole_case")
    fee = format_amount(line.fee, locale, decimals=MINOR_UNITS[currency])
    days = (format_table_day(line.prepared_on, locale), format_table_day(line.delivered_on, locale))
    return (line.label, jaw, str(line.quantity), fee, *days)


@dataclass(frozen=True, slots=True, kw_only=True)
class AnsweredLine:
    """A line as estimated and as the plan answered; `difference` is None where the plan did not answer it."""

    line: ClaimLine
    estimated: Decimal
    answered: Decimal | None
    difference: Decimal | None


def compare_answer(estimate: BenefitEstimate, answer: PlanAnswer) -> tuple[AnsweredLine, ...]:
    """Each line with what the plan was estimated to pay and what it says it would pay.

    Raises ValueError for an answer of a plan that is not in the estimate.
    """
    keys = [plan.key for plan in estimate.plans]
    if answer.plan not in keys:
        raise ValueError(f"'answer' must be of one of the plans {', '.join(keys)} (got '{answer.plan}')")
    number = keys.index(answer.plan)
    said = {(line.line, line.arch): line.plan_pays for line in answer.lines}
    pairs: Sequence[tuple[ClaimLine, Decimal]] = [(x.line, x.shares[number].paid) for x in estimate.lines]
    return tuple(_compare_line(line, paid, said.get((line.key, line.arch))) for line, paid in pairs)


def find_answer_problems(
    estimate: BenefitEstimate, answer: PlanAnswer, *, file: str, reference: str
) -> tuple[Problem, ...]:
    """What keeps an answer from standing beside this estimate: another plan, currency or case, lines not in it."""
    plans = {plan.key: plan for plan in estimate.plans}
    if answer.plan not in plans:
        others = {"known": tuple(plans)}
        return (Problem(file=file, path=("plan",), code="answer.plan", found=answer.plan, expected=others),)
    problems = []
    currency = plans[answer.plan].currency
    if answer.currency != currency:
        problems.append(_blame_heading(file, "currency", answer.currency, currency))
    if answer.reference != reference:
        problems.append(_blame_heading(file, "reference", answer.reference, reference))
    known = {(one.line.key, one.line.arch) for one in estimate.lines}
    for number, line in enumerate(answer.lines, 1):
        if (line.line, line.arch) not in known:
            found = (line.line, line.arch)
            problems.append(Problem(file=file, path=("lines", number), code="answer.line_and_jaw", found=found))
    return tuple(problems)


def _blame_heading(file: str, field: str, found: str, wanted: str) -> Problem:
    return Problem(file=file, path=(field,), code=f"answer.{field}", found=found, expected={"wanted": wanted})


def _compare_line(line: ClaimLine, estimated: Decimal, answered: Decimal | None) -> AnsweredLine:
    difference = None if answered is None else answered - estimated
    return AnsweredLine(line=line, estimated=estimated, answered=answered, difference=difference)
