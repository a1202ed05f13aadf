"""A BenefitPlan becomes the document it could have been read from: what a form saves into the plans of a practice."""

from typing import Any

from estimator.inputs.plans.model import EVERYTHING, BenefitClass, BenefitPlan, Limit, Member, Scope
from estimator.inputs.plans.predetermination import AnswerLine, PlanAnswer

Document = dict[str, Any]
_LIMITS = {
    "deductible": "deductible_used",
    "annual_maximum": "annual_used",
    "lifetime_maximum": "lifetime_used",
    "yearly_allowance": "allowance_used",
}


def make_plan_document(plan: BenefitPlan) -> Document:
    """The plan as plain TOML values; `read_plan` makes the same plan of it again."""
    document: Document = {
        "key": plan.key,
        "name": plan.name,
        "invented": plan.invented,
        "currency": plan.currency,
        "in_network": plan.in_network,
        "year_begins_month": plan.year_begins_month,
        "date_rule": plan.date_rule.value,
        "as_second": plan.as_second.value,
        "percentages_checked": True,
        "classes": [_show_class(found) for found in plan.classes],
        "allowed": [{"line": line, "amount": amount} for line, amount in plan.allowed.items()],
        "alternates": [{"instead": a.instead, "amount": a.amount, **_show_scope(a.scope)} for a in plan.alternates],
        "subsidies": [{"finding": s.finding, "amount": s.amount, **_show_scope(s.scope)} for s in plan.subsidies],
        "frequencies": [{"times": f.times, "months": f.months, **_show_scope(f.scope)} for f in plan.frequencies],
    }
    return document | _show_limits(plan) | _show_clauses(plan) | _show_member(plan)


def _show_scope(scope: Scope) -> Document:
    shown = {"classes": list(scope.classes), "lines": list(scope.lines)}
    return {name: words for name, words in shown.items() if words}


def _show_class(found: BenefitClass) -> Document:
    return {
        "key": found.key,
        "name": found.name,
        "plan_pays_percent": found.plan_pays_percent,
        "waiting_months": found.waiting_months,
        "lines": list(found.lines),
        "kinds": [kind.value for kind in found.kinds],
    }


def _show_limits(plan: BenefitPlan) -> Document:
    limits: dict[str, Limit | None] = {name: getattr(plan, name) for name in _LIMITS}
    return {name: {"amount": x.amount, **_show_scope(x.scope)} for name, x in limits.items() if x}


def _show_clauses(plan: BenefitPlan) -> Document:
    document: Document = {} if plan.dated == EVERYTHING else {"dated": _show_scope(plan.dated)}
    if plan.missing_tooth is not None:
        document["missing_tooth_clause"] = _show_scope(plan.missing_tooth)
    if plan.replacement is not None:
        document["replacement"] = {"months": plan.replacement.months, **_show_scope(plan.replacement.scope)}
    return document


def _show_member(plan: BenefitPlan) -> Document:
    """The [member] table; none where nothing is known of the patient."""
    member = plan.member
    used = {field: getattr(plan, name).used for name, field in _LIMITS.items() if getattr(plan, name)}
    shown: Document = {field: amount for field, amount in used.items() if amount}
    days = ("covered_since", "as_of", "teeth_lost_on")
    shown |= {name: getattr(member, name) for name in days if getattr(member, name) is not None}
    if member.dentures:
        shown["present_denture"] = {arch.value: day for arch, day in member.dentures.items()}
    if member.past:
        shown["past"] = _show_past(member)
    return {"member": shown} if shown else {}


def _show_past(member: Member) -> list[Document]:
    return [
        {"line": s.line, "on": s.on} | ({"benefit_class": s.benefit_class} if s.benefit_class else {})
        for s in member.past
    ]


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
