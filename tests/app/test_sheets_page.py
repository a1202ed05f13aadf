"""The Sheets page: choose sheets, see what is missing, make one or all, and an approval that is kept."""

import io
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from streamlit.testing.v1 import AppTest

from estimator.sheets.registry import JAW_KINDS, SheetReader
from estimator.ui.sheets.batch import Batch, continue_batch
from estimator.ui.sheets.print_options import Wanted
from tests.app.conftest import Go, show
from tests.app.test_case_page import find

PATIENT = [kind for kind in JAW_KINDS if kind.reader is SheetReader.PATIENT]


def read(app: AppTest) -> str:
    return show("\n".join(text.value for text in (*app.markdown, *app.warning)))


def list_links(app: AppTest) -> list[str]:
    return [link.proto.label for link in app.get("page_link")]


def list_files(app: AppTest) -> list[str]:
    return [button.proto.label for button in app.get("download_button")]


def choose(app: AppTest, *keys: str) -> AppTest:
    for kind in JAW_KINDS:
        app.checkbox(f"sheet_{kind.key}_1").set_value(kind.key in keys)
    return app.run()


def test_every_sheet_has_a_box_under_its_reader_and_the_option_sheet_is_ticked(demo: AppTest, go: Go) -> None:
    assert demo.title
    app = go("sheets")
    boxes = {box.label: box.value for box in app.checkbox}
    assert boxes == {kind.title: kind.key == "option" for kind in JAW_KINDS}
    assert "For the office" in read(app)


def test_a_sheet_says_whom_it_is_for_and_asks_for_the_option_where_it_is_made_for_one(demo: AppTest, go: Go) -> None:
    assert demo.title
    app = go("sheets")
    assert "Option agreed on" not in [box.label for box in app.selectbox]
    choose(app, "work_order")
    assert "For the laboratory: the patient is named by the case number only." in read(app)
    assert "Laboratory work order speaks of all that apply" in read(app)
    app.selectbox("sheet_option_0_1").select("connecting_bar").run()
    assert not app.exception
    assert "all that apply" not in read(app)


def test_what_the_case_says_of_the_patient_is_chosen_first_and_again_when_it_changes(demo: AppTest, go: Go) -> None:
    app = go("sheets")
    app.selectbox("sheet_language_en_1").select("es").run()
    app = go("case")
    find(app, "selectbox", "_language").select("es").run()
    find(app, "checkbox", "_large_print").check().run()
    app = go("sheets")
    chosen = {box.label: box.value for box in app.selectbox}
    assert (chosen["Language"], chosen["Edition"]) == ("es", "large print")


def test_the_whole_set_for_the_patient_is_one_button(demo: AppTest, go: Go) -> None:
    assert demo.title
    app = go("sheets")
    app.button("sheets_patient").click().run()
    assert [box.label for box in app.checkbox if box.value] == [kind.title for kind in PATIENT]
    app.button("sheets_laboratory").click().run()
    assert [box.label for box in app.checkbox if box.value] == ["Laboratory work order"]


def test_without_a_sheet_nothing_is_drawn(demo: AppTest, go: Go) -> None:
    assert demo.title
    app = choose(go("sheets"))
    assert "Choose at least one sheet." in read(app)
    assert not list_files(app)


def test_what_is_missing_is_a_list_with_links(demo: AppTest, go: Go) -> None:
    next(t for t in demo.text_input if t.label.startswith("Patient")).set_value("").run()
    app = go("sheets")
    assert "The patient has no name" in read(app)
    assert {"Go to the Case page", "Go to the Fees page", "Go to the Sources page"} <= set(list_links(app))


def test_what_was_chosen_is_still_chosen_after_a_look_at_another_page(demo: AppTest, go: Go) -> None:
    assert demo.title
    app = choose(go("sheets"), "care", "parts")
    app.selectbox("sheet_option_0_1").select("connecting_bar").run()
    go("fees")
    app = go("sheets")
    assert [box.label for box in app.checkbox if box.value] == ["Care and upkeep", "Order list of parts"]
    assert app.selectbox("sheet_option_0_1").value == "connecting_bar"


def test_several_sheets_are_made_and_taken_as_one_file(demo: AppTest, go: Go) -> None:
    assert demo.title
    app = choose(go("sheets"), "care", "trial")
    assert list_files(app) == ["Download: Care and upkeep (PDF)"]
    app.button("sheets_make").click().run()
    assert not app.exception
    assert list_files(app) == ["Download 2 sheets (zip)", "Download: Care and upkeep (PDF)"]
    app.selectbox("sheet_paper_1").select_index(1).run()
    assert "Download 2 sheets (zip)" not in list_files(app)


def test_a_sheet_that_cannot_be_made_is_said_and_the_others_are_made(demo: AppTest, go: Go) -> None:
    next(t for t in demo.text_input if t.label.startswith("Patient")).set_value("\U0001f9b7").run()
    app = choose(go("sheets"), "care", "work_order")
    app.button("sheets_make").click().run()
    assert "Not every sheet was made: 1 problem." in show(app.error[0].value)
    assert "Download 1 sheet (zip)" in list_files(app)


def test_two_jaws_give_each_sheet_twice_or_for_the_one_that_is_chosen(demo: AppTest, go: Go) -> None:
    find(demo, "button_group", "case_jaws").set_value("Both jaws").run()
    app = choose(go("sheets"), "trial", "work_order")
    assert len(app.selectbox("sheet_look_1").options) == 4
    assert {"sheet_option_0_1", "sheet_option_1_1"} <= {box.key for box in app.selectbox}
    app.selectbox("sheet_jaw_1").select("upper jaw (maxilla)").run()
    assert not app.exception
    assert app.selectbox("sheet_look_1").options == [
        "Tooth trial approval, upper jaw (maxilla)",
        "Laboratory work order, upper jaw (maxilla)",
    ]


class Slow:
    """A press that says what it was asked to make."""

    def make(self, _: object, wanted: Wanted) -> bytes:
        return wanted.kind.key.encode()


@pytest.fixture
def batch() -> Any:
    from tests.builders import estimate_all, make_jaw

    wanted = tuple(Wanted(kind=kind, jaw=0) for kind in JAW_KINDS)
    return Batch(estimate=estimate_all(make_jaw("11")), press=Slow(), wanted=wanted, left=wanted)  # type: ignore[arg-type]


def test_a_round_out_of_time_makes_one_sheet_and_stopping_keeps_it(batch: Batch) -> None:
    after = continue_batch(continue_batch(batch, until=0), until=0)
    assert [data for _, data in after.made] == [b"option", b"consent"]
    assert len(after.left) == len(JAW_KINDS) - 2
    stopped = after.stop()
    assert stopped.stopped
    assert not stopped.left
    assert stopped.made == after.made


def test_a_round_with_time_makes_all(batch: Batch) -> None:
    after = continue_batch(batch, until=float("inf"))
    assert not after.left
    assert [name for name, _ in after.made] == [f"{kind.file}_T-1_mandible.pdf" for kind in JAW_KINDS]


def test_the_practice_on_paper_is_kept_in_the_settings(demo: AppTest, go: Go, user_folder: Path) -> None:
    assert demo.title
    app = go("sheets")
    assert "The practice has no name on paper." in read(app)
    app.text_input("letterhead_name").set_value("Harbor Row Dental (invented)")
    app.text_input("letterhead_emergency_phone").set_value("555-0143")
    next(button for button in app.button if button.label == "Keep").click().run()
    assert not app.exception
    assert "The practice has no name on paper." not in read(app)
    kept = (user_folder / "practice" / "settings.toml").read_text(encoding="utf-8")
    assert 'emergency_phone = "555-0143"' in kept


def test_terms_are_kept_as_typed_and_printed(demo: AppTest, go: Go, user_folder: Path) -> None:
    assert demo.title
    app = choose(go("sheets"), "consent")
    assert "Guarantee or remake is not filled in for 3 of 3 options" in read(app)
    app.text_area("terms_guarantee_connecting_bar").set_value("Two years,\nif you come to recall.")
    app.text_area("terms_remake_connecting_bar").set_value("We do.")
    app.text_area("terms_implant_fails").set_value("You pay for parts only.")
    next(button for button in app.button if button.label == "Keep these terms").click().run()
    assert not app.exception
    assert "is not filled in for 2 of 3 options" in read(app)
    kept = (user_folder / "practice" / "settings.toml").read_text(encoding="utf-8")
    assert 'connecting_bar = "Two years, if you come to recall."' in kept
    terms = app.session_state["practice"].settings.terms
    assert (terms.find_remake("connecting_bar"), terms.implant_fails) == ("We do.", "You pay for parts only.")


def test_a_term_that_is_emptied_leaves_a_line_again(demo: AppTest, go: Go, user_folder: Path) -> None:
    assert demo.title
    (user_folder / "practice").mkdir(parents=True, exist_ok=True)
    path = user_folder / "practice" / "settings.toml"
    path.write_text("[terms]\nvoid = 'Falls.'\n", encoding="utf-8")
    app = go("sheets")
    app.text_area("terms_void").set_value("")
    next(button for button in app.button if button.label == "Keep these terms").click().run()
    assert path.read_text(encoding="utf-8") == "[terms]\n"


def make_png(size: tuple[int, int]) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", size, "navy").save(out, "PNG")
    return out.getvalue()


def test_a_logo_is_taken_from_a_file_and_left_out_again(demo: AppTest, go: Go, user_folder: Path) -> None:
    assert demo.title
    app = go("sheets")
    app.file_uploader("logo_in").upload("ours.png", make_png((400, 120)), "image/png").run()
    app.button("use_logo").click().run()
    assert not app.exception
    assert "The logo is logo.png" in read(app)
    assert app.session_state["practice"].settings.logo is not None
    app.button("no_logo").click().run()
    assert "There is no logo" in read(app)
    assert (user_folder / "practice" / "logo.png").exists()


def test_a_picture_that_cannot_be_printed_is_no_logo(demo: AppTest, go: Go, user_folder: Path) -> None:
    assert demo.title
    app = go("sheets")
    app.file_uploader("logo_in").upload("tiny.png", make_png((8, 8)), "image/png").run()
    app.button("use_logo").click().run()
    assert "Nothing was kept: 1 problem." in show(app.error[0].value)
    assert app.error and "8 by 8 pixels" in " ".join(app.table[0].value["Found"])
    assert list((user_folder / "practice").glob("*.png")) == []


def test_staff_are_warned_until_somebody_approves_the_words(demo: AppTest, go: Go, user_folder: Path) -> None:
    assert demo.title
    app = go("sheets")
    assert "nobody in this practice has approved it" in read(app)
    app.button("approve").click().run()
    assert "Nothing was approved: 1 problem." in show(app.error[0].value)
    app.text_input("approve_name").set_value("Dr. M. Okafor").run()
    app.button("approve").click().run()
    assert not app.exception
    assert "The words are approved by Dr. M. Okafor" in read(app)
    assert "nobody in this practice has approved it" not in read(app)
    assert 'approved_by = "Dr. M. Okafor"' in (user_folder / "practice" / "settings.toml").read_text(encoding="utf-8")


def test_the_score_of_the_option_sheet_lists_what_is_not_done(demo: AppTest, go: Go) -> None:
    assert demo.title
    app = go("sheets")
    assert "Meets **12 of 12** items that are mandatory" in read(app)
    table = next(table.value for table in app.table if "State" in table.value)
    assert len(table) == 35
    assert set(table["State"]) == {"done", "not done"}
