"""New bars: those that break, and those that an implant lost under them takes along, because a bar fits all of its own.

An implant lost means a new bar with a set share. Two implants lost at once count as two bars.
"""

import math
from dataclasses import dataclass

from estimator.estimate.upkeep.distribution import Severity
from estimator.estimate.upkeep.rates import Rate, mean_count, shared_shape


@dataclass(frozen=True, slots=True, kw_only=True)
class NewBars:
    """How many new bars are expected, and the chance of one or more."""

    expected: float
    chance: float


def expect_new_bars(
    years: float,
    *,
    implants: int,
    lost: tuple[Rate, Rate],
    broken: tuple[Rate, Rate],
    share: float,
) -> NewBars:
    """New bars over so many years.

    Args:
        years: years of use.
        implants: implants under the bar.
        lost: implants lost, first year and later [1 per implant and year].
        broken: bars that break, first year and later [1 per bar and year].
        share: losses after which the bar is made anew, 0 to 1.
    """
    if not 0 <= share <= 1:
        raise ValueError(f"'share' must be from 0 to 1 (got {share:g})")
    taken, breaks = share * mean_count(implants, *lost, years), mean_count(1, *broken, years)
    none = _chance_of_none(taken, shared_shape(*lost)) * _chance_of_none(breaks, shared_shape(*broken))
    return NewBars(expected=taken + breaks, chance=1 - none)


def chance_of_loss(years: float, *, implants: int, lost: tuple[Rate, Rate]) -> float:
    """Chance that at least one implant is lost over so many years: that a reserve is needed."""
    return 1 - _chance_of_none(mean_count(implants, *lost, years), shared_shape(*lost))


def _chance_of_none(mean: float, shape: float) -> float:
    """Chance of no event where their number is gamma-Poisson, or Poisson where the shape is infinite."""
    return math.exp(-mean) if math.isinf(shape) else math.exp(-shape * math.log1p(mean / shape))


def add_sometimes(charge: Severity, further: Severity, share: float) -> Severity:
    """What an event costs that brings a further charge with that share of its times: a bar with a lost implant."""
    alone = tuple((amount, weight * (1 - share)) for amount, weight in charge)
    both = tuple((a + b, v * w * share) for a, v in charge for b, w in further)
    return tuple((amount, weight) for amount, weight in (*alone, *both) if weight > 0)
