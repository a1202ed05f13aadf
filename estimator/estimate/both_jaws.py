"""Two jaws: each pair of options apart and together, what is charged once a case counted once."""

from dataclasses import dataclass
from decimal import Decimal
from itertools import product

from estimator.estimate.cost.charges import CostLine, join_jaws
from estimator.estimate.result import CaseEstimate, Estimate
from estimator.inputs.fees.schedule import FeeSchedule, Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class BothJaws:
    """One option in each jaw. `shared` are lines once a case that stand in both totals, `shared_total` with their tax.

    `expected` is the first cost together with the upkeep of both jaws; upkeep is not shared, though some trips may be.
    """

    options: tuple[Estimate, Estimate]
    shared: tuple[CostLine, ...]
    shared_total: Decimal
    total: Decimal
    expected: Decimal


def list_together(estimate: CaseEstimate) -> tuple[BothJaws, ...]:
    """Each option of the first jaw with each of the second; nothing for a case of one jaw."""
    if len(estimate.jaws) < 2:
        return ()
    first, second = estimate.jaws
    schedule = estimate.practice.fees
    return tuple(add_together(a, b, schedule) for a, b in product(first.estimates, second.estimates))


def add_together(first: Estimate, second: Estimate, schedule: FeeSchedule) -> BothJaws:
    """The smaller amount of each line that both charge once a case is taken off the sum once."""
    in_second = {line.key: line for line in second.fees.lines}
    shared = tuple(
        min(line, in_second[line.key], key=lambda found: found.amount)
        for line in first.fees.lines
        if line.charged_per is Unit.CASE and line.key in in_second
    )
    total = join_jaws((first.fees, second.fees), schedule).total
    return BothJaws(
        options=(first, second),
        shared=shared,
        shared_total=first.fees.total + second.fees.total - total,
        total=total,
        expected=total + first.upkeep.expected + second.upkeep.expected,
    )
