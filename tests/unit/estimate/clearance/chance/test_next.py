"""The next best measurement: rows found another way, the law of one site, drawn results, and what must always hold."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from estimator.estimate.clearance.chance.jaw import JawMargins, chance_after_shifts, chance_in_jaws
from estimator.estimate.clearance.chance.next import (
    Reading,
    ReadingOffer,
    StatesAfter,
    draw_states_after,
    find_states_after,
    rank_readings,
    read_bias_again,
    read_site_again,
    settle_bite,
    settle_plane,
    spread_results,
)
from estimator.estimate.clearance.layers import find_layer_state
from estimator.inputs.reference.layers import LayerState
from tests.rows import Row, read_numbers, read_rows

LEVEL = 0.80
ONE = JawMargins(margins_mm=(1.0,), own_sds_mm=(1.7464,))
TWO = JawMargins(margins_mm=(1.0, 1.5), own_sds_mm=(1.597, 1.597), bias_sd_mm=0.7071)
OPEN = replace(TWO, bite_sds_mm=(0.9, 0.8), plane_sd_mm=0.5)

margins = st.lists(st.floats(-1, 3), min_size=1, max_size=3)
gains = st.floats(0, 2)


def find_state(jaw: JawMargins, gain: list[float]) -> LayerState:
    least = replace(jaw, margins_mm=tuple(m + g for m, g in zip(jaw.margins_mm, gain, strict=True)))
    return find_layer_state(chance_in_jaws(jaw), chance_in_jaws(least), LEVEL)


def check_after(row: Row, found: StatesAfter, now: LayerState) -> None:
    close = pytest.approx
    tolerance = float(row["tolerance"])
    assert now == row["state_now"]
    assert found.room == close(float(row["chance_room_after"]), abs=tolerance)
    assert found.not_enough == close(float(row["chance_not_enough_after"]), abs=tolerance)
    assert found.find_change(now) == close(float(row["chance_of_change"]), abs=tolerance)


@pytest.mark.parametrize("row", read_rows(__file__, "arch_next.csv"), ids=lambda row: row["id"])
class TestSite:
    def _read(self, row: Row) -> tuple[JawMargins, Reading, list[float]]:
        jaw = JawMargins(margins_mm=(float(row["margin_usual_mm"]),), own_sds_mm=(float(row["sd_mm"]),))
        reading = read_site_again(
            jaw, 0, variance_mm2=float(row["variance_now_mm2"]), new_sd_mm=float(row["sd_of_new_mm"])
        )
        return jaw, reading, [float(row["usual_less_least_mm"])]

    def test_states_after_are_those_of_the_row(self, row: Row) -> None:
        jaw, reading, gain = self._read(row)
        check_after(row, find_states_after(reading, gain, LEVEL), find_state(jaw, gain))

    def test_what_stays_open_is_that_of_the_row(self, row: Row) -> None:
        _, reading, _ = self._read(row)
        assert reading.after.own_sds_mm[0] == pytest.approx(float(row["sd_after_mm"]), abs=5e-4)


@pytest.mark.parametrize("row", read_rows(__file__, "arch_next_jaw.csv"), ids=lambda row: row["id"])
class TestJaw:
    def _read(self, row: Row) -> tuple[JawMargins, Reading, list[float]]:
        loads = [tuple(read_numbers(cell)) for cell in row["shared_loadings_mm"].split(" | ") if cell]
        jaw = JawMargins(
            margins_mm=tuple(read_numbers(row["margins_usual_mm"])), own_sds_mm=tuple(read_numbers(row["own_sd_mm"])),
            bias_sd_mm=loads[0][0] if loads else 0.0, bite_sds_mm=loads[1] if len(loads) > 1 else (),
        )  # fmt: skip
        variance, new = float(row["variance_now"]), float(row["sd_of_new"])
        if row["site_number"]:
            reading = read_site_again(jaw, int(row["site_number"]) - 1, variance_mm2=variance, new_sd_mm=new)
        else:
            reading = settle_bite(jaw)
        return jaw, reading, read_numbers(row["usual_less_least_mm"])

    def test_chances_now_are_those_of_the_row(self, row: Row) -> None:
        jaw, _, gain = self._read(row)
        least = replace(jaw, margins_mm=tuple(m + g for m, g in zip(jaw.margins_mm, gain, strict=True)))
        expected = float(row["chance_usual_now"]), float(row["chance_least_now"])
        assert (chance_in_jaws(jaw), chance_in_jaws(least)) == pytest.approx(expected, abs=1e-4)

    def test_states_after_are_those_of_the_row(self, row: Row) -> None:
        jaw, reading, gain = self._read(row)
        check_after(row, find_states_after(reading, gain, LEVEL), find_state(jaw, gain))

    def test_states_after_agree_with_a_fine_grid_of_results(self, row: Row) -> None:
        _, reading, gain = self._read(row)
        found = find_states_after(reading, gain, LEVEL)
        middles = np.linspace(-7, 7, 14_001)
        weights = norm.pdf(middles) / norm.pdf(middles).sum()
        shifts = np.outer(middles, reading.moves_mm)
        usual, least = (
            np.concatenate([chance_after_shifts(reading.after, part) for part in np.array_split(s, 100)])
            for s in (shifts, shifts + gain)
        )
        assert found.room == pytest.approx(weights[usual >= LEVEL].sum(), abs=5e-4)
        assert found.not_enough == pytest.approx(weights[least < 1 - LEVEL].sum(), abs=5e-4)


@given(st.floats(-2, 4), gains, st.floats(0.1, 2), st.floats(0.05, 1), st.floats(0, 3))
def test_one_site_follows_the_law_of_one_site(margin: float, gain: float, sd: float, share: float, new: float) -> None:
    """Room after: Φ((m − z s′)/g). Not enough after: Φ((−z s′ − Δ − m)/g)."""
    variance = share * sd**2
    jaw = JawMargins(margins_mm=(margin,), own_sds_mm=(sd,))
    found = find_states_after(read_site_again(jaw, 0, variance_mm2=variance, new_sd_mm=new), [gain], LEVEL)
    moved = math.sqrt(variance**2 / (variance + new**2))
    after, z = math.sqrt(max(0.0, sd**2 - moved**2)), norm.ppf(LEVEL)
    assert found.room == pytest.approx(norm.cdf((margin - z * after) / moved), abs=1e-3)
    assert found.not_enough == pytest.approx(norm.cdf((-z * after - gain - margin) / moved), abs=1e-3)


@pytest.mark.parametrize(("variance", "new"), [(0.0, 0.25), (0.5, math.inf)])
def test_what_has_no_error_or_cannot_be_read_changes_nothing(variance: float, new: float) -> None:
    for jaw in (ONE, TWO, OPEN):
        gain = [2.0] * len(jaw.margins_mm)
        for reading in (
            read_site_again(jaw, 0, variance_mm2=variance, new_sd_mm=new),
            read_bias_again(jaw, variance_mm2=variance, new_sd_mm=new),
        ):
            assert reading.after == jaw
            found = find_states_after(reading, gain, LEVEL)
            assert found.find_change(find_state(jaw, gain)) == pytest.approx(0, abs=1e-9)


def test_a_bite_that_is_settled_is_not_settled_again() -> None:
    assert settle_bite(TWO) == Reading(moves_mm=(0.0, 0.0), after=TWO)


def list_readings(jaw: JawMargins) -> list[Reading]:
    return [
        read_site_again(jaw, 0, variance_mm2=0.5 * jaw.own_sds_mm[0] ** 2, new_sd_mm=0.25),
        read_bias_again(jaw, variance_mm2=jaw.bias_sd_mm**2, new_sd_mm=0.25),
        settle_bite(jaw),
        settle_plane(jaw),
    ]


@settings(max_examples=40)
@given(margins, st.floats(0.2, 1), st.floats(0.1, 1), st.sampled_from([0.0, 1.0]), st.integers(0, 3))
def test_the_mean_of_the_chance_after_is_the_chance_now(
    values: list[float], own: float, bias: float, bite: float, which: int
) -> None:
    """Nobody may expect to be more, or less, hopeful after measuring than before."""
    count = len(values)
    jaw = JawMargins(
        margins_mm=tuple(values), own_sds_mm=(own,) * count, bias_sd_mm=bias,
        bite_sds_mm=tuple(bite * (0.9 - 0.02 * n) for n in range(count)) if bite else (), plane_sd_mm=bite / 2,
    )  # fmt: skip
    reading = list_readings(jaw)[which]
    results = np.linspace(-7, 7, 141)
    weights = norm.pdf(results) / norm.pdf(results).sum()
    after = chance_after_shifts(reading.after, np.outer(results, reading.moves_mm))
    assert weights @ after == pytest.approx(chance_in_jaws(jaw), abs=1e-4)


@pytest.mark.parametrize("place", range(4))
def test_states_after_one_reading_agree_with_drawn_results(place: int) -> None:
    reading, gain = list_readings(OPEN)[place], [2.0, 2.0]
    drawn = draw_states_after([reading], gain, LEVEL, results=np.random.default_rng(3).standard_normal((1500, 1)))
    found = find_states_after(reading, gain, LEVEL)
    assert found.room == pytest.approx(drawn.room, abs=0.04)
    assert found.not_enough == pytest.approx(drawn.not_enough, abs=0.04)


def test_the_tissue_of_both_sites_settles_what_that_of_one_leaves_open() -> None:
    """One alone would hardly help, because the other site stays open."""
    first = read_site_again(TWO, 0, variance_mm2=1.69, new_sd_mm=0.25)
    second = read_site_again(first.after, 1, variance_mm2=1.69, new_sd_mm=0.25)
    one = find_states_after(first, [2, 2], LEVEL).find_change(LayerState.CLOSE)
    both = draw_states_after(
        [first, second], [2, 2], LEVEL, results=np.random.default_rng(11).standard_normal((2000, 2))
    )
    assert one == pytest.approx(0.0737, abs=0.002)
    assert both.find_change(LayerState.CLOSE) > 3 * one


def test_another_method_for_the_whole_jaw_leaves_what_two_methods_leave_together() -> None:
    """Both share as much of their error: the variance left is v e² / (v + e²), shared in the same way."""
    correlation, now, new = 0.5, 1.0, 0.5
    jaw = JawMargins(
        margins_mm=(1.0, 2.0), own_sds_mm=(math.sqrt((1 - correlation) * now),) * 2,
        bias_sd_mm=math.sqrt(correlation * now),
    )  # fmt: skip
    reading = read_bias_again(jaw, variance_mm2=correlation * now, new_sd_mm=math.sqrt(correlation) * new)
    for site in (0, 1):
        reading = read_site_again(
            reading.after, site, variance_mm2=(1 - correlation) * now, new_sd_mm=math.sqrt(1 - correlation) * new
        )
    left = now * new**2 / (now + new**2)
    assert reading.after.bias_sd_mm**2 == pytest.approx(correlation * left)
    assert [sd**2 for sd in reading.after.own_sds_mm] == pytest.approx([(1 - correlation) * left] * 2)


def test_the_most_likely_to_change_something_comes_first_and_of_equals_the_quicker() -> None:
    offers = [
        ReadingOffer(quantity="scan", site=None, chance=0.2, minutes=10),
        ReadingOffer(quantity="tissue", site="43", chance=0.4001, minutes=5),
        ReadingOffer(quantity="thickness", site="33", chance=0.4003, minutes=2),
    ]
    assert [offer.quantity for offer in rank_readings(offers)] == ["thickness", "tissue", "scan"]


@pytest.mark.parametrize("readings", [2, 4, 6])
def test_results_that_are_spread_have_the_mean_spread_and_independence_of_drawn_ones(readings: int) -> None:
    results = spread_results(2000, readings)
    assert results.mean(axis=0) == pytest.approx(np.zeros(readings), abs=0.06)
    assert np.cov(results, rowvar=False) == pytest.approx(np.eye(readings), abs=0.08)
