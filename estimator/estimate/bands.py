"""The cost so far, year by year: first cost, expectation, and the range that 8 chances in 10 lie in."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from itertools import accumulate

from estimator.base.money import round_money
from estimator.estimate.look_ahead import plan_upkeep
from estimator.estimate.result import CaseEstimate, JawEstimate
from estimator.estimate.upkeep.distribution import choose_step, distribute_total
from estimator.estimate.upkeep.plan import UpkeepPlan
from estimator.estimate.upkeep.years import build_total

NODES = 4096
"""Points of the money grid of a year: half of those of an estimate, because there are so many years."""


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


def list_costs_so_far(
    estimate: CaseEstimate, jaw: JawEstimate, *, first_costs: Mapping[str, Decimal] | None = None
) -> tuple[CostSoFar, ...]:
    """The cost so far of every option that applies in a jaw; the last year has the range of the estimate itself.

    It begins with `first_costs` by option, where they are given, else with the list price.
    """
    charged = first_costs or {made.key: made.fees.total for made in jaw.estimates}
    options = {option.key: option for option in estimate.practice.options}
    fees = estimate.practice.fees
    found = []
    for made in jaw.estimates:
        plan, first, ahead = plan_upkeep(jaw.jaw, options[made.key], fees), charged[made.key], made.upkeep
        expected = accumulate(ahead.by_year, initial=first)
        next(expected)
        ranges = [_find_range(plan, year, fees.quantum) for year in range(1, estimate.years)] + [(ahead.p10, ahead.p90)]
        bands = tuple(
            YearBand(year=year, low=first + low, expected=so_far, high=first + high)
            for year, ((low, high), so_far) in enumerate(zip(ranges, expected, strict=True), 1)
        )
        found.append(CostSoFar(key=made.key, name=made.name, first_cost=first, years=bands))
    return tuple(found)


@lru_cache(maxsize=1024)
def _find_range(plan: UpkeepPlan, year: int, quantum: Decimal) -> tuple[Decimal, Decimal]:
    """10 and 90 % points of the upkeep of a plan up to a year. A plan holds fees and numbers, nothing of a patient.

    The grid does not depend on how far somebody looks ahead, so a longer horizon finds these years done.
    """
    total = build_total(plan, year, one_of_many=True)
    step = choose_step((total,), spread=Decimal(0), quantum=quantum, nodes=NODES)
    law = distribute_total(total, step, NODES)
    low, high = law.find_quantile(0.1), law.find_quantile(0.9)
    return round_money(low, quantum), round_money(high, quantum)
