"""Amounts that a plan sets for several lines taken together, shared out among them without losing a cent."""

from collections.abc import Sequence
from decimal import Decimal

from estimator.base.money import round_money, share_out
from estimator.inputs.plans.model import Alternate, BenefitPlan, Subsidy
from estimator.quote.benefits.claim import ClaimLine, find_class_key

Part = tuple[str, Decimal]
"""What the amount is for, and this line's part of it."""


def find_allowed(line: ClaimLine, plan: BenefitPlan, quantum: Decimal) -> Decimal:
    """The most the plan bases its payment on: its allowed amount times the quantity, never more than the fee."""
    unit = plan.allowed.get(line.key)
    return line.fee if unit is None else min(line.fee, round_money(unit * line.quantity, quantum))


def share_alternates(lines: Sequence[ClaimLine], plan: BenefitPlan, quantum: Decimal) -> tuple[Part | None, ...]:
    """Each line's part of the cheaper service's allowance; None where no alternate benefit lowers it."""
    parts: list[Part | None] = [None] * len(lines)
    for alternate in plan.alternates:
        _share(alternate, alternate.instead, lines, plan, quantum, parts)
    return tuple(parts)


def share_subsidies(lines: Sequence[ClaimLine], plan: BenefitPlan, quantum: Decimal) -> tuple[Part | None, ...]:
    """Each line's part of a fixed amount, at most what the lines cost; None where the plan pays none."""
    parts: list[Part | None] = [None] * len(lines)
    for subsidy in plan.subsidies:
        _share(subsidy, subsidy.finding, lines, plan, quantum, parts)
    return tuple(parts)


def _share(
    rule: Alternate | Subsidy,
    name: str,
    lines: Sequence[ClaimLine],
    plan: BenefitPlan,
    quantum: Decimal,
    parts: list[Part | None],
) -> None:
    """Jaw by jaw, by allowed amount; a line that has a part already keeps it."""
    held = [i for i, line in enumerate(lines) if rule.scope.holds(line.key, find_class_key(line, plan))]
    free = [i for i in held if parts[i] is None]
    for arch in dict.fromkeys(lines[i].arch for i in free):
        group = [i for i in free if lines[i].arch == arch]
        weights = [find_allowed(lines[i], plan, quantum) for i in group]
        whole = sum(weights, Decimal(0))
        if whole <= 0 or (isinstance(rule, Alternate) and rule.amount >= whole):
            continue
        for i, share in zip(group, share_out(min(rule.amount, whole), weights, quantum), strict=True):
            parts[i] = (name, share)
