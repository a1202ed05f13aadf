"""The Sheets page: any sheet of the set, and an approval that is kept."""

from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from estimator.sheets.kinds import KINDS, Reader, SheetKind
from tests.app.conftest import Go, show


def read(app: AppTest) -> str:
    return show("\n".join(text.value for text in (*app.markdown, *app.warning)))


def test_every_sheet_can_be_chosen_and_says_whom_it_is_for(demo: AppTest, go: Go) -> None:
    assert demo.title
    app = go("sheets")
    assert app.selectbox("sheet_kind").options == [kind.title for kind in KINDS]
    app.selectbox("sheet_kind").select("work_order").run()
    assert not app.exception
    assert "For the laboratory: the patient is named by the case number only." in read(app)
    app.selectbox("sheet_option_0").select("connecting_bar").run()
    assert not app.exception


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.key)
def test_only_sheets_for_patients_have_a_language_and_an_edition(demo: AppTest, go: Go, kind: SheetKind) -> None:
    assert demo.title
    app = go("sheets")
    app.selectbox("sheet_kind").select(kind.key).run()
    own = {"sheet_language", "sheet_edition"} if kind.reader is Reader.PATIENT else set()
    assert {box.key for box in app.selectbox} & {"sheet_language", "sheet_edition"} == own


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
    assert 'approved_by = "Dr. M. Okafor"' in (user_folder / "practice" / "settings.toml").read_text(encoding="utf-8")


def test_the_score_of_the_option_sheet_lists_what_is_not_done(demo: AppTest, go: Go) -> None:
    assert demo.title
    app = go("sheets")
    assert "Meets **12 of 12** items that are mandatory" in read(app)
    table = next(table.value for table in app.table if "State" in table.value)
    assert len(table) == 35
    assert set(table["State"]) == {"done", "not done"}
