"""The Records page: save, reopen, duplicate, delete; what cannot be read is said."""

from pathlib import Path

from streamlit.testing.v1 import AppTest

from estimator.ui.shell.navigation import find_pages_folder
from tests.app.conftest import ENTRY, Go, show
from tests.app.test_quote_versions import keep, open_version


def read(app: AppTest) -> str:
    return show("\n".join(text.value for text in app.markdown))


def press(app: AppTest, start: str) -> AppTest:
    button = next(b for b in app.button if (b.key or "").startswith(start))
    return button.click().run()


def test_a_saved_case_is_listed_and_says_so(demo: AppTest, go: Go) -> None:
    demo.button("save_case").click().run()
    text = read(go("records"))
    assert "Open in this tab: **C-1042**, saved." in text
    assert "**C-1042**, Nguyễn Thị Ánh (invented)" in text


def test_a_saved_case_reopens_in_another_tab(demo: AppTest, go: Go) -> None:
    demo.button("save_case").click().run()
    go("records")
    other = AppTest.from_file(str(ENTRY), default_timeout=20).run()
    other.switch_page(str(find_pages_folder() / "records.py")).run()
    press(other, "open_")
    assert not other.exception
    assert other.session_state["case"] == demo.session_state["case"]


def test_saving_again_changes_the_same_record(demo: AppTest, go: Go) -> None:
    demo.button("save_case").click().run()
    reference = next(t for t in demo.text_input if t.label == "Reference")
    reference.set_value("C-2000").run()
    app = go("records")
    app.button("save_record").click().run()
    assert read(app).count("saved 20") == 1
    assert "**C-2000**" in read(app)


def test_a_duplicate_is_a_record_of_its_own_and_a_deletion_takes_one(demo: AppTest, go: Go) -> None:
    demo.button("save_case").click().run()
    app = go("records")
    press(app, "copy_")
    assert read(app).count("saved 20") == 2
    press(app, "delete_")
    assert read(app).count("saved 20") == 1


def test_a_case_with_an_agreed_quote_is_not_deleted_and_the_reason_is_said(demo: AppTest, go: Go) -> None:
    assert demo.title
    open_version(keep(go("quote")), "C-1042-Q1, version 1")
    press(demo, "move_agreed")
    app = go("records")
    press(app, "delete_")
    assert not app.exception
    assert "The case was not deleted. C-1042-Q1, version 1 is agreed" in show(app.error[0].value).replace("*", "")
    assert read(app).count("saved 20") == 1


def test_a_record_that_cannot_be_read_changes_nothing_and_is_said(demo: AppTest, go: Go) -> None:
    demo.button("save_case").click().run()
    case = demo.session_state["case"]
    from estimator.ui.shell.session import get_store

    (record,) = get_store().list_cases()
    from dataclasses import replace

    get_store().save(replace(record, document=record.document.replace('"mandible"', '"mandibel"')))
    app = go("records")
    press(app, "open_")
    assert "The saved case was not opened: 1 problem." in show(app.error[0].value)
    assert app.session_state["case"] == case


def test_a_broken_database_is_said_without_an_exception(app: AppTest, go: Go, user_folder: Path) -> None:
    assert app.title
    user_folder.mkdir(exist_ok=True)
    (user_folder / "cases.sqlite").write_bytes(b"not a database" * 100)
    assert "The saved cases cannot be reached." in show(go("records").error[0].value)
