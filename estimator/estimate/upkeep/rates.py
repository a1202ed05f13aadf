"""How often something happens: a rate with its range, and the law of the count that follows from it."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

TENTH_TO_NINETIETH = 2.5631
"""Standard normal distance from the 10 % to the 90 % point."""
WILSON_HILFERTY_SHAPE = 1e4
"""From this shape on the cube-root normal approximation is closer than 1e-6 and the series would be slow."""

Complexes = NDArray[np.complex128]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """Events per unit-year: the central value between its 10 % and 90 % points [1/year].

    `figure` and `name` are those of the row it comes from, empty where it has none.
    """

    low: float
    value: float
    high: float
    figure: str = ""
    name: str = ""

    def __post_init__(self) -> None:
        check_points(self.low, self.value, self.high)
        if self.low == 0 < self.high:
            raise ValueError(f"'low' must be above 0 where 'high' is (got 0 with 'high' {self.high:g})")


def check_points(low: float, value: float, high: float) -> None:
    """Raise ValueError unless three points are finite, not negative and in rising order."""
    for name, point in (("low", low), ("value", value), ("high", high)):
        if not (math.isfinite(point) and point >= 0):
            raise ValueError(f"'{name}' must be a finite number of 0 or more (got {point:g})")
    if not low <= value <= high:
        raise ValueError(f"'value' must be from 'low' {low:g} to 'high' {high:g} (got {value:g})")


def gamma_shape(rate: Rate) -> float:
    """Return the gamma shape whose 10 % and 90 % points are as far apart as the rate's; infinite if they coincide.

    Matches the variance of the logarithm, 1/a + 1/(2 a²).
    """
    if rate.low == rate.high:
        return math.inf
    log_sd = math.log(rate.high / rate.low) / TENTH_TO_NINETIETH
    double_square = 2 * log_sd * log_sd
    return (1 + math.sqrt(1 + double_square)) / double_square if double_square > 0 else math.inf


def shared_shape(first_year: Rate, later: Rate) -> float:
    """Return the smaller gamma shape of two periods, which share one multiplier."""
    return min(gamma_shape(first_year), gamma_shape(later))


def mean_count(units: int, first_year: Rate, later: Rate, years: float) -> float:
    """Return the expected number of events of `units` units over `years` [years]."""
    return units * (first_year.value * min(years, 1.0) + later.value * max(years - 1.0, 0.0))


def count_pgf(mean: float, shape: float, z: Complexes) -> Complexes:
    """Return E z^N of a gamma-Poisson count, or of a Poisson count where the shape is infinite; |z| at most 1."""
    return np.exp(count_log_pgf(mean, shape, z))


def count_log_pgf(mean: float, shape: float, z: Complexes) -> Complexes:
    """Return ln E z^N; logarithms of independent counts add up."""
    if math.isinf(shape):
        return np.asarray(mean * (z - 1))
    # The logarithm of 1 + mean (1 − z)/shape is taken apart because NumPy's complex log1p loses the small ratios of a
    # large shape; real arithmetic is also faster. Its real part is 1 or more, so a plain arctan finds the angle.
    real, imag = mean / shape * (1 - z.real), mean / shape * z.imag
    exponent = np.empty(z.shape, dtype=np.complex128)
    exponent.real = -shape / 2 * np.log1p(real * (2 + real) + imag * imag)
    exponent.imag = shape * np.arctan(imag / (1 + real))
    return exponent


def implied_range(value: float, shape: float) -> tuple[float, float]:
    """Return the 10 % and 90 % points of a rate whose mean is `value` and whose gamma shape is `shape`."""
    if not shape > 0:
        raise ValueError(f"'shape' must be above 0 (got {shape:g})")
    if math.isinf(shape):
        return value, value
    return value * _gamma_quantile(shape, 0.1) / shape, value * _gamma_quantile(shape, 0.9) / shape


def _gamma_quantile(shape: float, chance: float) -> float:
    """Return the point a unit-scale gamma variable stays below with the given chance of 0.1 or 0.9."""
    if shape > WILSON_HILFERTY_SHAPE:
        normal = math.copysign(TENTH_TO_NINETIETH / 2, chance - 0.5)
        return shape * (1 - 1 / (9 * shape) + normal / (3 * math.sqrt(shape))) ** 3
    # x^a / Γ(a + 1) bounds the distribution function from above, so its inverse bounds the quantile from below.
    low = (math.log(chance) + math.lgamma(shape + 1)) / shape
    high = math.log(shape + 10 * math.sqrt(shape) + 10)
    for _ in range(60):
        middle = (low + high) / 2
        if _gamma_cdf(shape, middle) < chance:
            low = middle
        else:
            high = middle
    return math.exp((low + high) / 2)


def _gamma_cdf(shape: float, log_x: float) -> float:
    """Return the regularised lower incomplete gamma function by its series, whose terms are all positive."""
    x = math.exp(log_x)
    term = total = 1.0
    order = shape
    while term > 1e-17 * total:
        order += 1
        term *= x / order
        total += term
    return math.exp(shape * log_x - x - math.lgamma(shape + 1)) * total
