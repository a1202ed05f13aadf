"""Chance of fit: how likely the room holds the usual stack, given the error of measuring. Floats from here on.

True margin at site i = margin_i + B + E_i. B ~ N(0, rho sd^2) is the bias of the method, shared by all sites;
E_i ~ N(0, (1 - rho) sd^2 + own_i^2) is the site's own. Ranges of parts are choices, not errors, and stay out.
"""

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

_REACH = 8.0
_NODES, _FINE_NODES = 201, 2001
_NARROW = 0.1

Floats = npt.NDArray[np.float64]
_erfc = np.frompyfunc(math.erfc, 1, 1)


def find_normal_chance(z: Floats) -> Floats:
    """The standard normal distribution function."""
    return np.asarray(_erfc(-np.asarray(z, dtype=float) / math.sqrt(2.0)), dtype=float) / 2.0


def chance_at_site(margin_mm: float, sd_mm: float) -> float:
    """Chance that the true margin is 0 or more; without error it is 0 or 1, and equality fits."""
    if sd_mm == 0:
        return float(margin_mm >= 0)
    return float(find_normal_chance(np.array(margin_mm / sd_mm)))


def chance_in_jaw(
    margins_mm: Sequence[float], *, sd_mm: float, own_sds_mm: Sequence[float], correlation: float
) -> float:
    """Chance that every site holds the usual stack.

    Args:
        margins_mm: room minus usual stack at each site [mm].
        sd_mm: standard deviation of the measuring method [mm].
        own_sds_mm: further standard deviation of each site (tissue, depth of placement) [mm].
        correlation: share of the method's variance that all sites have in common, 0 to 1.

    The integral over the shared bias by the trapezoid rule on -8 to 8.
    """
    margins, own = np.asarray(margins_mm, dtype=float), np.asarray(own_sds_mm, dtype=float)
    shared = sd_mm * math.sqrt(correlation)
    sds = np.sqrt((1.0 - correlation) * sd_mm**2 + own**2)
    if shared == 0:
        return math.prod(chance_at_site(m, s) for m, s in zip(margins, sds, strict=True))
    nodes = _FINE_NODES if float(sds.min()) < _NARROW * shared else _NODES
    bias = np.linspace(-_REACH, _REACH, nodes)
    density = np.exp(-(bias**2) / 2.0) / math.sqrt(2.0 * math.pi)
    held = np.ones(nodes)
    for margin, sd in zip(margins, sds, strict=True):
        true = margin + shared * bias
        if sd > 0:
            held = held * find_normal_chance(true / sd)
    if not np.any(sds == 0):
        return min(1.0, float(np.trapezoid(density * held, bias)))
    return _integrate_above(margins, sds, shared, bias, density * held)


def _integrate_above(margins: Floats, sds: Floats, shared: float, bias: Floats, weight: Floats) -> float:
    """Sites without error of their own hold exactly where the bias is above the worst of them."""
    least = float(-margins[sds == 0].min() / shared)
    if np.all(sds == 0):
        return 1.0 - chance_at_site(least, 1.0)
    if least >= _REACH:
        return 0.0
    inside = bias > least
    at_least = float(np.interp(least, bias, weight))
    points = np.concatenate(([max(least, -_REACH)], bias[inside]))
    values = np.concatenate(([at_least], weight[inside]))
    return min(1.0, float(np.trapezoid(values, points)))


def draw_chance(
    margins_mm: Sequence[float],
    *,
    sd_mm: float,
    own_sds_mm: Sequence[float],
    correlation: float,
    draws: int,
    generator: np.random.Generator,
) -> tuple[float, float]:
    """The same chance by drawing that many jaws, and its standard error: a check that shares no code with the sum."""
    bias = generator.standard_normal(draws) * sd_mm * math.sqrt(correlation)
    held = np.ones(draws, dtype=bool)
    for margin, own in zip(margins_mm, own_sds_mm, strict=True):
        spread = math.sqrt((1.0 - correlation) * sd_mm**2 + own**2)
        held &= margin + bias + generator.standard_normal(draws) * spread >= 0
    share = float(held.mean())
    return share, math.sqrt(share * (1.0 - share) / draws)
