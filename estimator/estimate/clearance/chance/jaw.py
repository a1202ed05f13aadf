"""Chance of fit: how likely the room holds the stack, given the errors of what was measured. Floats from here on.

True margin at site i = margin_i + B + V_i + Q + E_i: B is the bias of the method, shared by the sites of a jaw; V the
height of the bite, which the jaw takes by its levers; Q the place of the occlusal plane, which gives one jaw what it
takes from the other; E_i is the site's own. All are normal. Ranges of parts are choices, not errors, and stay out.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import numpy.typing as npt

_REACH = 6.5
_COARSEST, _FINER, _FINEST = 0.4, 0.02, 0.008

Floats = npt.NDArray[np.float64]
_erfc = np.frompyfunc(math.erfc, 1, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class JawMargins:
    """The sites of one jaw: room minus stack at each, and the standard deviations of what may be wrong with it. [mm]

    `bias_sd_mm` belongs to the measuring of this jaw. `bite_sds_mm` is what the height of the bite does at each site,
    empty where it is settled. `plane_sd_mm` is that of the occlusal plane: 0 where it is settled, negative in the jaw
    that loses what the other one gains.
    """

    margins_mm: tuple[float, ...]
    own_sds_mm: tuple[float, ...]
    bias_sd_mm: float = 0.0
    bite_sds_mm: tuple[float, ...] = ()
    plane_sd_mm: float = 0.0


def find_normal_chance(z: Floats) -> Floats:
    """The standard normal distribution function."""
    return np.asarray(_erfc(-np.asarray(z, dtype=float) / math.sqrt(2.0)), dtype=float) / 2.0


def chance_at_site(margin_mm: float, sd_mm: float) -> float:
    """Chance that the true margin is 0 or more; without error it is 0 or 1, and equality fits."""
    if sd_mm == 0:
        return float(margin_mm >= 0)
    return float(find_normal_chance(np.array(margin_mm / sd_mm)))


def find_bite_lever(depth_mm: float, *, share: float, hinge_distance_mm: float) -> float:
    """How much of an error in the height of the bite a site takes, that far behind the incisal point.

    The jaw turns about its hinge; `share` is what this jaw takes of the error, the other jaw taking the rest.
    """
    return share * max(0.0, (hinge_distance_mm - depth_mm) / hinge_distance_mm)


def share_method_error(
    margins_mm: Sequence[float], *, sd_mm: float, own_sds_mm: Sequence[float], correlation: float
) -> JawMargins:
    """The margins of a jaw, the error of its method split into what sites share and what each has alone.

    Args:
        margins_mm: room minus stack at each site [mm].
        sd_mm: standard deviation of the measuring method [mm].
        own_sds_mm: further standard deviation of each site (tissue, depth of placement) [mm].
        correlation: share of the method's variance that all sites have in common, 0 to 1.
    """
    return JawMargins(
        margins_mm=tuple(margins_mm),
        own_sds_mm=tuple(math.hypot(sd_mm * math.sqrt(1.0 - correlation), own) for own in own_sds_mm),
        bias_sd_mm=sd_mm * math.sqrt(correlation),
    )


def chance_in_jaws(*jaws: JawMargins) -> float:
    """Chance that every site of one jaw, or of two, holds its stack.

    Two jaws share the height of the bite and the occlusal plane, and are independent once both are given. A jaw without
    any error in a case of two counts to within 0.01.
    """
    if len(jaws) == 1:
        return _chance_of_one(jaws[0])
    bite, bite_weights = _space_errors(_find_width(jaws, [max(jaw.bite_sds_mm, default=0.0) for jaw in jaws]))
    plane, weights = _space_errors(_find_width(jaws, [abs(jaw.plane_sd_mm) for jaw in jaws]))
    both = np.outer(bite_weights, weights)
    for jaw in jaws:
        margins = _shift(jaw, bite)[:, None, :] + (jaw.plane_sd_mm * plane)[None, :, None]
        both = both * _hold_all(margins, np.array(jaw.own_sds_mm), np.full(len(jaw.margins_mm), jaw.bias_sd_mm))
    return min(1.0, float(both.sum()))


def _chance_of_one(jaw: JawMargins) -> float:
    return float(chance_after_shifts(jaw, np.zeros((1, len(jaw.margins_mm))))[0])


def chance_after_shifts(jaw: JawMargins, shifts_mm: Floats) -> Floats:
    """Chances that every site of one jaw holds its stack, for each row of shifts of its margins. [mm]

    Bias and plane add up to one error that all sites share; where there is none, that of the bite stands for it.
    """
    own, shared = np.array(jaw.own_sds_mm), math.hypot(jaw.bias_sd_mm, jaw.plane_sd_mm)
    if shared == 0 and jaw.bite_sds_mm:
        return _hold_all(np.array(jaw.margins_mm) + shifts_mm, own, np.array(jaw.bite_sds_mm)).clip(max=1.0)
    merged = replace(jaw, bias_sd_mm=shared)
    bite, weights = _space_errors(_find_width([merged], [max(jaw.bite_sds_mm, default=0.0)]))
    margins = _shift(jaw, bite) + shifts_mm[:, None, :]
    return np.asarray(_hold_all(margins, own, np.full(len(own), shared)) @ weights).clip(max=1.0)


def _shift(jaw: JawMargins, bite: Floats) -> Floats:
    """Margins of the sites at each height of the bite: one row a height."""
    margins = np.array(jaw.margins_mm)
    return margins + np.outer(bite, np.array(jaw.bite_sds_mm or np.zeros_like(margins)))


def _find_width(jaws: Sequence[JawMargins], loads: Sequence[float]) -> float:
    """How steeply the chance may rise with a shared error of those loads, in standard deviations; 0: without it."""
    widths = [
        math.hypot(min(jaw.own_sds_mm), jaw.bias_sd_mm) / load for jaw, load in zip(jaws, loads, strict=True) if load
    ]
    return max(_FINER, min([_COARSEST, *widths])) if widths else 0.0


def _space_errors(width: float) -> tuple[Floats, Floats]:
    """Nodes of a standard normal error and their weights, by the trapezoid rule; the one node 0 without a width."""
    if not width:
        return np.zeros(1), np.ones(1)
    nodes = np.linspace(-_REACH, _REACH, 2 * math.ceil(_REACH / width) + 1)
    weights = _find_density(nodes)
    return nodes, weights / weights.sum()


def _hold_all(margins: Floats, own: Floats, shared: Floats) -> Floats:
    """Chance that all sites hold, for each row of margins, the last axis, given what all share with those loads.

    Sites without an error of their own hold exactly where the shared one is above the worst of them.
    """
    exact, loaded = own == 0, shared > 0
    certain = np.all(margins[..., exact & ~loaded] >= 0, axis=-1).astype(float)
    sites = np.flatnonzero(~exact)
    if not loaded.any():
        return np.asarray(certain * np.prod(_look_up_normal(margins[..., sites] / own[sites]), axis=-1))
    stepped = exact & loaded
    least = np.max(-margins[..., stepped] / shared[stepped], axis=-1, initial=-_REACH).clip(max=_REACH)[..., None]
    steps, weights = _space_shared(_find_step(own[sites], shared[sites]), ended=bool(stepped.any()))
    error = least + (_REACH - least) * steps
    held = _find_density(error) * weights * (_REACH - least)
    for site in sites:
        held = held * _look_up_normal((margins[..., site, None] + shared[site] * error) / own[site])
    return np.asarray(certain * held.sum(axis=-1))


def _find_step(own: Floats, shared: Floats) -> float:
    widths = own[shared > 0] / shared[shared > 0]
    return float(max(_FINEST, widths.min(initial=_COARSEST)))


@cache
def _space_shared(step: float, *, ended: bool) -> tuple[Floats, Floats]:
    """Nodes from 0 to 1 and their weights: the trapezoid rule, or Simpson's where the way has an end inside the law."""
    half = math.ceil(_REACH / step) * (2 if ended else 1)
    weights = np.full(2 * half + 1, 1.0)
    if ended:
        weights[1::2], weights[2:-1:2] = 4.0 / 3.0, 2.0 / 3.0
    weights[[0, -1]] = 1.0 / 3.0 if ended else 0.5
    return np.linspace(0.0, 1.0, 2 * half + 1), weights / (2 * half)


def _find_density(z: Floats) -> Floats:
    return np.asarray(np.exp(-(z**2) / 2.0) / math.sqrt(2.0 * math.pi))


_TABLE_REACH, _TABLE_STEPS = 8.5, 2048
_FEW = 2000


@cache
def _tabulate_normal() -> tuple[Floats, Floats]:
    count = round(2 * _TABLE_REACH * _TABLE_STEPS)
    values = find_normal_chance(np.linspace(-_TABLE_REACH, _TABLE_REACH, count + 1))
    return values[:-1], np.diff(values)


def _look_up_normal(z: Floats) -> Floats:
    """The normal law between the rows of a table, to within 1e-8: a jaw asks for it a hundred thousand times."""
    if z.size < _FEW:
        return find_normal_chance(z)
    values, rises = _tabulate_normal()
    place = ((z + _TABLE_REACH) * _TABLE_STEPS).clip(0, len(values) - 1)
    row = place.astype(np.intp)
    return np.asarray(values[row] + rises[row] * (place - row))


def draw_chance(jaw: JawMargins, *, draws: int, generator: np.random.Generator) -> tuple[float, float]:
    """The chance of one jaw by drawing that many, and its standard error: a check that shares no code with the sum."""
    bias, bite, plane = (generator.standard_normal(draws) for _ in range(3))
    shared = bias * jaw.bias_sd_mm + plane * jaw.plane_sd_mm
    held = np.ones(draws, dtype=bool)
    for margin, own, lever in zip(
        jaw.margins_mm, jaw.own_sds_mm, jaw.bite_sds_mm or (0.0,) * len(jaw.margins_mm), strict=True
    ):
        held &= margin + shared + bite * lever + generator.standard_normal(draws) * own >= 0
    share = float(held.mean())
    return share, math.sqrt(share * (1.0 - share) / draws)
