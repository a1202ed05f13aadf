"""How the total spreads: compound costs added up exactly on a grid of money, without simulation."""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from estimator.estimate.upkeep.rates import Complexes, count_pgf

POINT_WEIGHTS = (0.3, 0.4, 0.3)
"""Weights of the low, middle and high point of a range."""
NODES = 8192
MOST_NODES = 2**17
SPREADS = 14
"""SDs above the mean that the grid covers before it is doubled."""
MASS_TOLERANCE = 1e-9
MEAN_TOLERANCE = 1e-6

Floats = NDArray[np.float64]
Severity = tuple[tuple[Decimal, float], ...]
"""What one event costs: amounts and their weights, which add up to 1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CompoundCost:
    """A random number of charges of one kind: mean, variance and generating function of the number, and the charge."""

    count_mean: float
    count_variance: float
    count_pgf: Callable[[Complexes], Complexes]
    severity: Severity

    @property
    def mean(self) -> float:
        """Expected cost."""
        return self.count_mean * mean_amount(self.severity)

    @property
    def variance(self) -> float:
        """Variance of the cost."""
        amount = mean_amount(self.severity)
        square = math.fsum(float(point) ** 2 * weight for point, weight in self.severity)
        return self.count_mean * max(square - amount**2, 0.0) + self.count_variance * amount**2


@dataclass(frozen=True, slots=True, kw_only=True)
class Total:
    """Independent random costs and a sum that falls due for certain."""

    parts: tuple[CompoundCost, ...]
    certain: Decimal = Decimal(0)

    @property
    def random_mean(self) -> float:
        """Expected sum of the random costs."""
        return math.fsum(part.mean for part in self.parts)

    @property
    def mean(self) -> float:
        """Expected total."""
        return self.random_mean + float(self.certain)

    @property
    def sd(self) -> float:
        """Standard deviation of the total."""
        return math.sqrt(math.fsum(part.variance for part in self.parts))

    @property
    def largest(self) -> Decimal:
        """The largest single charge that can fall due."""
        amounts = (amount for part in self.parts if part.count_mean > 0 for amount, _ in part.severity)
        return max(amounts, default=Decimal(0))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CostDistribution:
    """Chances of a total of `certain`, `certain` + `step`, `certain` + 2 `step`, …"""

    step: Decimal
    certain: Decimal
    chances: Floats

    def find_quantile(self, chance: float) -> Decimal:
        """Return the least total that is not exceeded with at least the given chance."""
        place = int(np.searchsorted(np.cumsum(self.chances), chance - MASS_TOLERANCE))
        return self.certain + place * self.step

    @property
    def mean(self) -> float:
        """Expected total."""
        return float(self.certain) + _mean_place(self.chances) * float(self.step)


def severity_of(low: Decimal, high: Decimal | None = None) -> Severity:
    """Return the charge of a fixed fee, or of a from-to fee as its low, middle and high point."""
    if high is not None and high < low:
        raise ValueError(f"'high' must be 'low' {low} or more (got {high})")
    points = (
        ((low, 1.0),)
        if high is None or high == low
        else tuple(zip((low, (low + high) / 2, high), POINT_WEIGHTS, strict=True))
    )
    check_severity(points)
    return points


def check_severity(severity: Severity) -> None:
    """Raise ValueError unless amounts are finite and not negative and weights add up to 1."""
    for amount, weight in severity:
        if not (amount.is_finite() and amount >= 0):
            raise ValueError(f"a charge must be 0 or more (got {amount})")
        if not weight >= 0:
            raise ValueError(f"a weight must be 0 or more (got {weight:g})")
    total = math.fsum(weight for _, weight in severity)
    if abs(total - 1) > MASS_TOLERANCE:
        raise ValueError(f"weights of a charge must add up to 1 (got {total:g})")


def mean_amount(severity: Severity) -> float:
    """Return the expected charge."""
    return math.fsum(float(amount) * weight for amount, weight in severity)


def event_cost(mean: float, shape: float, severity: Severity) -> CompoundCost:
    """Return the cost of events whose number is gamma-Poisson, or Poisson where the shape is infinite."""

    def pgf(z: Complexes) -> Complexes:
        return count_pgf(mean, shape, z)

    return CompoundCost(count_mean=mean, count_variance=mean + mean * mean / shape, count_pgf=pgf, severity=severity)


def renewal_cost(at_least: Floats, severity: Severity) -> CompoundCost:
    """Return the cost of renewals from P(N >= 1), P(N >= 2), …"""
    orders = np.arange(1, at_least.size + 1)
    mean = float(at_least.sum())
    exactly = -np.diff(np.concatenate(([1.0], at_least, [0.0])))

    def pgf(z: Complexes) -> Complexes:
        value = np.full_like(z, exactly[-1])
        for chance in exactly[-2::-1]:
            value = value * z + chance
        return value

    variance = max(float(((2 * orders - 1) * at_least).sum()) - mean * mean, 0.0)
    return CompoundCost(count_mean=mean, count_variance=variance, count_pgf=pgf, severity=severity)


def choose_step(totals: Iterable[Total], *, spread: Decimal, quantum: Decimal) -> Decimal:
    """Return the grid step for all totals: the least 1, 2 or 5 × 10^k that covers the widest, never below `quantum`.

    `spread` is the distance between the first costs of the options, so that their difference fits as well.
    """
    needed = quantum
    for total in totals:
        reach = Decimal(total.random_mean + SPREADS * total.sd) + total.certain + spread
        # A charge that almost never falls due can lie far beyond 14 SD; it must still fit on the largest grid.
        needed = max(needed, reach / NODES, total.largest * 4 / MOST_NODES)
    exponent = needed.adjusted()
    return next(step for digit in (1, 2, 5, 10) if (step := Decimal(digit).scaleb(exponent)) >= needed)


def distribute_total(total: Total, step: Decimal) -> CostDistribution:
    """Return the distribution of a total on a grid, which is doubled until nothing is cut off.

    Raises ArithmeticError where even the largest grid fails its checks.
    """
    mean_place = total.random_mean / float(step)
    nodes = NODES
    while True:
        chances = _add_up(total.parts, float(step), nodes)
        fault = _find_fault(chances, mean_place)
        if fault is None:
            return CostDistribution(step=step, certain=total.certain, chances=chances)
        if nodes >= MOST_NODES:
            raise ArithmeticError(f"the upkeep distribution failed its check on a grid of {nodes} × {step}: {fault}")
        nodes *= 2


def _add_up(parts: tuple[CompoundCost, ...], step: float, nodes: int) -> Floats:
    """Return the chances on the grid from the product of generating functions."""
    product = np.ones(nodes // 2 + 1, dtype=np.complex128)
    for part in parts:
        product *= part.count_pgf(_transform_charge(part.severity, step, nodes))
    return np.fft.irfft(product, nodes)


@lru_cache(maxsize=128)
def _transform_charge(severity: Severity, step: float, nodes: int) -> Complexes:
    """Return the transform of a charge on the grid; the same few charges come back for every year and option."""
    transform: Complexes = np.fft.rfft(_put_on_grid(severity, step, nodes))
    transform.flags.writeable = False
    return transform


def _put_on_grid(severity: Severity, step: float, nodes: int) -> Floats:
    """Return the charge on the grid; amounts off the grid are split between neighbours, which keeps the mean.

    An amount beyond the grid wraps round, and the check of the mean then rejects the grid.
    """
    grid = np.zeros(nodes)
    for amount, weight in severity:
        below, share = divmod(float(amount) / step, 1.0)
        grid[int(below) % nodes] += weight * (1 - share)
        grid[(int(below) + 1) % nodes] += weight * share
    return grid


def _find_fault(chances: Floats, mean_place: float) -> str | None:
    """Return what is wrong with the chances on a grid, or None; places are counted in steps."""
    mass = float(chances.sum())
    if abs(mass - 1) > MASS_TOLERANCE:
        return f"the chances add up to {mass!r}"
    last = float(np.abs(chances[-(chances.size // 100) :]).sum())
    if last >= MASS_TOLERANCE:
        return f"the last 1 % of the grid still holds {last:.3g}"
    found = _mean_place(chances)
    if abs(found - mean_place) > MEAN_TOLERANCE * max(mean_place, 1.0):
        return f"the mean is {found:.9g} steps instead of {mean_place:.9g}"
    return None


def _mean_place(chances: Floats) -> float:
    return float(chances @ np.arange(chances.size))
