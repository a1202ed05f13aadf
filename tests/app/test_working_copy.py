"""What is typed is on disk: another tab at the same address has it, and nothing is written over or thrown away."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from streamlit.testing.v1 import AppTest

from estimator.records.database import RecordsError
from estimator.records.working import WorkingStore
from estimator.ui.shell import session
from estimator.ui.shell.copy_on_disk import list_differences, open_working_store
from estimator.ui.shell.navigation import find_pages_folder
from tests.app.conftest import ENTRY, Go, read_plan, show, type_in_plan
from tests.app.test_case_page import choose, find, get_case
from tests.app.test_pages import read


def get_address(app: AppTest) -> str:
    asked = app.query_params.get("d", "")
    return str(asked[0] if isinstance(asked, list) else asked)


def open_tab(address: str, page: str = "case") -> AppTest:
    """Another tab at that address, as after a reload: nothing of the first one's memory is in it."""
    tab = AppTest.from_file(str(ENTRY), default_timeout=20)
    tab.query_params["d"] = address
    tab.run()
    if page != "case":
        tab.switch_page(str(find_pages_folder() / f"{page}.py")).run()
    assert not tab.exception
    return tab


def press(app: AppTest, label: str) -> AppTest:
    next(button for button in app.button if button.label == label).click().run()
    assert not app.exception
    return app


def type_name(app: AppTest, name: str) -> AppTest:
    return find(app, "text_input", "case_name").set_value(name).run()  # type: ignore[no-any-return]


@pytest.fixture
def typed(demo: AppTest) -> AppTest:
    return type_name(demo, "Ольга")


def test_a_case_that_is_begun_gets_an_id_without_meaning_in_its_address(app: AppTest) -> None:
    assert "d" not in app.query_params
    app.button("new_case").click().run()
    assert len(get_address(app)) == 26


def test_a_page_loaded_anew_has_everything_that_was_typed(demo: AppTest) -> None:
    type_name(demo, "Ольга")
    find(demo, "text_input", "case_reference").set_value("not complete !").run()
    type_in_plan(demo, 1, tissue_mm=2.75)
    again = open_tab(get_address(demo))
    assert find(again, "text_input", "case_name").value == "Ольга"
    assert find(again, "text_input", "case_reference").value == "not complete !"
    assert read_plan(again)["rows"][1]["tissue_mm"] == 2.75


def test_a_field_that_was_emptied_stays_empty(demo: AppTest) -> None:
    type_in_plan(demo, 0, platform_below_crest_mm=0.5)
    assert get_case(demo).jaws[0].sites[0].platform_below_crest_mm == Decimal("0.5")
    type_in_plan(demo, 0, platform_below_crest_mm=None)
    again = open_tab(get_address(demo))
    assert read_plan(again)["rows"][0]["platform_below_crest_mm"] is None


def test_an_empty_depth_is_empty_after_saving_and_opening(app: AppTest, go: Go) -> None:
    app.button("new_case").click().run()
    choose(app, "mandible_way", "Site by site")
    type_in_plan(app, 0, restorative_space_mm=11.5)
    app.button("save_case").click().run()
    go("records")
    next(button for button in app.button if (button.key or "").startswith("open_")).click().run()
    app = go("case")
    row = read_plan(app)["rows"][0]
    assert (row["restorative_space_mm"], row["platform_below_crest_mm"]) == (11.5, None)


def test_the_address_comes_back_after_a_page_link_has_taken_it_out(typed: AppTest, go: Go) -> None:
    address = get_address(typed)
    del typed.query_params["d"]
    go("options")
    assert get_address(typed) == address
    assert get_case(typed).patient.name == "Ольга"


def test_the_address_of_another_case_opens_that_case(typed: AppTest) -> None:
    """The way back into the case before."""
    first = get_address(typed)
    typed.button("new_case").click().run()
    press(typed, "Put it aside and go on")
    assert get_case(typed).reference == "C-1"
    typed.query_params["d"] = first
    typed.run()
    assert get_case(typed).patient.name == "Ольга"


@pytest.mark.parametrize("address", ["a" * 26, "made up", "../../cases", "A" * 26])
def test_an_address_that_nobody_has_written_opens_nothing(address: str, user_folder: Path) -> None:
    tab = open_tab(address)
    assert tab.title[0].value == "No case open"
    assert get_address(tab) == ""


def test_nothing_is_written_in_a_run_in_which_nothing_was_typed(
    typed: AppTest, go: Go, monkeypatch: pytest.MonkeyPatch
) -> None:
    written: list[str] = []

    def note(_store: WorkingStore, copy: Any, **_seen: int) -> None:
        written.append(copy.document)

    monkeypatch.setattr(WorkingStore, "change", note)
    monkeypatch.setattr(WorkingStore, "begin", note)
    for page in ("case", "clearance", "options", "visits", "quote", "sheets", "records", "case"):
        go(page)
    assert written == []


def test_one_change_is_written_once(demo: AppTest) -> None:
    before = open_working_store().find(get_address(demo))
    type_name(demo, "Ольга")
    after = open_working_store().find(get_address(demo))
    assert before is not None
    assert after is not None
    assert (before.version, after.version) == (1, 2)


def test_what_is_typed_on_every_page_is_there_in_another_tab(demo: AppTest, go: Go) -> None:
    app = go("options")
    app.slider("years_1").set_value(20).run()
    app = go("quote")
    find(app, "selectbox", "plan_1_way").select("form").run()
    find(app, "text_input", "plan_1_name").set_value("Plan of ours").run()
    find(app, "checkbox", "pay_way_instalments").set_value(True).run()
    find(app, "number_input", "pay_number").set_value(9).run()
    find(app, "toggle", "self_pay_open").set_value(True).run()
    find(app, "text_input", "self_pay_service").set_value("New teeth").run()
    app = go("sheets")
    find(app, "checkbox", "sheet_consent").set_value(True).run()
    quote = open_tab(get_address(app), "quote")
    assert find(quote, "text_input", "plan_1_name").value == "Plan of ours"
    assert find(quote, "number_input", "pay_number").value == 9
    assert find(quote, "text_input", "self_pay_service").value == "New teeth"
    sheets = open_tab(get_address(app), "sheets")
    assert find(sheets, "checkbox", "sheet_consent").value is True
    assert open_tab(get_address(app), "options").slider("years_1").value == 20


def test_the_option_chosen_is_the_same_on_every_page_and_after_saving_and_opening(demo: AppTest, go: Go) -> None:
    go("quote").selectbox("quote_0_1").select("individual_attachments").run()
    assert find(go("options"), "radio", "later_0_option").value == "individual_attachments"
    assert find(go("visits"), "radio", "visits_0_option").value == "individual_attachments"
    app = go("sheets")
    find(app, "checkbox", "sheet_care").set_value(True).run()
    assert find(app, "selectbox", "sheet_option_0").value == "individual_attachments"
    go("case").button("save_case").click().run()
    app.button("new_case").click().run()
    go("records")
    next(button for button in app.button if (button.key or "").startswith("open_")).click().run()
    assert find(go("quote"), "selectbox", "quote_0").value == "individual_attachments"


def test_an_option_that_is_open_again_is_open_on_every_page(demo: AppTest, go: Go) -> None:
    go("quote").selectbox("quote_0_1").select("connecting_bar").run()
    app = go("sheets")
    find(app, "checkbox", "sheet_care").set_value(True).run()
    find(app, "selectbox", "sheet_option_0").select("").run()
    assert find(go("quote"), "selectbox", "quote_0").value == "conventional_denture"


def type_discount(monkeypatch: pytest.MonkeyPatch, **row: Any) -> None:
    """The grid of discounts as if that row had just been typed into it."""
    cells = {"reason": "courtesy", "percent": None, "amount": None, "line": None} | row
    monkeypatch.setattr("streamlit.data_editor", lambda *_, **__: pd.DataFrame([cells]))


def show_what_it_begins_with(monkeypatch: pytest.MonkeyPatch) -> None:
    """The grid as the browser shows it before anything is typed: what it was given."""
    monkeypatch.setattr("streamlit.data_editor", lambda data, **_: data)


def test_a_discount_stays_through_another_option_and_back(
    demo: AppTest, go: Go, monkeypatch: pytest.MonkeyPatch
) -> None:
    """4,980.00 and 8,590.00 less 10 percent, by hand."""
    app = go("quote")
    app.selectbox("quote_0_1").select("individual_attachments")
    type_discount(monkeypatch, percent=10.0)
    app.run()
    assert "To pay 4,482.00 USD" in read(app)
    show_what_it_begins_with(monkeypatch)
    app.selectbox("quote_0_1").select("connecting_bar").run()
    assert "To pay 7,731.00 USD" in read(app)
    app.selectbox("quote_0_1").select("individual_attachments").run()
    assert "To pay 4,482.00 USD" in read(app)
    assert "To pay 4,482.00 USD" in read(open_tab(get_address(app), "quote"))


def test_a_discount_of_a_line_that_another_option_lacks_waits_for_it(
    demo: AppTest, go: Go, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = go("quote")
    app.selectbox("quote_0_1").select("connecting_bar")
    type_discount(monkeypatch, percent=10.0, line="Bar, each segment")
    app.run()
    less = next(text for text in read(app).splitlines() if text.startswith("**To pay"))
    assert "8,590.00" not in less
    show_what_it_begins_with(monkeypatch)
    app.selectbox("quote_0_1").select("individual_attachments").run()
    assert "Not counted here, because this option has no line Bar, each segment: courtesy." in read(app)
    assert "To pay 4,980.00 USD" in read(app)
    app.selectbox("quote_0_1").select("connecting_bar").run()
    assert less in read(app)


def test_new_case_asks_before_it_puts_work_aside(typed: AppTest) -> None:
    typed.button("new_case").click().run()
    assert "The open case has changes that are not saved." in typed.warning[0].value
    assert get_case(typed).patient.name == "Ольга"
    press(typed, "Stay here")
    assert not typed.warning
    assert get_case(typed).patient.name == "Ольга"


def test_a_case_in_which_nothing_was_typed_is_left_without_asking(demo: AppTest) -> None:
    demo.button("new_case").click().run()
    assert get_case(demo).reference == "C-1"


def test_the_field_typed_last_is_put_aside_with_the_rest(demo: AppTest) -> None:
    """The click that leaves the field is the click on the button."""
    find(demo, "text_input", "case_name").set_value("Ольга")
    demo.button("new_case").click().run()
    press(demo, "Put it aside and go on")
    [aside] = open_working_store().list_unsaved()
    assert "Ольга" in aside.document


def test_what_was_put_aside_is_taken_up_again(typed: AppTest, go: Go) -> None:
    typed.button("new_case").click().run()
    press(typed, "Put it aside and go on")
    app = go("records")
    assert "**C-1042**, Ольга" in read(app)
    press(app, "Take up again")
    assert find(go("case"), "text_input", "case_name").value == "Ольга"


def test_what_was_put_aside_can_be_thrown_away(typed: AppTest, go: Go) -> None:
    typed.button("new_case").click().run()
    press(typed, "Put it aside and go on")
    app = press(go("records"), "Throw away for good")
    assert "Ольга" not in read(app)
    assert open_working_store().list_unsaved() == ()


def test_the_demo_and_a_saved_case_ask_too(typed: AppTest, go: Go) -> None:
    typed.button("save_case").click().run()
    type_name(typed, "Nobody yet")
    typed.button("open_demo").click().run()
    assert "Go on to the demo case?" in typed.warning[0].value
    press(typed, "Stay here")
    app = go("records")
    next(button for button in app.button if (button.key or "").startswith("open_")).click().run()
    assert "Go on to C-1042?" in show(app.warning[0].value)
    press(app, "Save it and go on")
    assert [case.patient for case in session.get_store().list_cases()] == ["Nobody yet"]


def test_save_stores_the_field_typed_last(demo: AppTest) -> None:
    demo.button("save_case").click().run()
    find(demo, "text_input", "case_name").set_value("Ольга")
    demo.button("save_case").click().run()
    [saved] = session.get_store().list_cases()
    assert saved.patient == "Ольга"


def test_save_is_never_greyed(demo: AppTest) -> None:
    demo.button("save_case").click().run()
    assert demo.button("save_case").disabled is False
    assert "Saved." in read(demo)


def test_a_case_that_is_not_complete_is_not_saved_and_says_so(demo: AppTest) -> None:
    find(demo, "text_input", "case_reference").set_value("")
    demo.button("save_case").click().run()
    assert "This case is not complete yet, so it was not saved." in demo.warning[0].value
    assert session.get_store().list_cases() == ()


def test_a_saved_case_is_not_written_over_by_a_tab_that_has_an_older_one(typed: AppTest, go: Go) -> None:
    typed.button("save_case").click().run()
    [saved] = session.get_store().list_cases()
    other = AppTest.from_file(str(ENTRY), default_timeout=20).run()
    other.switch_page(str(find_pages_folder() / "records.py")).run()
    other.button(f"open_{saved.id}").click().run()
    other.switch_page(str(find_pages_folder() / "case.py")).run()
    type_name(other, "Theirs").button("save_case").click().run()
    type_name(typed, "Mine").button("save_case").click().run()
    assert "Nothing was saved: C-1042 was saved or deleted meanwhile" in show(typed.warning[0].value)
    assert [case.patient for case in session.get_store().list_cases()] == ["Theirs"]
    press(typed, "Save mine as a case of its own")
    assert {case.patient for case in session.get_store().list_cases()} == {"Theirs", "Mine"}


def test_a_deleted_case_does_not_come_back_by_save(typed: AppTest) -> None:
    typed.button("save_case").click().run()
    [saved] = session.get_store().list_cases()
    session.get_store().delete(saved.id)
    type_name(typed, "Mine").button("save_case").click().run()
    assert "Nothing was saved" in typed.warning[0].value
    assert session.get_store().list_cases() == ()


def test_two_tabs_at_one_address_tell_and_lose_nothing(typed: AppTest) -> None:
    other = open_tab(get_address(typed))
    type_name(other, "Theirs")
    find(typed, "text_input", "case_reference").set_value("MINE-1").run()
    assert "changed in another tab" in typed.warning[0].value
    differs = {row["Field"]: (row["There"], row["Here"]) for _, row in typed.table[0].value.iterrows()}
    assert differs["patient.name"] == ("Theirs", "Ольга")
    assert differs["reference"] == ("C-1042", "MINE-1")
    assert find(typed, "text_input", "case_name").value == "Theirs"
    press(typed, "Use what I typed here")
    assert get_case(typed).reference == "MINE-1"
    assert not typed.warning
    kept = open_working_store().find(get_address(typed))
    assert kept is not None
    assert 'reference = "MINE-1"' in kept.document


def test_what_another_tab_was_told_of_and_left_is_found_among_what_is_put_aside(typed: AppTest, go: Go) -> None:
    other = open_tab(get_address(typed))
    type_name(other, "Theirs")
    find(typed, "text_input", "case_reference").set_value("MINE-1").run()
    press(typed, "Go on with this")
    assert "**MINE-1**, Ольга" in read(go("records"))


def test_a_tab_that_only_looks_is_shown_what_the_other_has_typed(typed: AppTest) -> None:
    other = open_tab(get_address(typed))
    type_name(other, "Theirs")
    typed.run()
    assert find(typed, "text_input", "case_name").value == "Theirs"
    assert "changed in another tab" in typed.warning[0].value
    assert len(open_working_store().list_unsaved()) == 1


def test_work_is_swept_after_the_days_the_practice_sets(user_folder: Path, app: AppTest) -> None:
    (user_folder / "practice").mkdir(parents=True)
    (user_folder / "practice" / "settings.toml").write_text("[records]\nworking_copy_days = 7\n", encoding="utf-8")
    app.button("new_case").click().run()
    store, now = open_working_store(), datetime.now(UTC)
    [mine] = [store.find(get_address(app))]
    assert mine is not None
    for number, days in ((2, 6), (3, 8)):
        changed = (now - timedelta(days=days)).isoformat(timespec="seconds")
        store.begin(replace(mine, id=str(number) * 26, unsaved=True, changed=changed))
    other = AppTest.from_file(str(ENTRY), default_timeout=20).run()
    other.button("open_demo").click().run()
    other.switch_page(str(find_pages_folder() / "quote.py")).run()
    assert [found.id for found in store.list_unsaved()] == ["2" * 26]


def test_a_disk_that_cannot_be_written_is_said_and_work_goes_on(demo: AppTest, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise RecordsError("cases.sqlite: disk full; expected a database that can be read and written")

    with monkeypatch.context() as broken:
        broken.setattr(WorkingStore, "change", refuse)
        type_name(demo, "Ольга")
        demo.run()
        assert "What you type cannot be kept on disk now" in demo.error[0].value
        assert get_case(demo).patient.name == "Ольга"
    demo.run()
    kept = open_working_store().find(get_address(demo))
    assert kept is not None
    assert "Ольга" in kept.document


def test_rows_of_implants_that_are_left_out_for_the_moment_come_back(demo: AppTest) -> None:
    before = get_case(demo).jaws[0].sites
    find(demo, "number_input", "mandible_implants").set_value(2).run()
    assert get_case(demo).jaws[0].sites == before[:2]
    find(demo, "number_input", "mandible_implants").set_value(4).run()
    assert get_case(demo).jaws[0].sites == before


def test_differences_name_the_field_and_both_values() -> None:
    one = '[[jaws]]\narch = "mandible"\nimplants = 2\n[patient]\nname = "A"\n'
    other = '[[jaws]]\narch = "mandible"\nimplants = 4\nextractions = 1\n[patient]\nname = "A"\n'
    assert list_differences(one, other) == (("jaws[1].implants", "2", "4"), ("jaws[1].extractions", "", "1"))


def test_amounts_come_back_as_they_were_typed(demo: AppTest, go: Go) -> None:
    app = go("quote")
    find(app, "selectbox", "plan_1_way").select("form").run()
    find(app, "number_input", "plan_1_annual").set_value(1234.05).run()
    again = open_tab(get_address(app), "quote")
    assert Decimal(str(find(again, "number_input", "plan_1_annual").value)) == Decimal("1234.05")
