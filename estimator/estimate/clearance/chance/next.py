"""The next best measurement: what a further reading would move, and how likely that changes what is said of a jaw.

A quantity with variance v in the margin, read once more with a standard deviation e and averaged by weight, moves the
margin by N(0, g²), g² = v² / (v + e²), and leaves g² less variance behind.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from estimator.estimate.clearance.chance.jaw import Floats, JawMargins, chance_after_shifts, find_normal_chance
from estimator.inputs.reference.layers import LayerState

_REACH = 8.0
_POINTS, _ROUNDS = 9, 4
_CHUNK = 100
_NEAR = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A further reading: by how much it will move the margin of each site (standard deviation) [mm], and the jaw after.

    The margins of `after` are those of now: where they will lie is what the reading is taken for.
    """

    moves_mm: tuple[float, ...]
    after: JawMargins


@dataclass(frozen=True, slots=True, kw_only=True)
class StatesAfter:
    """Chances of what will be said of a jaw after a reading; they add up to 1."""

    room: float
    close: float
    not_enough: float

    def find_change(self, now: LayerState) -> float:
        """Chance that something else is said than now."""
        said = {LayerState.ROOM: self.room, LayerState.CLOSE: self.close, LayerState.NOT_ENOUGH: self.not_enough}
        return 1.0 - said[now]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingOffer:
    """A measurement that could be taken next, the chance that it changes what is said, and its minutes."""

    quantity: str
    site: str | None
    chance: float
    minutes: int


def read_site_again(jaw: JawMargins, site: int, *, variance_mm2: float, new_sd_mm: float) -> Reading:
    """A quantity of one site, read again: that variance of the site's own error is its part. [mm², mm]"""
    move = _find_move(variance_mm2, new_sd_mm)
    own = [_take_off(sd, move) if n == site else sd for n, sd in enumerate(jaw.own_sds_mm)]
    moves = tuple(move if n == site else 0.0 for n in range(len(own)))
    return Reading(moves_mm=moves, after=replace(jaw, own_sds_mm=tuple(own)))


def read_bias_again(jaw: JawMargins, *, variance_mm2: float, new_sd_mm: float) -> Reading:
    """The error of the method that all sites share, read by another: moves every site alike. [mm², mm]"""
    move = _find_move(variance_mm2, new_sd_mm)
    return Reading(
        moves_mm=(move,) * len(jaw.margins_mm), after=replace(jaw, bias_sd_mm=_take_off(jaw.bias_sd_mm, move))
    )


def settle_bite(jaw: JawMargins) -> Reading:
    """The height of the bite, settled by a trial of the teeth."""
    return Reading(moves_mm=jaw.bite_sds_mm or (0.0,) * len(jaw.margins_mm), after=replace(jaw, bite_sds_mm=()))


def settle_plane(jaw: JawMargins) -> Reading:
    """The place of the occlusal plane, settled by a trial of the teeth of both jaws."""
    return Reading(moves_mm=(jaw.plane_sd_mm,) * len(jaw.margins_mm), after=replace(jaw, plane_sd_mm=0.0))


def _find_move(variance_mm2: float, new_sd_mm: float) -> float:
    if variance_mm2 == 0 or math.isinf(new_sd_mm):
        return 0.0
    return variance_mm2 / math.sqrt(variance_mm2 + new_sd_mm**2)


def _take_off(sd_mm: float, move_mm: float) -> float:
    return math.sqrt(max(0.0, sd_mm**2 - move_mm**2))


def find_states_after(reading: Reading, least_gains_mm: Sequence[float], level: float) -> StatesAfter:
    """What will be said after one reading: exact, because both chances rise with what it gives.

    Args:
        reading: moves of one sign.
        least_gains_mm: usual stack less least stack at each site [mm].
        level: chance from which the usual parts count as having room; its mirror rules out.
    """
    gains, moves = np.array(least_gains_mm), np.array(reading.moves_mm)
    rising = moves if moves.sum() >= 0 else -moves
    ends_room = _find_crossing(reading.after, rising, np.zeros_like(gains), level)
    ends_least = _find_crossing(reading.after, rising, gains, 1 - level)
    room, not_enough = 1 - _chance_below(ends_room), _chance_below(ends_least)
    return StatesAfter(room=room, close=max(0.0, 1 - room - not_enough), not_enough=not_enough)


def _chance_below(z: float) -> float:
    return float(find_normal_chance(np.array(z)))


def _find_crossing(jaw: JawMargins, moves: Floats, gains: Floats, target: float) -> float:
    """The result, in standard deviations, from which a chance reaches a target: ever finer grids, then a line."""
    low, high, near = -_REACH, _REACH, target - _NEAR
    for _ in range(_ROUNDS):
        results = np.linspace(low, high, _POINTS)
        chances = chance_after_shifts(jaw, gains + np.outer(results, moves))
        if chances[0] >= near:
            return -math.inf if low == -_REACH else low
        if chances[-1] < near:
            return math.inf
        place = int(np.argmax(chances >= near))
        low, high = float(results[place - 1]), float(results[place])
    return float(np.interp(near, chances[place - 1 : place + 1], [low, high]))


def draw_states_after(
    readings: Sequence[Reading],
    least_gains_mm: Sequence[float],
    level: float,
    *,
    results: Floats,
) -> StatesAfter:
    """What will be said after several readings, each made of the jaw that the one before leaves, from drawn results.

    `results` are standard normal, a row a draw and a column a reading.
    """
    moves, gains, draws = np.array([reading.moves_mm for reading in readings]), np.array(least_gains_mm), len(results)
    shifts = results @ moves
    after = readings[-1].after
    usual, least = (
        np.concatenate([chance_after_shifts(after, part) for part in np.split(s, range(_CHUNK, draws, _CHUNK))])
        for s in (shifts, shifts + gains)
    )
    has_room = usual >= level - _NEAR
    room, not_enough = float(has_room.mean()), float((~has_room & (least < 1 - level - _NEAR)).mean())
    return StatesAfter(room=room, close=max(0.0, 1 - room - not_enough), not_enough=not_enough)


def spread_results(draws: int, readings: int) -> Floats:
    """Standard normal results spread evenly, always the same: no draw, so that a case says the same each time.

    Steps of the powers of the root of x^(n + 1) = x + 1 fill the unit cube evenly; each then takes its normal quantile.
    """
    from statistics import NormalDist  # these few readings ask for it, and every start would wait for it

    root = 2.0
    for _ in range(60):
        root = (1 + root) ** (1 / (readings + 1))
    steps = root ** -np.arange(1.0, readings + 1)
    filled = (0.5 + np.outer(np.arange(1, draws + 1), steps)) % 1
    return np.asarray(np.frompyfunc(NormalDist().inv_cdf, 1, 1)(np.clip(filled, _NEAR, 1 - _NEAR)), dtype=float)


def rank_readings(offers: Iterable[ReadingOffer]) -> tuple[ReadingOffer, ...]:
    """The most likely to change what is said first; of those as likely to a thousandth the quicker one."""
    return tuple(sorted(offers, key=lambda offer: (-round(offer.chance, 3), offer.minutes)))
