"""The charts of the Options page beside work of a known kind, and beside Altair with its checks."""

from collections.abc import Callable
from typing import Any

import altair as alt
import pytest

from estimator import files
from estimator.base.formats import format_amount
from estimator.charts.over_years import YearWords, draw_over_years
from estimator.charts.shapes import Spec
from estimator.charts.spread import ChanceWords, draw_spread, find_total_chances
from estimator.charts.swings import SwingWords, draw_swings
from estimator.estimate.bands import list_costs_so_far
from estimator.estimate.on_demand import list_swings
from estimator.estimate.result import estimate_case
from estimator.pictures.base.look import LIGHT
from tests.bench.reference import do_transforms, race
from tests.builders import TODAY

CASE, PRACTICE = files.load_demo(today=TODAY)
ESTIMATE = estimate_case(CASE, PRACTICE, years=10)
JAW = ESTIMATE.jaws[0]
COSTS = list_costs_so_far(ESTIMATE, JAW)
CHARGED = {made.key: made.fees.total for made in JAW.estimates}
FOUND = list_swings(ESTIMATE, JAW, "connecting_bar", "individual_attachments", first_costs=CHARGED)
SWINGS = [swing for swing in FOUND if swing.size > 0][:10]
YEARS = YearWords(
    start="delivery", end="10 years", year="after {year} years", untreated="None", untreated_note="unknown"
)
CHANCES = ChanceWords(option="Option", total="In all", chance="Chance", more="Chance of more")
MOVES = SwingWords(now="now", assumption="Assumption", range="Range", low="At its low", high="At its high")


def show(amount: Any) -> str:
    return format_amount(amount, "en_US")


def draw_years() -> Spec:
    return draw_over_years(COSTS, LIGHT, show=show, words=YEARS)


def draw_chances() -> Spec:
    return draw_spread(
        [find_total_chances(made, made.fees.total) for made in JAW.estimates], LIGHT, show=show, words=CHANCES
    )


def draw_moves() -> Spec:
    return draw_swings(
        SWINGS, JAW.estimates[2].total_over_years - JAW.estimates[1].total_over_years, LIGHT, show=show, words=MOVES
    )


@pytest.mark.parametrize("draw", [draw_years, draw_chances, draw_moves])
def test_a_chart_takes_at_most_thirty_five_milliseconds(draw: Callable[[], Spec]) -> None:
    """Where 300 FFT pairs take 40 ms (a quiet machine with two cores)."""
    draw()
    ours, reference = race(draw, do_transforms, rounds=15)
    print(f"\n{draw.__name__} {1000 * ours:.1f} ms, reference {1000 * reference:.1f} ms, ratio {ours / reference:.2f}")
    assert ours <= 35 / 40 * reference


@pytest.mark.parametrize("draw", [draw_years, draw_chances, draw_moves])
def test_a_chart_takes_a_tenth_of_what_altair_takes_with_its_checks(draw: Callable[[], Spec]) -> None:
    spec = draw()
    ours, reference = race(draw, lambda: alt.LayerChart.from_dict(spec).to_dict(), rounds=3)
    print(f"\n{draw.__name__} {1000 * ours:.1f} ms, checked {1000 * reference:.1f} ms, ratio {ours / reference:.3f}")
    assert ours <= reference / 10
