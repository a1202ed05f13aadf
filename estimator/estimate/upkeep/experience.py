"""What a practice has counted itself moves the published rates, the more the more it has counted."""

import math
from dataclasses import dataclass

from estimator.estimate.upkeep.rates import TENTH_TO_NINETIETH, Rate, shared_shape


@dataclass(frozen=True, slots=True, kw_only=True)
class Multiplier:
    """Gamma law of how far a rate lies from its published value: shape, and rate (the two are equal when published)."""

    shape: float
    rate: float

    @property
    def mean(self) -> float:
        """Its expectation."""
        return self.shape / self.rate if math.isfinite(self.shape) else 1.0

    def learn(self, *, events: int, expected: float) -> "Multiplier":
        """The law after `events` were seen where the published rates made `expected` likely."""
        return Multiplier(shape=self.shape + events, rate=self.rate + expected)

    def weigh(self, expected: float) -> float:
        """The weight, from 0 to 1, of own data in which the published rates made `expected` events likely."""
        return expected / (self.rate + expected) if expected else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CountedEvents:
    """Events seen in a number of unit-years of one period."""

    events: int
    unit_years: float

    def __post_init__(self) -> None:
        if self.events < 0:
            raise ValueError(f"'events' must be 0 or more (got {self.events})")
        if not (math.isfinite(self.unit_years) and self.unit_years >= 0):
            raise ValueError(f"'unit_years' must be 0 or more (got {self.unit_years:g})")
        if self.events and not self.unit_years:
            raise ValueError(f"'unit_years' must be above 0 where there are events (got {self.events} events)")

    @property
    def rate(self) -> float | None:
        """Events per unit-year as counted; None where nothing was at risk."""
        return self.events / self.unit_years if self.unit_years else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Blend:
    """The rates of both periods after own data, and the weight that these have."""

    first_year: Rate
    later: Rate
    own_weight: float


def blend_rates(first_year: Rate, later: Rate, own_first_year: CountedEvents, own_later: CountedEvents) -> Blend:
    """Return the rates that published ones and own counts make together.

    Both periods share one multiplier, Gamma(a, a) as published. After k₁, k₂ events in E₁, E₂ unit-years its shape is
    a + k₁ + k₂ and its mean that over a + m₁E₁ + m₂E₂, which is the published rate and the own one by their weights.
    """
    shape = shared_shape(first_year, later)
    expected = first_year.value * own_first_year.unit_years + later.value * own_later.unit_years
    prior = Multiplier(shape=shape, rate=shape)
    known = prior.learn(events=own_first_year.events + own_later.events, expected=expected)
    return Blend(
        first_year=spread_rate(first_year.value * known.mean, known.shape),
        later=spread_rate(later.value * known.mean, known.shape),
        own_weight=prior.weigh(expected),
    )


def spread_rate(value: float, shape: float) -> Rate:
    """Return the rate of that central value whose 10 and 90 % points lie as far apart as the gamma shape asks for.

    The inverse of `gamma_shape`: the variance of the logarithm is 1/a + 1/(2 a²).
    """
    if math.isinf(shape) or not value:
        return Rate(low=value, value=value, high=value)
    away = math.exp(TENTH_TO_NINETIETH / 2 * math.sqrt(1 / shape + 1 / (2 * shape * shape)))
    return Rate(low=value / away, value=value, high=value * away)
