"""PlanAnswer: what a plan decided when it was asked before treatment, as it stands in its letter."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Any

from estimator.base.fields import Fields
from estimator.base.money import MINOR_UNITS
from estimator.base.problems import InputError, Problem
from estimator.inputs.case.model import Arch, find_repeated
from estimator.inputs.plans.fields import read_amount


class Decision(StrEnum):
    """What the plan decided."""

    APPROVED = "approved"
    APPROVED_IN_PART = "approved_in_part"
    REFUSED = "refused"
    MORE_ASKED = "more_asked"


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerLine:
    """What the plan says it would pay of one line; `arch` None for a line of the whole case."""

    line: str
    arch: Arch | None
    plan_pays: Decimal
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanAnswer:
    """A plan's decision on a case. `plan` is the key of the plan's file."""

    plan: str
    reference: str
    currency: str
    asked_on: date
    answered_on: date
    decision: Decision
    plan_reference: str = ""
    valid_until: date | None = None
    lines: tuple[AnswerLine, ...] = ()


def read_plan_answer(document: Mapping[str, Any], *, file: str, today: date) -> PlanAnswer:
    """An answer from a parsed TOML document. Raises InputError with every problem of the document."""
    problems: list[Problem] = []
    fields = Fields(document, file=file, problems=problems)
    currency = fields.get_raw("currency")
    if not isinstance(currency, str) or currency not in MINOR_UNITS:
        fields.add_problem("currency", "currency")
        currency = "USD"
    asked_on, answered_on = (_read_day(fields, name, today) for name in ("asked_on", "answered_on"))
    answer = PlanAnswer(
        plan=fields.read_key("plan"),
        reference=fields.read_line("reference", code="answer.case_reference", required=True),
        currency=currency,
        asked_on=asked_on,
        answered_on=answered_on,
        decision=fields.read_choice("decision", Decision),
        plan_reference=fields.read_line("plan_reference", code="answer.plan_reference"),
        valid_until=fields.read_date("valid_until"),
        lines=tuple(_read_line(table, currency) for table in fields.read_tables("lines")),
    )
    _check_whole(fields, answer)
    fields.refuse_others()
    if problems:
        raise InputError(problems)
    return answer


def _read_day(fields: Fields, name: str, today: date) -> date:
    day = fields.read_date(name)
    if name not in fields:
        fields.add_problem(name, "answer.no_day")
    elif day is not None and day > today:
        fields.add_problem(name, "past_day", today=today)
    return day or today


def _read_line(table: Fields, currency: str) -> AnswerLine:
    whole_case = "jaw" not in table
    line = AnswerLine(
        line=table.read_key("line"),
        arch=None if whole_case else table.read_choice("jaw", Arch),
        plan_pays=read_amount(table, "plan_pays", currency, below="plans.refused_below_zero"),
        note=table.read_line("note", longest=200),
    )
    table.refuse_others()
    return line


def _check_whole(fields: Fields, answer: PlanAnswer) -> None:
    if answer.answered_on < answer.asked_on:
        fields.add_problem("answered_on", "answer.before_asked", asked_on=answer.asked_on)
    if answer.valid_until is not None and answer.valid_until < answer.answered_on:
        fields.add_problem("valid_until", "answer.before_answered", answered_on=answer.answered_on)
    for name in find_repeated(f"{x.line} {x.arch or ''}".strip() for x in answer.lines):
        fields.add_problem("lines", "answer.line_twice", found=name)
    if answer.decision is Decision.REFUSED and any(line.plan_pays for line in answer.lines):
        fields.add_problem("decision", "answer.refused_but_pays", decision=Decision.APPROVED_IN_PART)
