"""Builders of claim lines and plans: say only what matters, the rest is one ordinary line of a plan that pays all."""

from datetime import date
from decimal import Decimal
from typing import Any

from estimator.inputs.fees.schedule import FeeKind
from estimator.inputs.plans.model import BenefitClass, BenefitPlan, Limit, Scope
from estimator.quote.benefits.claim import ClaimLine
from estimator.quote.benefits.estimate import BenefitEstimate, BenefitLine, estimate_benefits

DAY = date(2026, 12, 1)
MAJOR = "major"


def make_line(fee: str = "1000.00", on: date = DAY, *, key: str = "denture", **more: Any) -> ClaimLine:
    """A laboratory line begun and delivered on one day."""
    known: dict[str, Any] = {"label": key, "kind": FeeKind.LABORATORY, "prepared_on": on, "delivered_on": on}
    return ClaimLine(key=key, fee=Decimal(fee), **{**known, **more})


def make_class(percent: str = "100", *, key: str = MAJOR, **more: Any) -> BenefitClass:
    """A class that every kind of line belongs to."""
    known: dict[str, Any] = {"name": key, "kinds": tuple(FeeKind)}
    return BenefitClass(key=key, plan_pays_percent=Decimal(percent), **{**known, **more})


def make_plan(percent: str = "100", *, waiting_months: int = 0, **more: Any) -> BenefitPlan:
    """A plan in US dollars, without a contract, that pays one percentage of everything."""
    known: dict[str, Any] = {
        "key": "plan",
        "name": "Plan",
        "currency": "USD",
        "in_network": False,
        "classes": (make_class(percent, waiting_months=waiting_months),),
    }
    return BenefitPlan(**{**known, **more})


def make_limit(amount: str, used: str = "0", **scope: tuple[str, ...]) -> Limit:
    """A deductible, maximum or allowance."""
    return Limit(amount=Decimal(amount), used=Decimal(used), scope=Scope(**scope))


def estimate(*lines: ClaimLine, plans: tuple[BenefitPlan, ...]) -> BenefitEstimate:
    """An estimate in US dollars."""
    return estimate_benefits(lines, plans, currency="USD")


def estimate_line(line: ClaimLine, *plans: BenefitPlan) -> BenefitLine:
    """The estimate of one line alone."""
    return estimate(line, plans=plans).lines[0]


def list_reasons(line: BenefitLine, number: int = 0) -> list[str]:
    """The keys of the reasons of one plan's part, then of the line."""
    return [reason.key for reason in (*line.shares[number].reasons, *line.reasons)]
