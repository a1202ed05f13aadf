"""Two options side by side, for two people alike, one with each: which costs more, and from which year on."""

import math
from collections.abc import Sequence
from decimal import Decimal
from itertools import accumulate

import numpy as np

from estimator.estimate.upkeep.distribution import CostDistribution, Floats


def find_chance_of_more(first: CostDistribution, second: CostDistribution, *, ahead: Decimal, shared: bool) -> float:
    """Return the chance that the first total, `ahead` by so much in first cost, exceeds the second; ties count half.

    With `shared` the alternatives of both go together one by one; all else is independent. Raises ValueError where
    the two stand on different grids.
    """
    if first.step != second.step:
        raise ValueError(f"'first' and 'second' must share one step (got {first.step} and {second.step})")
    # The first costs more where its place on the grid lies more than this many steps above the place of the second.
    steps = (second.certain - first.certain - ahead) / first.step
    if not shared:
        return _compare_laws(first.chances, second.chances, steps)
    if [weight for weight, _ in first.given] != [weight for weight, _ in second.given]:
        raise ValueError("'shared' must be False where the two have different alternatives")
    together = zip(first.given, second.given, strict=True)
    return math.fsum(weight * _compare_laws(law, other, steps) for (weight, law), (_, other) in together)


def _compare_laws(first: Floats, second: Floats, steps: Decimal) -> float:
    """Return P(first − second > steps), and half of P(first − second = steps), of two laws of places on one grid."""
    at_least = np.append(np.cumsum(first[::-1])[::-1], 0.0)
    at_least[0] = 1.0
    below = math.floor(steps)
    places = np.arange(second.size) + below
    chance = float(second @ at_least[np.clip(places + 1, 0, first.size)])
    if steps == below:
        met = (places >= 0) & (places < first.size)
        chance += float(second[met] @ first[places[met]]) / 2
    return min(max(chance, 0.0), 1.0)


def find_crossing_year(
    first_costs: tuple[Decimal, Decimal], first: Sequence[Decimal], second: Sequence[Decimal]
) -> int | None:
    """Return the first year by the end of which the expected costs so far of two options have met.

    `first` and `second` are upkeep by year. 0 where the first costs are equal, None where they do not meet in time.
    """
    first_cost, second_cost = first_costs
    apart = [
        a - b
        for a, b in zip(accumulate(first, initial=first_cost), accumulate(second, initial=second_cost), strict=True)
    ]
    return next((year for year, gap in enumerate(apart) if gap * apart[0] <= 0), None)
