"""ClaimLine: one line of a quote as a benefit plan sees it; and the reason why a line came out as it did."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimator.inputs.case.model import Arch
from estimator.inputs.fees.schedule import FeeKind
from estimator.inputs.plans.model import BenefitPlan, DateRule

Value = Decimal | int | str | date


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """Why: a key of the wording and what fills its places."""

    key: str
    values: tuple[tuple[str, Value], ...] = ()


def give_reason(key: str, **values: Value) -> Reason:
    """A reason with its values in the order they are given."""
    return Reason(key=key, values=tuple(values.items()))


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimLine:
    """A line with its whole fee after discounts, and the days it is begun and delivered.

    `arch` is None for what concerns the whole case; `benefit_class` is the fee schedule's, often empty.
    """

    key: str
    label: str
    kind: FeeKind
    fee: Decimal
    prepared_on: date
    delivered_on: date
    quantity: int = 1
    benefit_class: str = ""
    arch: Arch | None = None


def find_class_key(line: ClaimLine, plan: BenefitPlan) -> str:
    """The key of the line's benefit class in that plan, the schedule's own word where the plan has no such class."""
    found = plan.find_class(line.key, line.kind, line.benefit_class)
    return found.key if found else line.benefit_class


def find_counted_day(line: ClaimLine, plan: BenefitPlan) -> date:
    """The day the plan counts the line on; it is the plan's day that differs, never the patient's."""
    delivered = plan.date_rule is DateRule.DELIVERY and plan.dated.holds(line.key, find_class_key(line, plan))
    return line.delivered_on if delivered else line.prepared_on
