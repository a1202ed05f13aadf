"""A BenefitPlan becomes the document it could have been read from: what a form saves into the plans of a practice."""

from typing import Any

from estimator.base.declared import write_declared
from estimator.inputs.plans.declared import PLAN
from estimator.inputs.plans.model import BenefitPlan
from estimator.inputs.plans.predetermination import AnswerLine, PlanAnswer

Document = dict[str, Any]


def make_plan_document(plan: BenefitPlan) -> Document:
    """The plan as plain TOML values; `read_plan` makes the same plan of it again."""
    return {**write_declared(PLAN, plan), "percentages_checked": True}


def make_answer_document(answer: PlanAnswer) -> Document:
    """The answer as plain TOML values; `read_plan_answer` makes the same answer of it again."""
    document: Document = {
        "plan": answer.plan,
        "reference": answer.reference,
        "currency": answer.currency,
        "asked_on": answer.asked_on,
        "answered_on": answer.answered_on,
        "decision": answer.decision.value,
    }
    document |= {"plan_reference": answer.plan_reference} if answer.plan_reference else {}
    document |= {} if answer.valid_until is None else {"valid_until": answer.valid_until}
    return document | ({"lines": [_show_answer_line(line) for line in answer.lines]} if answer.lines else {})


def _show_answer_line(line: AnswerLine) -> Document:
    shown: Document = {"line": line.line} | ({} if line.arch is None else {"jaw": line.arch.value})
    return shown | {"plan_pays": line.plan_pays} | ({"note": line.note} if line.note else {})
