"""Two plans for one patient: what the second pays after the first, and what is left for the patient.

Standard: 50 Ill. Adm. Code 2009.50 (rule). Non-duplication and carve-out: plans' own texts (quoted). Maintenance of
benefits: derived. Which allowed amount counts for both: model rules of insurance regulators (memory).
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.base.money import round_money
from estimator.inputs.plans.model import BenefitPlan, SecondRule
from estimator.quote.benefits.adjudication import ZERO, Before, Draft, PlanStanding
from estimator.quote.benefits.claim import give_reason

Payment = Callable[[Draft, Before, Decimal], Decimal]


def pay_standard(draft: Draft, before: Before, quantum: Decimal) -> Decimal:
    """Its own normal benefit, at most what the first plan left of the allowable amount."""
    return min(draft.normal, max(ZERO, before.allowable - before.paid)).quantize(quantum)


def pay_difference(draft: Draft, before: Before, quantum: Decimal) -> Decimal:
    """Its own normal benefit less what the first plan paid: both plans together pay no more than the better one."""
    return max(ZERO, draft.normal - before.paid).quantize(quantum)


def pay_maintenance(draft: Draft, before: Before, quantum: Decimal) -> Decimal:
    """Its percentage of what the first plan left, less its own deductible; at most its own normal benefit."""
    left = max(ZERO, min(before.allowable, draft.basis) - before.paid - draft.deductible)
    return min(draft.normal, round_money(left * draft.percent / 100, quantum))


PAYMENTS: Mapping[SecondRule, Payment] = {
    SecondRule.STANDARD: pay_standard,
    SecondRule.NON_DUPLICATION: pay_difference,
    SecondRule.CARVE_OUT: pay_difference,
    SecondRule.MAINTENANCE_OF_BENEFITS: pay_maintenance,
}


def coordinate(draft: Draft, standing: PlanStanding) -> Draft:
    """What the plan pays: all of its benefit where it is alone or first, what its rule says where it is second."""
    before, rule = standing.before, standing.plan.as_second
    if before is None or draft.excluded:
        return draft.add(paid=draft.normal.quantize(standing.quantum))
    paid = PAYMENTS[rule](draft, before, standing.quantum)
    values = {"normal": draft.normal, "before": before.paid, "allowable": before.allowable, "amount": paid}
    return draft.add(give_reason(rule.value, **values), paid=paid)


def find_allowable(first: tuple[BenefitPlan, Decimal], second: tuple[BenefitPlan, Decimal]) -> Decimal:
    """The most that both plans may base payment on, from each plan with its allowed amount.

    The higher where both have a contract with the practice or neither has; else the first plan's (memory).
    """
    (plan, allowed), (other, also) = first, second
    return max(allowed, also) if plan.in_network == other.in_network else allowed


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """How the fee of a line comes apart: plans, write-off, patient. They add up to the fee."""

    paid: Decimal
    write_off: Decimal
    patient: Decimal


def split_fee(fee: Decimal, shares: Sequence[tuple[BenefitPlan, Decimal, Decimal]], quantum: Decimal) -> Settled:
    """Split a fee, given each plan with its allowed amount and what it pays.

    The patient owes no more than any contract lets the practice ask for; what nobody owes is written off.
    """
    paid = sum((pays for _, _, pays in shares), ZERO)
    most = min((allowed for plan, allowed, _ in shares if plan.in_network), default=fee)
    patient = max(ZERO, most - paid)
    return Settled(
        paid=paid.quantize(quantum),
        write_off=(fee - paid - patient).quantize(quantum),
        patient=patient.quantize(quantum),
    )
