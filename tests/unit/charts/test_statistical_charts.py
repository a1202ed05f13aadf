"""Cost over the years, spread and what matters most: valid charts that say what the estimate says, in words too."""

import json
from dataclasses import replace
from decimal import Decimal
from functools import cache
from itertools import pairwise
from types import SimpleNamespace
from typing import Any

import altair as alt
import jsonschema
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from estimator.base.formats import format_amount
from estimator.charts.frame import list_ticks
from estimator.charts.over_years import HEIGHT, YearWords, draw_over_years, list_overlaps
from estimator.charts.shapes import Spec
from estimator.charts.spread import ChanceWords, TotalChances, draw_spread, find_total_chances
from estimator.charts.swings import SwingWords, draw_swings
from estimator.estimate.bands import CostSoFar, YearBand, list_costs_so_far
from estimator.estimate.result import CaseEstimate
from estimator.estimate.upkeep.sensitivity import Swing
from estimator.pictures.base.look import DARK, GREY, LIGHT, Colours
from estimator.ui.options import drawn
from tests.builders import estimate_all, make_jaw

WORDS = YearWords(
    start="delivery",
    end="10 years",
    year="after {year} years",
    untreated="No treatment now",
    untreated_note="not estimated",
)
CHANCE_WORDS = ChanceWords(option="Option", total="In all", chance="Chance", more="Chance of more")
SWING_WORDS = SwingWords(now="now 3,980", assumption="Assumption", range="Range", low="At its low", high="At its high")
SWING = Swing(figure="remake", name="Bar remade", low=0.002, high=0.02, at_low=Decimal(3860), at_high=Decimal(4390))
THEMES = pytest.mark.parametrize("colours", [LIGHT, DARK, GREY], ids=["light", "dark", "grey"])


def show(amount: Decimal) -> str:
    return format_amount(amount, "en_US")


@cache
def estimate() -> CaseEstimate:
    return estimate_all(make_jaw("11.5"))


@cache
def costs() -> tuple[CostSoFar, ...]:
    return list_costs_so_far(estimate(), estimate().jaws[0])


def make_cost(key: str, low: int, expected: int, high: int) -> CostSoFar:
    band = YearBand(year=1, low=Decimal(low), expected=Decimal(expected), high=Decimal(high))
    return CostSoFar(key=key, name=key, first_cost=Decimal(low), years=(band,))


def draw_years(colours: Colours = LIGHT, **more: Any) -> Spec:
    return draw_over_years(costs(), colours, show=show, words=WORDS, **more)


def draw_all(colours: Colours) -> tuple[Spec, ...]:
    rows = [find_total_chances(made, made.fees.total) for made in estimate().jaws[0].estimates]
    return (
        draw_years(colours),
        draw_spread(rows, colours, show=show, words=CHANCE_WORDS),
        draw_swings([SWING], Decimal(3980), colours, show=show, words=SWING_WORDS),
    )


def list_rows(spec: Spec, *fields: str) -> list[dict[str, Any]]:
    """Rows anywhere in a chart that have these fields."""
    found = [row for layer in spec.get("layer", ()) for row in list_rows(layer, *fields)]
    own = spec.get("data", {}).get("values", ())
    return found + [row for row in own if all(field in row for field in fields)]


@THEMES
def test_every_chart_is_valid_vega_lite(colours: Colours) -> None:
    """Altair holds the schema of Vega-Lite 6 and refuses what does not follow it (rule)."""
    for spec in draw_all(colours):
        alt.LayerChart.from_dict(spec)


def test_a_chart_that_is_no_vega_lite_is_refused() -> None:
    for spec in draw_all(LIGHT):
        with pytest.raises(jsonschema.ValidationError):
            alt.LayerChart.from_dict({**spec, "autosize": "sideways"})


@THEMES
def test_every_colour_is_one_of_the_theme(colours: Colours) -> None:
    for spec in draw_all(colours):
        used = {word for word in json.dumps(spec).split('"') if word.startswith("#") and len(word) == 7}
        assert used <= set(colours.values())


def test_a_chart_is_plain_json_without_a_decimal() -> None:
    for spec in draw_all(LIGHT):
        assert json.loads(json.dumps(spec)) == spec


def test_all_options_stand_on_one_axis_from_their_first_cost_to_the_last_year() -> None:
    for cost in costs():
        rows = [row for row in list_rows(draw_years(), "option") if row["option"] == cost.key]
        assert [row["year"] for row in rows] == list(range(11))
        assert rows[0]["expected"] == float(cost.first_cost)
        last = cost.years[-1]
        assert [rows[-1][end] for end in ("low", "expected", "high")] == [
            float(a) for a in (last.low, last.expected, last.high)
        ]


def test_the_chart_of_years_is_as_high_as_the_page_has_room_for() -> None:
    assert draw_years()["height"] == HEIGHT
    assert 200 <= HEIGHT <= 260


def test_without_colour_each_option_has_a_dash_and_a_name_of_its_own() -> None:
    spec = draw_years(GREY)
    assert len({row["order"] for row in list_rows(spec, "option")}) == 3
    assert {row["name"] for row in list_rows(spec, "name", "note")} == {cost.name for cost in costs()} | {
        "No treatment now"
    }


def test_the_range_of_the_last_year_stands_beside_the_name() -> None:
    notes = {row["name"]: row["note"] for row in list_rows(draw_years(), "name", "note")}
    assert notes["Connecting bar"] == f"{show(costs()[2].years[-1].low)} – {show(costs()[2].years[-1].high)}"


def test_a_year_tells_what_each_option_has_cost_by_then() -> None:
    [row] = [row for row in list_rows(draw_years(), "by") if row["by"] == "after 3 years"]
    band = costs()[0].years[2]
    assert row["conventional_denture"] == f"{show(band.expected)} ({show(band.low)} – {show(band.high)})"


def test_no_treatment_now_starts_at_nothing_and_has_no_line() -> None:
    spec = draw_years()
    assert [row["fill"] for row in list_rows(spec, "first") if row["first"] == 0] == [LIGHT["paper"]]
    assert {row["option"] for row in list_rows(spec, "option")} == {cost.key for cost in costs()}


def test_an_option_without_enough_room_is_set_back() -> None:
    spec = draw_years(set_back=frozenset({"connecting_bar"}))
    weights = {row["name"]: row["weight"] for row in list_rows(spec, "weight")}
    assert (weights["Connecting bar"], weights["Individual attachments"]) == ("normal", "bold")
    assert {row["hue"] for row in list_rows(spec, "option") if row["option"] == "connecting_bar"} == {LIGHT["line"]}


@given(st.lists(st.integers(0, 100_000), min_size=1, max_size=4))
def test_names_at_the_ends_never_run_into_each_other(ends: list[int]) -> None:
    made = [make_cost(f"option_{n}", end, end, end + 1) for n, end in enumerate(ends)]
    spec = draw_over_years(made, LIGHT, show=show, words=WORDS)
    top = list_ticks(0, max(ends) + 1)[-1]
    places = [(1 - row["at"] / top) * (HEIGHT - 40) for row in list_rows(spec, "at", "note")]
    assert all(b - a >= 35.9 for a, b in pairwise(places))


@pytest.mark.parametrize(("ends", "pairs"), [
    ([(1, 2, 3), (4, 5, 6)], 0), ([(1, 2, 4), (4, 5, 6)], 1), ([(1, 5, 9), (2, 3, 4), (5, 6, 7)], 2), ([(1, 2, 3)], 0),
])  # fmt: skip
def test_ranges_overlap_where_they_meet(ends: list[tuple[int, int, int]], pairs: int) -> None:
    assert len(list_overlaps([make_cost(str(n), *end) for n, end in enumerate(ends)])) == pairs


@given(st.floats(-1e6, 1e6), st.floats(0, 1e7))
@example(-6.103515625e-05, 250001.0)
def test_ticks_are_round_few_and_go_all_the_way(low: float, more: float) -> None:
    ticks = list_ticks(low, low + more)
    assert ticks[0] <= low + 1e-6
    assert ticks[-1] >= low + more - 1e-6
    assert 2 <= len(ticks) <= 8


def test_a_chart_without_an_option_can_be_drawn() -> None:
    assert draw_over_years((), LIGHT, show=show, words=WORDS)["layer"]


def test_the_area_of_the_columns_is_the_chance() -> None:
    """Height times width is chance times one scale, whatever the width of a column."""
    known: dict[str, Any] = {"low": Decimal(1000), "middle": Decimal(1100), "high": Decimal(1200), "start": 1000}
    rows = [
        TotalChances(name="A", step=100, chances=(0.5, 0.5), **known),
        TotalChances(name="B", step=200, chances=(1.0,), **known),
    ]
    columns = list_rows(draw_spread(rows, LIGHT, show=show, words=CHANCE_WORDS), "top", "end", "chance")
    areas = [(c["end"] - c["start"]) * (c["foot"] - c["top"]) for c in columns]
    assert areas[0] + areas[1] == pytest.approx(areas[2])


def test_a_column_tells_its_chance_and_that_of_more() -> None:
    row = TotalChances(
        name="A",
        start=1000,
        step=100,
        chances=(0.25, 0.75),
        low=Decimal(1000),
        middle=Decimal(1100),
        high=Decimal(1200),
    )
    first = list_rows(draw_spread([row], LIGHT, show=show, words=CHANCE_WORDS), "chance")[0]
    assert (first["total"], first["chance"], first["more"]) == ("1,000 – 1,100", "25.0 %", "75 %")


def test_the_chances_of_an_estimate_are_those_of_its_law() -> None:
    for made in estimate().jaws[0].estimates:
        assert 0.99 <= sum(find_total_chances(made, made.fees.total).chances) <= 1.0 + 1e-9


def test_a_bar_runs_from_the_difference_as_it_stands_to_each_end() -> None:
    bars = list_rows(draw_swings([SWING], Decimal(3980), LIGHT, show=show, words=SWING_WORDS), "start", "end")
    assert {(b["fill"], b["start"], b["end"]) for b in bars} == {
        (LIGHT["must"], 3860, 3980),
        (LIGHT["pale"], 3980, 4390),
    }


@given(st.integers(-(10**6), 10**6), st.integers(-(10**6), 10**6), st.integers(-(10**6), 10**6))
def test_any_difference_can_be_drawn(low: int, high: int, central: int) -> None:
    swing = replace(SWING, at_low=Decimal(low), at_high=Decimal(high))
    spec = draw_swings([swing], Decimal(central), LIGHT, show=show, words=SWING_WORDS)
    start, end = spec["layer"][0]["encoding"]["x"]["scale"]["domain"]
    assert start <= min(low, high, central) <= max(low, high, central) <= end


def test_swings_without_a_swing_are_refused() -> None:
    with pytest.raises(ValueError, match="'swings' must hold one swing or more"):
        draw_swings([], Decimal(0), LIGHT, show=show, words=SWING_WORDS)


class State(dict[str, Any]):
    """What a tab holds, by name or by key."""

    def __setattr__(self, name: str, value: object) -> None:
        self[name] = value


def test_a_chart_is_drawn_once_an_estimate_and_goes_with_it(monkeypatch: pytest.MonkeyPatch) -> None:
    times: list[str] = []
    state = State()
    monkeypatch.setattr(drawn, "st", SimpleNamespace(session_state=state))

    def draw() -> Spec:
        times.append("drawn")
        return {}

    for _ in range(3):
        drawn.draw_once(estimate(), "years", draw)
    assert len(times) == 1
    drawn.draw_once(estimate(), "spread", draw)
    drawn.draw_once(replace(estimate(), years=9), "years", draw)
    assert len(times) == 3
    assert len(state["charts"][1]) == 1
