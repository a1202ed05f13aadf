"""The Options page after the comparison: what comes later, how sure it is, and other assumptions tried."""

from decimal import Decimal
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

from estimator import files
from estimator.estimate.bands import CostSoFar, YearBand, list_costs_so_far
from estimator.pictures.options.option_rows import RowWriter
from estimator.ui.options.cost_by_year import tell_costs, tell_overlaps
from tests.app.conftest import Go, show
from tests.app.test_case_page import find
from tests.builders import estimate_all, make_jaw


def read(app: AppTest) -> str:
    kinds = ("header", "subheader", "markdown", "info")
    return "\n".join(show(str(getattr(e, "value", ""))) for kind in kinds for e in app.get(kind)).replace("**", "")


def open_clinician(app: AppTest) -> AppTest:
    find(app, "toggle", "_more").set_value(True).run()
    assert not app.exception
    return app


def find_table(app: AppTest, column: str) -> Any:
    return next(table.value for table in app.table if column in table.value.columns)


def test_each_pair_is_told_with_its_chance_and_crossing(demo: AppTest, go: Go) -> None:
    text = read(go("options"))
    line = (
        "Connecting bar costs more than Individual attachments with a chance of 86 %; their expected costs do not meet"
    )
    assert line in text
    assert "No treatment now: not estimated" in text


def test_the_cost_by_year_is_one_chart_with_its_finding_above(demo: AppTest, go: Go) -> None:
    text = read(go("options"))
    assert "After 10 years the ranges of Individual attachments and Connecting bar overlap. US dollars spent" in text


@pytest.mark.parametrize(("pairs", "finding"), [
    ([], "After 10 years no two ranges overlap."),
    (["ab"], "After 10 years the ranges of a and b overlap."),
    (["ab", "bc"], "After 10 years the ranges of a and b, and of b and c overlap."),
    (["ab", "ac", "bc"], "After 10 years the ranges of all options overlap."),
], ids=["none", "one pair", "two pairs", "all"])  # fmt: skip
def test_the_finding_names_the_options_whose_ranges_meet(pairs: list[str], finding: str) -> None:
    ends = {"a": [10, 20], "b": [30, 40], "c": [50, 60]}
    for one, other in (tuple(pair) for pair in pairs):
        ends[one][1] = max(ends[one][1], ends[other][0])
    made = [make_cost(key, low, high, years=10) for key, (low, high) in ends.items()]
    assert tell_overlaps(made, 10) == finding


def test_the_chart_of_years_is_told_in_a_sentence_an_option() -> None:
    estimate = estimate_all(make_jaw("11.5", implants=1))
    jaw = estimate.jaws[0]
    writer = RowWriter(files.load_wording(), patient=False, step=Decimal(10))
    told = tell_costs(jaw, list_costs_so_far(estimate, jaw), writer, 10)
    assert told[0].startswith(
        "Conventional denture: 2,250 first, about 5,590 after 10 years, 8 chances in 10 from 3,980"
    )
    assert told[2] == "Connecting bar: needs at least 2 implants; this jaw has 1."
    assert told[3] == "No treatment now: nothing to pay now; upkeep not estimated."


def make_cost(key: str, low: int, high: int, *, years: int) -> CostSoFar:
    band = YearBand(year=years, low=Decimal(low), expected=Decimal(low), high=Decimal(high))
    return CostSoFar(key=key, name=key, first_cost=Decimal(0), years=(band,))


def test_trips_and_chair_time_stand_beside_money(demo: AppTest, go: Go) -> None:
    table = find_table(go("options"), "Trips later, about")
    assert list(table["Option"]) == ["Conventional denture", "Individual attachments", "Connecting bar"]
    assert all(trips > 10 for trips in table["Trips later, about"])


def test_the_chance_of_more_than_an_amount_follows_the_amount(demo: AppTest, go: Go) -> None:
    app = go("options")
    find(app, "number_input", "_amount").set_value(1.0).run()
    assert "Conventional denture over 99 %, Individual attachments over 99 %, Connecting bar over 99 %" in read(app)


def test_the_clinician_sees_spread_swings_and_shares_on_request(demo: AppTest, go: Go) -> None:
    app = go("options")
    assert "What matters most" not in read(app)
    text = read(open_clinician(app))
    for title in (
        "How likely each total is",
        "What matters most to the difference of two options",
        "two published shares",
    ):
        assert title in text


def test_another_assumption_moves_the_numbers_and_is_not_kept(demo: AppTest, go: Go) -> None:
    app = go("options")
    before = list(find_table(app, "Upkeep")["Upkeep"])
    slider = find(app, "slider", "retention_service_later")
    slider.set_value(slider.max).run()
    assert not app.exception
    after = list(find_table(app, "Upkeep")["Upkeep"])
    assert before[0] == after[0]
    assert after[2] > before[2]
    assert "What if: other assumptions" in read(app)
    go("quote")
    practice = app.session_state["practice"]
    assert float(practice.evidence.get("retention_service_later").value) == 0.4


def test_inflation_moves_the_worth_at_delivery_only(demo: AppTest, go: Go) -> None:
    app = go("options")
    before = find_table(app, "Worth at delivery")
    find(app, "slider", "inflation").set_value(0.05).run()
    after = find_table(app, "Worth at delivery")
    assert list(before["Upkeep"]) == list(after["Upkeep"])
    assert list(before["Worth at delivery"]) != list(after["Worth at delivery"])


def test_a_simulation_agrees_with_what_is_computed(demo: AppTest, go: Go) -> None:
    app = open_clinician(go("options"))
    find(app, "button", "_simulate").click().run(timeout=90)
    assert not app.exception
    [line] = [m.value for m in app.markdown if m.value.startswith("The largest distance")]
    assert float(line.split("**")[1].split()[0]) < 5
