"""Treatment that falls into two benefit years, counted as planned and in one year. Clinical dates are never moved."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from estimator.inputs.plans.model import BenefitPlan
from estimator.inputs.plans.predetermination import PlanAnswer
from estimator.quote.benefits.claim import ClaimLine
from estimator.quote.benefits.estimate import BenefitEstimate, YearRule, estimate_benefits, find_total


class OneYear(StrEnum):
    """The benefit year in which all lines are counted, of those they fall in."""

    FIRST = "first"
    LAST = "last"


_YEAR_RULES: dict[OneYear, YearRule] = {OneYear.FIRST: min, OneYear.LAST: max}


@dataclass(frozen=True, slots=True, kw_only=True)
class InOneYear:
    """The same lines on the same days, counted in one benefit year; `gain` is what the plan of treatment gains over it.

    A negative gain is a loss: the second deductible costs more than the second maximum brings.
    """

    which: OneYear
    estimate: BenefitEstimate
    gain: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseComparison:
    """As planned beside all in one year, one for the first and one for the last; none where it is one year anyway."""

    as_planned: BenefitEstimate
    in_one_year: tuple[InOneYear, ...]

    @property
    def straddles(self) -> bool:
        """Whether some plan counts the lines in more than one benefit year."""
        return bool(self.in_one_year)


def compare_phases(
    lines: Sequence[ClaimLine], plans: Sequence[BenefitPlan], *, currency: str, answer: PlanAnswer | None = None
) -> PhaseComparison:
    """What the plans pay as the treatment is planned, and what they would pay in one benefit year.

    An answer that is counted holds for the days the plan was told: what it would be in one year nobody has asked.
    """
    planned = estimate_benefits(lines, plans, currency=currency, answer=answer)
    if answer is not None or not any(len(years) > 1 for years in planned.years):
        return PhaseComparison(as_planned=planned, in_one_year=())
    return PhaseComparison(
        as_planned=planned,
        in_one_year=tuple(_count_in_one(which, lines, planned, currency) for which in OneYear),
    )


def _count_in_one(which: OneYear, lines: Sequence[ClaimLine], planned: BenefitEstimate, currency: str) -> InOneYear:
    made = estimate_benefits(lines, planned.plans, currency=currency, one_year=_YEAR_RULES[which])
    return InOneYear(which=which, estimate=made, gain=find_total(planned) - find_total(made))
