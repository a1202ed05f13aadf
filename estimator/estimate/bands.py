"""The cost so far, year by year: first cost, expectation, and the range that 8 chances in 10 lie in."""

from dataclasses import dataclass
from decimal import Decimal
from itertools import accumulate

from estimator.base.money import round_money
from estimator.estimate.look_ahead import plan_upkeep
from estimator.estimate.result import CaseEstimate, JawEstimate
from estimator.estimate.upkeep.distribution import choose_step, distribute_total
from estimator.estimate.upkeep.years import build_total


@dataclass(frozen=True, slots=True, kw_only=True)
class YearBand:
    """Cost up to the end of a year, first cost included."""

    year: int
    low: Decimal
    expected: Decimal
    high: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class CostSoFar:
    """One option's cost from the day of delivery (year 0) to the end of each year."""

    key: str
    name: str
    first_cost: Decimal
    years: tuple[YearBand, ...]


def list_costs_so_far(estimate: CaseEstimate, jaw: JawEstimate) -> tuple[CostSoFar, ...]:
    """The cost so far of every option that applies in a jaw."""
    options = {option.key: option for option in estimate.practice.options}
    fees = estimate.practice.fees
    found = []
    for made in jaw.estimates:
        plan = plan_upkeep(jaw.jaw, options[made.key], fees)
        totals = [build_total(plan, year) for year in range(1, estimate.years + 1)]
        step = choose_step(totals[-1:], spread=Decimal(0), quantum=fees.quantum)
        laws = [distribute_total(total, step) for total in totals]
        first = made.fees.total
        expected = accumulate(made.upkeep.by_year, initial=first)
        next(expected)
        bands = tuple(
            YearBand(
                year=year,
                low=first + round_money(law.find_quantile(0.1), fees.quantum),
                expected=so_far,
                high=first + round_money(law.find_quantile(0.9), fees.quantum),
            )
            for year, (law, so_far) in enumerate(zip(laws, expected, strict=True), 1)
        )
        found.append(CostSoFar(key=made.key, name=made.name, first_cost=first, years=bands))
    return tuple(found)
