"""What one option needs after delivery: events with their rates, the life of the denture, recalls."""

import math
from dataclasses import dataclass
from decimal import Decimal

from estimator.estimate.upkeep.distribution import POINT_WEIGHTS, Severity, check_severity
from estimator.estimate.upkeep.rates import Rate, check_points

LONGEST_YEARS = 30
SHORTEST_LIFE_YEARS = 1.0
LIFE_SHAPES = (0.5, 50.0)
"""Lives sharper than this, but not fixed, would fall between the nodes of the renewal lattice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UpkeepEvent:
    """Something that happens now and then: how many units it can happen to, how often, and what it costs."""

    key: str
    label: str
    units: int
    first_year: Rate
    later: Rate
    severity: Severity

    def __post_init__(self) -> None:
        if self.units < 0:
            raise ValueError(f"'units' must be 0 or more (got {self.units})")
        check_severity(self.severity)


@dataclass(frozen=True, slots=True, kw_only=True)
class MeanLife:
    """How long a denture lasts on average: low, central and high assumption [years], 1 or more.

    `figure` and `name` are those of the row it comes from, empty where it has none.
    """

    low: float
    value: float
    high: float
    figure: str = ""
    name: str = ""

    def __post_init__(self) -> None:
        check_points(self.low, self.value, self.high)
        if self.low < SHORTEST_LIFE_YEARS:
            raise ValueError(f"'low' must be {SHORTEST_LIFE_YEARS:g} year or more (got {self.low:g})")

    @property
    def weighted(self) -> tuple[tuple[float, float], ...]:
        """The points it is mixed from, each with its weight."""
        if self.low == self.high:
            return ((self.value, 1.0),)
        return tuple(zip((self.low, self.value, self.high), POINT_WEIGHTS, strict=True))


@dataclass(frozen=True, slots=True, kw_only=True)
class Settling:
    """Visits that a new denture brings once more: how many (a first-year rate), and what one costs.

    A lifetime's severity already holds the central number of them.
    """

    number: Rate
    severity: Severity


@dataclass(frozen=True, slots=True, kw_only=True)
class Lifetime:
    """How long a denture lasts and what a new one costs; Weibull shape from 0.5 to 50, infinite where fixed."""

    mean_years: MeanLife
    shape: float
    severity: Severity
    label: str = "Denture remade"
    settling: Settling | None = None

    def __post_init__(self) -> None:
        low, high = LIFE_SHAPES
        if not (low <= self.shape <= high or self.shape == math.inf):
            raise ValueError(f"'shape' must be from {low:g} to {high:g}, or infinite (got {self.shape:g})")
        check_severity(self.severity)


@dataclass(frozen=True, slots=True, kw_only=True)
class UpkeepPlan:
    """All that one treatment option needs after it is delivered."""

    events: tuple[UpkeepEvent, ...]
    lifetime: Lifetime | None
    recall_fee: Decimal
    recall_label: str = "Recall"


def shares_life(first: UpkeepPlan, second: UpkeepPlan) -> bool:
    """Whether the mean lives of two options are one and the same row, so that its low, middle and high go together."""
    if first.lifetime is None or second.lifetime is None:
        return False
    row = first.lifetime.mean_years
    return bool(row.figure) and row == second.lifetime.mean_years


def check_years(years: int) -> None:
    """Raise ValueError unless the look ahead is from 1 to 30 whole years."""
    if not 1 <= years <= LONGEST_YEARS:
        raise ValueError(f"'years' must be from 1 to {LONGEST_YEARS} (got {years})")
