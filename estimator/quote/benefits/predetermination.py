"""What a plan answered, counted in place of our estimate of what it pays. Still not a guarantee of payment."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal

from estimator.base.problems import InputError, Problem
from estimator.inputs.plans.model import BenefitPlan
from estimator.inputs.plans.predetermination import Decision, PlanAnswer
from estimator.quote.benefits.adjudication import ZERO, Before, Draft
from estimator.quote.benefits.claim import ClaimLine, give_reason


def find_answered(
    lines: Sequence[ClaimLine], plan: BenefitPlan, before: Sequence[Before] | None, answer: PlanAnswer | None, file: str
) -> Mapping[int, Decimal]:
    """What the plan answered of each line by its number; nothing where it is not this plan's answer.

    A plan that refused pays nothing of any line. Raises InputError with every amount that is below 0 or above what is
    left of the fee, and every line that is not among these.
    """
    if answer is None or answer.plan != plan.key:
        return {}
    numbers = {(line.key, line.arch): number for number, line in enumerate(lines)}
    refused = answer.decision is Decision.REFUSED
    found = dict.fromkeys((number for number, line in enumerate(lines) if line.fee), ZERO) if refused else {}
    problems: list[Problem] = []
    for place, said in enumerate(answer.lines, 1):
        number = numbers.get((said.line, said.arch))
        if number is None:
            found_line = (said.line, said.arch)
            problems.append(Problem(file=file, path=("lines", place), code="answer.line", found=found_line))
            continue
        paid = before[number].paid if before else ZERO
        if not ZERO <= said.plan_pays <= lines[number].fee - paid:
            problems.append(_blame_amount(place, said.plan_pays, lines[number], paid, file))
        found[number] = said.plan_pays
    if problems:
        raise InputError(problems)
    return found


def _blame_amount(row: int, amount: Decimal, line: ClaimLine, paid: Decimal, file: str) -> Problem:
    code = "answer.above_rest" if paid else "answer.above_fee"
    expected = {"most": line.fee - paid, "fee": line.fee, "line": line.label}
    return Problem(file=file, path=("lines", row, "plan_pays"), code=code, found=amount, expected=expected)


def take_answer(draft: Draft, paid: Decimal, answered_on: date) -> Draft:
    """A line as the plan answered it, whatever its rules say.

    The allowed amount stays, for a contract writes off what is above it; so does the deductible where the plan pays, so
    that no other line pays it again. A line without a fee has no answer.
    """
    if not draft.line.fee:
        return draft
    kept = tuple(reason for reason in draft.reasons if reason.key == "allowed")
    return replace(
        draft,
        basis=paid,
        deductible=draft.deductible if paid else ZERO,
        percent=Decimal(100),
        normal=paid,
        paid=paid,
        reasons=(*kept, give_reason("answered", answered_on=answered_on)),
    )


def find_late_answer(answer: PlanAnswer, *, file: str, today: date) -> tuple[Problem, ...]:
    """An answer that no longer holds is not counted."""
    until = answer.valid_until
    if until is None or until >= today:
        return ()
    now = {"today": today}
    return (Problem(file=file, path=("valid_until",), code="answer.late", found=until, expected=now),)
