"""The Visits page: days from a first visit that stays, the timeline, the file; variants on the Case page."""

import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

from tests.app.conftest import Go, open_demo, show
from tests.builders import CHECKOUT

SETTINGS = """[calendar]
country = "US"
closed_weekdays = ["saturday", "sunday"]
"""


@pytest.fixture
def practice(user_folder: Path) -> Path:
    folder = user_folder / "practice"
    folder.mkdir(parents=True)
    (folder / "settings.toml").write_text(SETTINGS, encoding="utf-8")
    return folder


def find(app: AppTest, kind: str, name: str) -> Any:
    return next(widget for widget in app.get(kind) if re.sub(r"_\d+$", "", widget.key or "").endswith(name))


def read(app: AppTest) -> str:
    return show("\n".join(text.value for text in app.markdown))


def start(app: AppTest, day: date) -> AppTest:
    app.date_input("start_day_1").set_value(day).run()
    assert not app.exception
    return app


def test_days_are_listed_from_the_first_visit_with_what_put_them_off(practice: Path, demo: AppTest, go: Go) -> None:
    assert practice
    app = start(go("visits"), date(2026, 12, 1))
    table = app.table[0].value
    assert table["Day"].iloc[0] == "Tue,\N{NO-BREAK SPACE}Dec\N{NO-BREAK SPACE}1,\N{NO-BREAK SPACE}2026"
    assert list(table["Minutes"]) == ["45", "25", "50", "40", "30", "40", "15", "20", "15"]
    assert "public holidays of US" in read(app)


def test_the_first_visit_stays_after_a_page_change(demo: AppTest, go: Go) -> None:
    start(go("visits"), date(2027, 3, 1))
    go("case")
    assert go("visits").date_input("start_day_1").value == date(2027, 3, 1)


def test_a_bar_shows_its_gates_and_its_chair_time_beside_published_ones(demo: AppTest, go: Go) -> None:
    app = go("visits")
    find(app, "radio", "_option").set_value("connecting_bar").run()
    cells = " ".join(app.table[0].value["To go on"])
    assert "Written yes to the teeth and their position, before the bar is designed" in show(cells)
    assert "Clearance checked again" in show(cells)
    assert "more than was published (296, 327)" in read(app)


def test_healing_is_said_where_implants_are_still_to_be_placed(demo: AppTest, go: Go) -> None:
    find(demo, "selectbox", "_present").select("planned").run()
    app = go("visits")
    find(app, "radio", "_option").set_value("individual_attachments").run()
    assert "Healing before abutments **10 weeks**, within the window of the literature." in read(app)


def test_the_calendar_file_is_named_by_the_case_alone(demo: AppTest, go: Go) -> None:
    assert demo.title
    buttons = go("visits").get("download_button")
    assert [button.proto.label for button in buttons] == ["Download these days (iCalendar)"]


def test_without_a_country_the_page_says_that_no_holiday_is_skipped(demo: AppTest, go: Go) -> None:
    assert demo.title
    assert "no public holidays: no country is set" in read(go("visits"))


def test_what_a_case_asks_for_is_priced_on_the_quote(demo: AppTest, go: Go) -> None:
    find(demo, "button_group", "_variants").set_value(["name_marking", "reinforced_base"]).run()
    assert demo.session_state["case"].jaws[0].variants == ("name_marking", "reinforced_base")
    app = go("quote")
    assert "**Total 2,675.00**" in read(app)
    assert {"Name marked in the denture", "Reinforced base"} <= set(app.table[0].value["Line"])


def test_grafts_and_retention_are_kept_after_a_page_change(demo: AppTest, go: Go) -> None:
    find(demo, "selectbox", "_present").select("planned").run()  # nothing is grafted under implants in place
    find(demo, "number_input", "_grafts").set_value(2).run()
    find(demo, "selectbox", "_retention").select("medium").run()
    go("fees")
    app = go("case")
    assert find(app, "number_input", "_grafts").value == 2
    assert find(app, "selectbox", "_retention").value == "medium"
    assert find(app, "selectbox", "_retention").options[1] == "medium, 13 N (3 lbf)"
    assert app.session_state["case"].jaws[0].graft_sites == 2


def test_an_immediate_denture_without_teeth_to_remove_is_a_problem_of_the_case(demo: AppTest) -> None:
    find(demo, "button_group", "_variants").set_value(["immediate_denture"]).run()
    assert "This case is not complete yet: 1 problem." in show(demo.error[0].value)
    assert list(demo.table[0].value["Where"]) == ["jaws\\[1\\].extractions"]


def test_a_line_that_the_practice_lacks_is_named_where_a_case_asks_for_it(practice: Path, app: AppTest, go: Go) -> None:
    text = (CHECKOUT / "demo_fees.csv").read_text(encoding="utf-8")
    (practice / "fees").mkdir()
    (practice / "fees" / "own.csv").write_text(text[: text.index("name_marking")], encoding="utf-8")
    open_demo(app)
    assert not go("quote").error
    find(go("case"), "button_group", "_variants").set_value(["name_marking"]).run()
    go("quote")
    assert 'no row "name_marking" in own.csv' in show(app.table[0].value["Found"][0])
