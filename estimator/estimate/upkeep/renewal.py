"""How often something that wears out is replaced: counts, expectation and discounted expectation of renewals.

Every function takes a distribution function of the life, so any law of the life will do.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

NODES = 1024
NODES_PER_YEAR = 64
NEGLIGIBLE = 1e-11
"""Chance below which a further renewal is left out; well above the noise of the transforms."""
WRAPPED = 1e-13
"""Weight with which the renewal series wraps round the end of its transform."""
LEAST_SHAPE = 0.1

Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]
LifeCdf = Callable[[Floats], Floats]


@dataclass(frozen=True, slots=True, kw_only=True)
class FixedLife:
    """Distribution function of a life that always ends at the same age [years]; renewals know it and stay exact."""

    years: float

    def __call__(self, ages: Floats) -> Floats:
        """Return 1 from the fixed age on, 0 before."""
        return (ages >= self.years).astype(np.float64)

    def count(self, years: float) -> int:
        """Return how many lives end within `years`, one that ends on the last day included."""
        return math.floor(years / self.years + 1e-9)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RenewalExpectation:
    """Expected renewals within each whole year from the start, and their discounted number over the horizon."""

    by_year: Floats
    discounted: float


def weibull_cdf(mean: float, shape: float) -> LifeCdf:
    """Return the distribution function of a Weibull life [years]; a `FixedLife` where the shape is infinite."""
    _check_mean(mean)
    if not shape >= LEAST_SHAPE:
        raise ValueError(f"'shape' must be {LEAST_SHAPE:g} or more (got {shape:g})")
    if math.isinf(shape):
        return FixedLife(years=mean)
    scale = mean / math.gamma(1 + 1 / shape)

    def cdf(ages: Floats) -> Floats:
        logs = np.log(np.maximum(ages / scale, 1e-300))
        return -np.expm1(-np.exp(np.clip(shape * logs, -700.0, 50.0)))

    return cdf


def renewal_counts(cdf: LifeCdf, years: float, nodes: int = NODES) -> Floats:
    """Return P(N >= 1), P(N >= 2), … for the number of renewals within `years`, up to the last that matters."""
    _check_years(years)
    if isinstance(cdf, FixedLife):
        return np.ones(cdf.count(years))
    transform, damping = _transform_damped(_lattice_masses(cdf, years, nodes))
    within = np.ones(nodes + 1)
    within[-1] = 0.5
    # A sum over ages up to the horizon is, by Parseval's theorem, a sum over frequencies: one product per renewal.
    read_out = np.conj(np.fft.rfft(within / damping, 4 * nodes)) / (2 * nodes)
    read_out[[0, -1]] /= 2
    chances = [float(cdf(np.array([years]))[0])]
    power = transform * read_out
    while chances[-1] > NEGLIGIBLE:
        power = power * transform
        chances.append(float(power.real.sum()))
    return np.minimum.accumulate(np.clip(chances[:-1], 0.0, 1.0))


def renewal_counts_by_year(cdf: LifeCdf, years: int) -> tuple[Floats, ...]:
    """Return P(N >= 1), P(N >= 2), … within 1, 2, … whole years: all years from one lattice, a little coarser."""
    _check_years(years)
    if isinstance(cdf, FixedLife):
        return tuple(np.ones(cdf.count(year)) for year in range(1, years + 1))
    nodes = NODES_PER_YEAR * years
    transform, damping = _transform_damped(_lattice_masses(cdf, years, nodes))
    ends = NODES_PER_YEAR * np.arange(1, years + 1)
    chances = [cdf(np.arange(1.0, years + 1))]
    power = transform
    while chances[-1][-1] > NEGLIGIBLE:
        power = power * transform
        ended = np.fft.irfft(power, 4 * nodes)[: nodes + 1] / damping
        chances.append((np.cumsum(ended) - ended / 2)[ends])
    falling = np.minimum.accumulate(np.clip(chances, 0.0, 1.0), axis=0)
    return tuple(column[column > NEGLIGIBLE] for column in falling.T)


def expect_renewals_by_year(cdf: LifeCdf, years: int, yearly_factor: float = 1.0) -> RenewalExpectation:
    """Return the expected renewals within 1, 2, … whole years, and those of the horizon weighted by v^t."""
    if isinstance(cdf, FixedLife):
        ages = [order * cdf.years for order in range(1, cdf.count(years) + 1)]
        counts = np.array([float(cdf.count(year)) for year in range(1, years + 1)])
        return RenewalExpectation(by_year=counts, discounted=math.fsum(yearly_factor**age for age in ages))
    # The lattice step does not depend on the horizon, so a longer horizon repeats the years of a shorter one.
    curve = _renewal_curve(cdf, years, NODES_PER_YEAR * years)
    # A life far sharper than the lattice may overshoot a little; a sum over time still never falls.
    by_year = np.maximum.accumulate(curve[:: NODES_PER_YEAR // 2])[1:]
    return RenewalExpectation(by_year=by_year, discounted=_discount(curve, years, yearly_factor))


def _discount(curve: Floats, years: int, yearly_factor: float) -> float:
    """Return ∫ v^t dM by parts, v^T M(T) − ln v ∫ v^t M dt with Simpson's rule: M(T) itself where v = 1."""
    if yearly_factor == 1:
        return float(curve[-1])
    times = np.linspace(0.0, years, curve.size)
    weights = np.full(curve.size, 2.0)
    weights[1::2] = 4.0
    weights[[0, -1]] = 1.0
    integral = float(weights @ (curve * yearly_factor**times)) * float(times[1]) / 3
    return float(curve[-1]) * yearly_factor**years - math.log(yearly_factor) * integral


def _renewal_curve(cdf: LifeCdf, years: float, nodes: int) -> Floats:
    """Return the expected renewals at each second node of the lattice, Richardson-extrapolated."""
    fine = _renewals_on_lattice(cdf, years, nodes)[::2]
    coarse = _renewals_on_lattice(cdf, years, nodes // 2)
    return (4 * fine - coarse) / 3


def _renewals_on_lattice(cdf: LifeCdf, years: float, nodes: int) -> Floats:
    """Return the expected renewals at each node: the first exact, the further ones with half weight at the node."""
    first = _lattice_masses(cdf, years, nodes)
    transform, damping = _transform_damped(first)
    every = np.fft.irfft(transform / (1 - transform), 4 * nodes)[: nodes + 1] / damping
    further = every - first
    return cdf(np.linspace(0.0, years, nodes + 1)) + np.cumsum(further) - further / 2


def _transform_damped(masses: Floats) -> tuple[Complexes, Floats]:
    """Return the transform of masses on nodes 0 to n, over 4n places and off the unit circle, and the damping used.

    Off the circle the series of all renewals, P/(1 − P), is finite, and what wraps round the end is damped away.
    """
    nodes = masses.size - 1
    damping = WRAPPED ** (np.arange(nodes + 1) / (4 * nodes))
    return np.fft.rfft(masses * damping, 4 * nodes), damping


def _lattice_masses(cdf: LifeCdf, years: float, nodes: int) -> Floats:
    """Return the chance that a life ends nearest to each node of the lattice from 0 to `years`."""
    edges = np.maximum(np.arange(-0.5, nodes + 1), 0.0) * (years / nodes)
    masses = np.diff(cdf(edges))
    if masses[0] > 0.5:
        raise ValueError(f"a life must mostly be longer than {edges[1]:.3g} years for a horizon of {years:g} years")
    return masses


def _check_mean(mean: float) -> None:
    if not (math.isfinite(mean) and mean > 0):
        raise ValueError(f"'mean' must be above 0 (got {mean:g})")


def _check_years(years: float) -> None:
    if not (math.isfinite(years) and years > 0):
        raise ValueError(f"'years' must be above 0 (got {years:g})")
