"""How the total spreads: compound costs added up exactly on a grid of money, without simulation."""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from estimator.estimate.upkeep.rates import Complexes, count_log_pgf

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
    """A random number of charges of one kind: mean, variance and generating function of the number, and the charge.

    `logarithmic` says that `count_pgf` gives the logarithm, because adding up is faster than one exponential each.
    """

    count_mean: float
    count_variance: float
    count_pgf: Callable[[Complexes], Complexes]
    severity: Severity
    logarithmic: bool = False

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
    """Independent random costs and a sum that falls due for certain.

    One of the `alternatives` holds as well, each with its weight: a cost whose law itself is uncertain.
    """

    parts: tuple[CompoundCost, ...]
    certain: Decimal = Decimal(0)
    alternatives: tuple[tuple[float, CompoundCost], ...] = ()

    @property
    def random_mean(self) -> float:
        """Expected sum of the random costs."""
        return math.fsum(part.mean for part in self.parts) + self._alternative_mean

    @property
    def _alternative_mean(self) -> float:
        return math.fsum(weight * part.mean for weight, part in self.alternatives)

    @property
    def mean(self) -> float:
        """Expected total."""
        return self.random_mean + float(self.certain)

    @property
    def sd(self) -> float:
        """Standard deviation of the total."""
        square = math.fsum(weight * (part.variance + part.mean**2) for weight, part in self.alternatives)
        between = max(square - self._alternative_mean**2, 0.0)
        return math.sqrt(math.fsum(part.variance for part in self.parts) + between)

    @property
    def largest(self) -> Decimal:
        """The largest single charge that can fall due."""
        parts = (*self.parts, *(part for _, part in self.alternatives))
        amounts = (amount for part in parts if part.count_mean > 0 for amount, _ in part.severity)
        return max(amounts, default=Decimal(0))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CostDistribution:
    """Chances of a total of `certain`, `certain` + `step`, `certain` + 2 `step`, …

    `given` holds the same for each alternative by itself with its weight, where the total has any.
    """

    step: Decimal
    certain: Decimal
    chances: Floats
    given: tuple[tuple[float, Floats], ...] = ()

    def find_quantile(self, chance: float) -> Decimal:
        """Return the least total that is not exceeded with at least the given chance."""
        place = int(np.searchsorted(np.cumsum(self.chances), chance - MASS_TOLERANCE))
        return self.certain + place * self.step

    def find_chance_above(self, amount: Decimal) -> float:
        """Return the chance of a total of more than an amount."""
        place = max(math.floor((amount - self.certain) / self.step) + 1, 0)
        chance = 1.0 if amount < self.certain else float(self.chances[place:].sum())
        return min(max(chance, 0.0), 1.0)

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
        return count_log_pgf(mean, shape, z)

    variance = mean + mean * mean / shape
    return CompoundCost(count_mean=mean, count_variance=variance, count_pgf=pgf, severity=severity, logarithmic=True)


def renewal_cost(at_least: Floats, severity: Severity) -> CompoundCost:
    """Return the cost of renewals from P(N >= 1), P(N >= 2), …"""
    orders = np.arange(1, at_least.size + 1)
    mean = float(at_least.sum())
    exactly = -np.diff(np.concatenate(([1.0], at_least, [0.0])))

    def pgf(z: Complexes) -> Complexes:
        value = np.full_like(z, exactly[-1])
        for chance in exactly[-2::-1]:
            value *= z
            value += chance
        return value

    variance = max(float(((2 * orders - 1) * at_least).sum()) - mean * mean, 0.0)
    return CompoundCost(count_mean=mean, count_variance=variance, count_pgf=pgf, severity=severity)


def choose_step(totals: Iterable[Total], *, spread: Decimal, quantum: Decimal, nodes: int = NODES) -> Decimal:
    """Return the grid step for all totals: the least 1, 2 or 5 × 10^k that covers the widest, never below `quantum`.

    `spread` is the distance between the first costs of the options, so that their difference fits as well.
    """
    needed = quantum
    for total in totals:
        reach = Decimal(total.random_mean + SPREADS * total.sd) + total.certain + spread
        # A charge that almost never falls due can lie far beyond 14 SD; it must still fit on the largest grid.
        needed = max(needed, reach / nodes, total.largest * 4 / MOST_NODES)
    exponent = needed.adjusted()
    return next(step for digit in (1, 2, 5, 10) if (step := Decimal(digit).scaleb(exponent)) >= needed)


def distribute_total(total: Total, step: Decimal, nodes: int = NODES) -> CostDistribution:
    """Return the distribution of a total on a grid of `nodes` points, which is doubled until nothing is cut off.

    Raises ArithmeticError where even the largest grid fails its checks.
    """
    mean_place = total.random_mean / float(step)
    while True:
        given = _add_up(total, float(step), nodes)
        chances = np.asarray(sum(weight * each for weight, each in given))
        fault = _find_fault(chances, mean_place)
        if fault is None:
            return CostDistribution(
                step=step, certain=total.certain, chances=chances, given=given if total.alternatives else ()
            )
        if nodes >= MOST_NODES:
            raise ArithmeticError(f"the upkeep distribution failed its check on a grid of {nodes} × {step}: {fault}")
        nodes *= 2


def _add_up(total: Total, step: float, nodes: int) -> tuple[tuple[float, Floats], ...]:
    """Return the chances on the grid from the product of generating functions, for each alternative by itself."""
    exponent = np.zeros(nodes // 2 + 1, dtype=np.complex128)
    product = np.ones(nodes // 2 + 1, dtype=np.complex128)
    for part in total.parts:
        if part.logarithmic:
            exponent += part.count_pgf(_transform_charge(part.severity, step, nodes))
        else:
            product *= part.count_pgf(_transform_charge(part.severity, step, nodes))
    product *= np.exp(exponent)
    if not total.alternatives:
        return ((1.0, np.fft.irfft(product, nodes)),)
    laws = ((w, part.count_pgf(_transform_charge(part.severity, step, nodes))) for w, part in total.alternatives)
    return tuple((weight, np.fft.irfft(product * law, nodes)) for weight, law in laws)


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
