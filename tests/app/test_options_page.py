"""The Options page after the comparison: what comes later, how sure it is, and other assumptions tried."""

from typing import Any

from streamlit.testing.v1 import AppTest

from tests.app.conftest import Go, show
from tests.app.test_case_page import find


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
