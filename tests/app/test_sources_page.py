"""The Sources page: signing off assumptions, and the practice's own experience."""

from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from tests.app.conftest import Go, show

COUNTED = "option,item,period,counted_per,years_at_risk,events,from,to,note\n"
RETENTION = "connecting_bar,retention_service,later,jaw,50,60,2025-01-01,2025-12-31,\n"


def read(app: AppTest) -> str:
    return show("\n".join(text.value for text in app.markdown))


def confirm(app: AppTest, *keys: str, by: str = "Dr. M. Okafor") -> AppTest:
    app.multiselect("confirm_figures").set_value(list(keys)).run()
    app.text_input("confirm_name").set_value(by).run()
    app.button("confirm").click().run()
    assert not app.exception, [e.message for e in app.exception]
    return app


def find_sure(app: AppTest, name: str) -> str:
    """What the list says of one figure under How sure."""
    rows = [row for table in app.table if "How sure" in table.value for _, row in table.value.iterrows()]
    return next(show(str(row["How sure"])) for row in rows if show(str(row["Figure"])) == name)


def upload(app: AppTest, text: str) -> AppTest:
    app.file_uploader("experience_in").upload("our log.csv", text.encode(), "text/csv").run()
    assert not app.exception, [e.message for e in app.exception]
    return app


def test_figures_are_confirmed_by_name_and_the_list_says_so(go: Go, user_folder: Path) -> None:
    app = go("sources")
    before = int(read(app).split("**")[1].split(" ")[0])
    confirm(app, "bar_screw", "denture_base")
    assert int(read(app).split("**")[1].split(" ")[0]) == before - 2
    assert "Confirmed by your clinician" in [header.value for header in app.header]
    assert find_sure(app, "Bar screw retightened").startswith("memory, confirmed by Dr. M. Okafor on 20")
    assert (user_folder / "practice" / "confirmed.csv").exists()
    assert app.multiselect("confirm_figures").value == []


def test_a_confirmed_figure_cannot_be_chosen_again(go: Go) -> None:
    app = confirm(go("sources"), "bar_screw")
    assert not [label for label in app.multiselect("confirm_figures").options if "Bar screw" in label]


def test_a_sign_off_without_a_name_changes_nothing_and_is_said(go: Go, user_folder: Path) -> None:
    app = confirm(go("sources"), "bar_screw", by=" ")
    assert "Nothing was confirmed: 1 problem." in show(app.error[0].value)
    assert not (user_folder / "practice" / "confirmed.csv").exists()
    assert app.multiselect("confirm_figures").value == ["bar_screw"]


def test_a_value_that_changed_since_says_who_confirmed_what(go: Go, user_folder: Path) -> None:
    confirm(go("sources"), "bar_screw")
    figures = "key,name,low,value,high,unit,source,place,how_sure,note\nbar_screw,Our screw,0.01,0.02,0.08,per jaw and year,own,,own,\n"
    (user_folder / "practice" / "figures.csv").write_text(figures, encoding="utf-8")
    app = go("sources")
    del app.session_state["practice"]
    app.run()
    assert "1 of them were confirmed and have changed since" in read(app)
    said = find_sure(app, "Our screw (own)")
    assert said.startswith("own, assumption: 0.03 (0.01 to 0.08) was confirmed by Dr. M. Okafor on 20")


def test_a_name_is_shown_as_it_was_typed(go: Go) -> None:
    app = confirm(go("sources"), "bar_screw", by="Dr. **A** <b>")
    cells = " ".join(str(cell) for table in app.table for cell in table.value.to_numpy().ravel())
    assert "**A**" not in cells
    assert "Dr. **A** <b>" in show(cells)


def test_without_a_log_the_page_says_so_and_offers_one_to_fill_in(go: Go) -> None:
    app = go("sources")
    assert "Nothing counted yet" in read(app)
    assert "Download a log to fill in" in [b.proto.label for b in app.get("download_button")]


def test_a_good_log_is_used_only_when_somebody_says_so(demo: AppTest, go: Go, user_folder: Path) -> None:
    assert demo.title
    app = upload(go("sources"), COUNTED + RETENTION)
    assert "our log.csv** has no problems: 1 rows, 1 with years at risk." in read(app)
    assert not (user_folder / "practice" / "experience.csv").exists()
    app.button("use_experience").click().run()
    assert not app.exception
    table = next(t.value for t in app.table if "Blended" in t.value)
    assert list(table["Period"]) == ["first year", "later"]
    assert [float(table[column].iloc[1]) for column in ("Published", "Own")] == [0.4, 1.2]
    assert 0.4 < float(table["Blended"].iloc[1]) < 1.2
    assert 0.9 < float(table["Weight of own"].iloc[1]) < 1


def test_a_used_log_changes_the_estimate_of_the_open_case(demo: AppTest, go: Go) -> None:
    assert demo.title
    go("options")
    upkeep = [e.upkeep.expected for e in demo.session_state["made"][(10, ())].jaws[0].estimates]
    upload(go("sources"), COUNTED + RETENTION).button("use_experience").click().run()
    go("options")
    after = [e.upkeep.expected for e in demo.session_state["made"][(10, ())].jaws[0].estimates]
    assert after[:2] == upkeep[:2]
    assert after[2] > upkeep[2]


WRONG = [
    ("empty", "", "an empty file"),
    ("another table", "a;b\n1;2\n", "'a'"),
    ("a column for names", COUNTED.replace("note", "patient") + RETENTION, "column 'patient'"),
    ("a doubled row", COUNTED + RETENTION + RETENTION, "'2025-01-01'"),
    ("events without years", COUNTED + RETENTION.replace(",50,", ",0,"), "'0'"),
    ("a day to come", COUNTED + RETENTION.replace("2025-12-31", "2999-12-31"), "'2999-12-31'"),
    ("an unknown option", COUNTED + RETENTION.replace("connecting_bar", "bar"), "'bar'"),
    ("a text for a picture", COUNTED + RETENTION.replace("later", "![x](http://elsewhere.example/x.png)"), "![x](http"),
]


@pytest.mark.parametrize(("text", "found"), [w[1:] for w in WRONG], ids=[w[0] for w in WRONG])
def test_a_wrong_log_is_refused_with_every_problem_and_nothing_is_kept(
    text: str, found: str, go: Go, user_folder: Path
) -> None:
    app = upload(go("sources"), text)
    assert "our log.csv was not taken" in show(app.error[0].value)
    cells = [cell for table in app.table if "Found" in table.value for cell in table.value["Found"]]
    assert any(found in show(cell) for cell in cells), cells
    assert not any("![x](" in cell for cell in cells)
    assert not (user_folder / "practice" / "experience.csv").exists()


def fill(app: AppTest, years: float, events: int) -> AppTest:
    app.selectbox("own_option").select("connecting_bar").run()
    app.selectbox("own_period").select("later").run()
    app.number_input("own_years").set_value(years)
    app.number_input("own_events").set_value(events).run()
    app.button("own_add").click().run()
    assert not app.exception, [e.message for e in app.exception]
    return app


def test_a_row_typed_by_hand_is_blended(go: Go, user_folder: Path) -> None:
    app = fill(go("sources"), 50.0, 60)
    table = next(t.value for t in app.table if "Blended" in t.value)
    assert list(table["Counted"]) == ["0 in 0 years", "60 in 50 years"]
    assert "retention_service,later,jaw,50.00,60" in (user_folder / "practice" / "experience.csv").read_text(
        encoding="utf-8"
    )


def test_the_same_row_typed_twice_is_refused(go: Go, user_folder: Path) -> None:
    app = fill(fill(go("sources"), 50.0, 60), 50.0, 60)
    assert "The row was not added: 1 problem." in show(app.error[0].value)
    assert (user_folder / "practice" / "experience.csv").read_text(encoding="utf-8").count("\n") == 2


def test_a_row_without_years_at_risk_is_refused(go: Go, user_folder: Path) -> None:
    app = fill(go("sources"), 0.0, 3)
    assert "The row was not added: 1 problem." in show(app.error[0].value)
    assert not (user_folder / "practice" / "experience.csv").exists()


def test_the_items_offered_are_those_of_the_option_chosen(go: Go) -> None:
    app = go("sources")
    app.selectbox("own_option").select("connecting_bar").run()
    assert "Bar repaired" in app.selectbox("own_item_connecting_bar").options


def test_a_log_can_be_taken_along_as_it_stands(go: Go) -> None:
    app = fill(go("sources"), 50.0, 60)
    assert "Download the log" in [b.proto.label for b in app.get("download_button")]
