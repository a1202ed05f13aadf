"""The Clearance page: one option in full, what if, abutment heights, sources, and an earlier measurement."""

import base64
from decimal import Decimal
from typing import Any

from streamlit.testing.v1 import AppTest

from estimator.inputs.case.model import Case
from estimator.pictures.base.shapes import SIGNS
from tests.app.conftest import Go, show
from tests.app.test_case_page import find


def read(app: AppTest) -> str:
    """All that is written on the page."""
    kinds = ("title", "header", "subheader", "markdown", "info", "error")
    text = "\n".join(show(str(getattr(element, "value", ""))) for kind in kinds for element in app.get(kind))
    return text.replace("\N{NO-BREAK SPACE}", " ")


def get_case(app: AppTest) -> Case:
    case: Case = app.session_state["case"]
    return case


def choose(app: AppTest, name: str) -> AppTest:
    choice: Any = app.get("button_group")[0]
    choice.set_value(name).run()
    assert not app.exception
    return app


def shift(app: AppTest, more: float) -> AppTest:
    app.slider[0].set_value(more).run()
    assert not app.exception
    return app


def test_the_title_is_what_the_layer_that_decides_says_of_the_chosen_option(demo: AppTest, go: Go) -> None:
    app = go("clearance")
    assert [show(title.value) for title in app.title] == ["Close, along the bar: 3 of 4; 64 to over 99 in 100"]
    assert [show(title.value) for title in choose(app, "Individual attachments").title] == [
        "Room to spare: 3.25\N{NO-BREAK SPACE}mm"
    ]


def test_below_the_title_stands_what_is_all_right(demo: AppTest, go: Go) -> None:
    assert "Connecting bar: room to spare in number of implants, height." in read(go("clearance"))


def test_layers_say_their_state_their_reason_and_which_one_decides(demo: AppTest, go: Go) -> None:
    text = read(go("clearance"))
    assert "Room along the bar **close, 3 of 4: this decides**" in text
    assert text.count("this decides") == 1
    assert "Width **not measured (warns only)**" in text


def test_places_on_the_bar_are_drawn_as_three_dots_and_a_ring(demo: AppTest, go: Go) -> None:
    [line] = [one.value for one in go("clearance").markdown if "Room along the bar **" in one.value]
    picture = base64.b64decode(line.split("base64,")[1].split(")")[0]).decode()
    assert (picture.count("<circle"), picture.count("<polygon")) == (3, len(SIGNS["no_place"]))


def test_both_chances_of_the_height_stand_in_one_line(demo: AppTest, go: Go) -> None:
    assert "Usual parts **93 %**, least parts **over 99 %**, at every site together." in read(go("clearance"))


def test_a_set_up_that_is_not_accepted_makes_both_chances_provisional(demo: AppTest, go: Go) -> None:
    find(demo, "checkbox", "mandible_accepted").uncheck().run()
    assert "Provisional: the set-up is not accepted yet. Usual parts **" in read(go("clearance"))


def test_what_is_asked_for_seldom_is_closed_with_its_count(demo: AppTest, go: Go) -> None:
    assert list_closed(go("clearance")) == [
        "Part by part: least, usual, most (5 parts)", "Every site: what was measured (4)",
        "Room along the bar (3 segments)", "If an implant is lost: each of 4 in turn", "What has been published: enough for 5 of 8",
    ]  # fmt: skip


def test_a_millimetre_less_changes_the_verdict_on_the_page_and_nothing_in_the_case(demo: AppTest, go: Go) -> None:
    app = go("clearance")
    before = get_case(app)
    text = read(shift(app, -1.0))
    assert "Close, along the bar: 3 of 4" in show(app.title[0].value)
    assert "Height: 10.50 mm at 34, 8.25 mm least, 10.75 mm usual" in text
    assert "What if: −1.00 mm" in text
    assert get_case(app) == before


def test_three_millimetres_less_say_what_could_make_room(demo: AppTest, go: Go) -> None:
    assert "2.25 mm at 34" in read(shift(go("clearance"), -3.0))


def list_closed(app: AppTest) -> list[str]:
    return [show(one.label) for one in app.expander]


def test_an_option_without_collars_has_no_abutment_heights(demo: AppTest, go: Go) -> None:
    app = go("clearance")
    assert not any("Abutment heights" in label for label in list_closed(app))
    assert "Abutment heights (4 chosen)" in list_closed(choose(app, "Individual attachments"))


def test_typed_abutment_heights_are_kept_in_the_case_and_counted(demo: AppTest, go: Go) -> None:
    app = choose(go("clearance"), "Individual attachments")
    app.text_input[0].set_value("3, 3.5, 4").run()
    assert get_case(app).jaws[0].abutment_heights_mm == (Decimal(3), Decimal("3.5"), Decimal(4))
    table: Any = next(t.value for t in app.table if "Most level" in t.value.columns)
    assert set(table["Most level"]) <= {3.0, 3.5, 4.0}


def test_level_and_lowest_heights_stand_side_by_side_with_what_each_costs(demo: AppTest, go: Go) -> None:
    app = choose(go("clearance"), "Individual attachments")
    app.text_input[0].set_value("3, 3.5, 4").run()
    table: Any = next(t.value for t in app.table if "Most level" in t.value.columns)
    assert {"Lowest", "Room it takes", "Counted"} <= set(table.columns)
    assert list(table["Most level"] - table["Lowest"]) == list(table["Room it takes"])
    text = read(app).replace("**", "")
    assert "1.25 mm apart, the least these heights allow" in text
    assert "The lowest heights that may be used leave them 1.75 mm apart. Level takes more room: 0.50 mm at 42." in text


def test_a_height_that_is_no_length_is_said_and_nothing_is_kept(demo: AppTest, go: Go) -> None:
    app = choose(go("clearance"), "Individual attachments")
    app.text_input[0].set_value("1,5 and *2*").run()
    assert "Got '1,5'; expected lengths over 0" in read(app)
    assert get_case(app).jaws[0].abutment_heights_mm == ()


def test_heights_outlive_a_visit_to_the_case_page(demo: AppTest, go: Go) -> None:
    app = choose(go("clearance"), "Individual attachments")
    app.text_input[0].set_value("2, 4").run()
    go("case")
    assert get_case(app).jaws[0].abutment_heights_mm == (Decimal(2), Decimal(4))


def test_the_room_along_the_bar_counts_places(demo: AppTest, go: Go) -> None:
    assert "Attachments planned on the bar: 4; places on it: 3." in read(go("clearance")).replace("**", "")


def test_published_minima_are_counted_and_named(demo: AppTest, go: Go) -> None:
    text = read(go("clearance"))
    assert "meets **5 of 8**" in text
    assert "Compend Contin Educ Dent 2001;22:516-522 (memory)" in text


def test_a_million_drawn_jaws_agree_with_the_computed_chance(demo: AppTest, go: Go) -> None:
    app = go("clearance")
    find(app, "button", "_draw").click().run(timeout=30)
    [line] = [m.value for m in app.markdown if m.value.startswith("Drawn")]
    drawn, computed = (float(part.split(" %")[0]) for part in line.split("**")[1::2])
    assert abs(drawn - computed) < 0.2


def test_a_new_case_without_measurements_still_shows_what_is_needed(app: AppTest, go: Go) -> None:
    app.button("new_case").click().run()
    text = read(go("clearance"))
    assert "not measured yet" in text
    assert "No site is measured yet; these are the parts alone." in text


def test_both_jaws_have_an_option_and_a_slider_of_their_own(demo: AppTest, go: Go) -> None:
    find(demo, "button_group", "case_jaws").set_value("Both jaws").run()
    app = go("clearance")
    assert (len(app.get("button_group")), len(app.slider)) == (2, 2)
    assert [show(title.value).split(".")[0] for title in app.title] == ["Lower jaw", "Upper jaw"]


def test_a_measurement_kept_as_the_earlier_one_is_compared(demo: AppTest, go: Go) -> None:
    find(demo, "button", "keep_earlier").click().run()
    assert get_case(demo).jaws[0].earlier is not None
    text = read(go("clearance"))
    assert "Measured again: unchanged." in text.replace("**", "")


def test_an_earlier_measurement_can_be_dropped(demo: AppTest) -> None:
    find(demo, "button", "keep_earlier").click().run()
    find(demo, "button", "drop_earlier").click().run()
    assert get_case(demo).jaws[0].earlier is None


def test_what_is_known_of_the_present_denture_is_asked_where_it_is_converted(demo: AppTest, go: Go) -> None:
    find(demo, "selectbox", "mandible_denture").set_value("convert").run()
    find(demo, "selectbox", "base_stable").set_value("no").run()
    assert get_case(demo).jaws[0].present_denture.base_stable is False
    app = choose(go("clearance"), "Individual attachments in the present denture")
    assert "Collar, housing and resin need 5.25 mm inside it" in read(app).replace("**", "")


def test_ridge_to_ridge_is_kept_and_said(demo: AppTest, go: Go) -> None:
    find(demo, "number_input", "case_ridges").set_value(19.0).run()
    assert "Ridge to ridge 19.00 mm" in read(go("clearance")) or "Ridge to ridge 19.0 mm" in read(go("clearance"))


def test_the_sources_page_lists_every_published_minimum_with_its_landmark(demo: AppTest, go: Go) -> None:
    rows = [tuple(row) for table in go("sources").table for row in table.value.to_numpy()]
    assert any("Misch" in row[0] and "12 mm, landmark not stated" in show(row[1]) for row in rows)


def test_each_implant_lost_in_turn_stands_in_a_table(demo: AppTest, go: Go) -> None:
    app = go("clearance")
    assert any(label.startswith("If an implant is lost") for label in list_closed(app))
    table: Any = next(t.value for t in app.table if "Implant lost" in t.value.columns)
    assert list(table["Implant lost"]) == ["44", "42", "32", "34"]
    assert {"A bar", "Individual attachments", "Connecting bar"} <= set(table.columns)


def test_what_to_measure_next_stands_beside_a_close_verdict_alone(demo: AppTest, go: Go) -> None:
    app = choose(go("clearance"), "Individual attachments")
    assert "Measure next" not in read(app)
    said = "Measure next: the space again at 44; it would settle this in 61 in 100 cases; 5 minutes."
    assert said in read(shift(app, -2.75))
