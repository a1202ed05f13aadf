"""The Fees page: edit, see what it does, save a version, two tabs at once, saved cases, versions, office only."""

import math
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from estimator.files.user import data_folder, fee_versions
from estimator.inputs.fees.draft import FeeDraft, begin_draft
from estimator.inputs.fees.schedule import FeeSchedule
from estimator.inputs.fees.versions import write_fees
from estimator.proposal.model import Proposal
from estimator.records.cases import SavedCase
from estimator.ui.fees.impact import Survey, continue_repricing
from estimator.ui.shell import session
from tests.app.conftest import ENTRY, KEYS, Go, open_demo, show
from tests.builders import load_demo_practice, make_case, make_jaw

DEMO = load_demo_practice().fees


def edit(*, parent: FeeSchedule = DEMO, key: str = "delivery_denture", **cells: str) -> FeeDraft:
    """A draft with changes to one line, as the table leaves it (AppTest cannot type into the table itself)."""
    draft = begin_draft(parent, own=parent is not DEMO, today=session.get_today())
    rows = tuple(replace(r, cells={**r.cells, **cells}) if r.cells["key"] == key else r for r in draft.rows)
    return replace(draft, rows=rows)


def blank(key: str) -> FeeDraft:
    draft = edit()
    rows = tuple(row for row in draft.rows if row.cells["key"] != key)
    return replace(draft, rows=rows)


def open_edited(app: AppTest, go: Go, draft: FeeDraft) -> AppTest:
    app.session_state["fees_draft"] = draft
    return go("fees")


def read(app: AppTest) -> str:
    return show("\n".join(text.value for text in app.markdown))


def list_files(folder: Path) -> list[str]:
    return sorted(path.name for path in (folder / "practice" / "fees").iterdir())


def test_a_table_without_changes_can_not_be_saved(go: Go) -> None:
    app = go("fees")
    assert app.button("fees_save").disabled
    assert not app.error


def test_the_same_fee_written_another_way_is_nothing_to_save(app: AppTest, go: Go) -> None:
    app = open_edited(app, go, edit(fee="320"))
    assert app.button("fees_save").disabled
    assert not app.button("fees_discard").disabled


def test_a_changed_fee_is_shown_in_the_totals_of_the_open_case(demo: AppTest, go: Go) -> None:
    app = open_edited(demo, go, edit(fee="400.00"))
    table = app.table[0].value
    assert list(table["Difference"]) == [80, 0, 0]
    assert list(table["After"]) == [2330, 4980, 8590]


def test_without_a_case_the_page_says_how_to_see_the_effect(app: AppTest, go: Go) -> None:
    assert "Open a case to see what a change does" in read(open_edited(app, go, edit(fee="400.00")))


def test_what_is_wrong_is_listed_with_line_row_and_column_and_nothing_can_be_saved(demo: AppTest, go: Go) -> None:
    app = open_edited(demo, go, edit(fee="4OO", kind="vist"))
    assert [show(cell) for cell in app.table[0].value["Where"]] == [
        'Delivery of a denture, row 10, column "kind"', 'Delivery of a denture, row 10, column "fee"',
    ]  # fmt: skip
    assert app.button("fees_save").disabled


def test_a_line_that_is_gone_names_the_option_that_charges_it(demo: AppTest, go: Go) -> None:
    app = open_edited(demo, go, blank("bar_base"))
    assert 'the option "connecting_bar" charges' in show(app.table[0].value["Expected"][0])


def test_a_saved_version_requotes_the_open_case_without_typing_anything_again(
    demo: AppTest, go: Go, user_folder: Path
) -> None:
    app = open_edited(demo, go, edit(fee="400.00"))
    app.button("fees_save").click().run()
    assert not app.exception
    (name,) = list_files(user_folder)
    assert f"In force: **{name}**" in read(app)
    assert app.button("fees_save").disabled
    assert "**Total 2,330.00**" in read(go("quote"))


def test_what_is_typed_and_not_saved_is_still_there_after_another_page(demo: AppTest, go: Go) -> None:
    open_edited(demo, go, edit(fee="400.00"))
    go("options")
    assert next(iter(go("fees").table[0].value["After"])) == 2330


def test_begin_again_forgets_what_was_typed(demo: AppTest, go: Go) -> None:
    app = open_edited(demo, go, edit(fee="400.00"))
    app.button("fees_discard").click().run()
    assert app.button("fees_save").disabled


def test_the_second_of_two_tabs_is_told_and_can_put_its_changes_on_top(
    demo: AppTest, go: Go, user_folder: Path
) -> None:
    app = open_edited(demo, go, edit(fee="400.00"))
    other = AppTest.from_file(str(ENTRY), default_timeout=20)
    other.session_state["fees_draft"] = edit(key="jaw_record", fee="300.00")
    other.run()
    other.switch_page(str(session.find_page("fees"))).run()
    other.button("fees_save").click().run()
    app.button("fees_save").click().run()
    assert "Nothing was saved: 1 problem." in show(app.error[0].value)
    assert len(list_files(user_folder)) == 1
    app.button("fees_merge").click().run()
    app.button("fees_save").click().run()
    assert not app.exception
    _first, second = list_files(user_folder)
    saved = fee_versions.load_version(second)
    assert (saved.get("jaw_record").fee, saved.get("delivery_denture").fee) == (Decimal(300), Decimal(400))


def test_all_saved_cases_that_would_change_are_listed(demo: AppTest, go: Go) -> None:
    demo.button("save_case").click().run()
    app = open_edited(demo, go, edit(fee="400.00"))
    app.button("fees_survey_begin").click().run()
    assert not app.exception
    assert "**1 of 1 saved cases** would change." in read(app)
    table = next(t.value for t in app.table if "Case" in t.value)
    assert (list(table["Case"]), list(table["Difference"])) == (["C-1042"], [80])


def make_survey(*documents: str) -> Survey:
    saved = tuple(
        SavedCase(id=str(n), reference=f"C-{n}", patient="", summary="", saved_at="", document=document)
        for n, document in enumerate(documents)
    )
    lines = {**DEMO.lines, "delivery_denture": replace(DEMO.get("delivery_denture"), fee=Decimal(400))}
    return Survey(schedule=replace(DEMO, lines=lines), left=saved, total=len(saved))


CASE = data_folder.write_proposal_text(Proposal(case=make_case(make_jaw("12"))))


def test_a_round_without_time_goes_one_case_further() -> None:
    survey = continue_repricing(make_survey(CASE, CASE, CASE), load_demo_practice(), until=0)
    assert (survey.done, [reference for reference, _ in survey.found]) == (1, ["C-0"])


def test_going_through_cases_can_be_stopped_and_keeps_what_was_found() -> None:
    survey = continue_repricing(make_survey(CASE, CASE, CASE), load_demo_practice(), until=0).stop()
    assert (survey.left, survey.total, survey.stopped, len(survey.found)) == ((), 1, True, 1)


def test_a_saved_case_that_cannot_be_read_is_named_and_the_others_are_gone_through() -> None:
    survey = continue_repricing(make_survey("[[jaws", CASE), load_demo_practice(), until=math.inf)
    assert (survey.unread, [reference for reference, _ in survey.found]) == (("C-0",), ["C-1"])


def test_a_changed_table_makes_an_earlier_list_of_cases_void(demo: AppTest, go: Go) -> None:
    demo.button("save_case").click().run()
    app = open_edited(demo, go, edit(fee="400.00"))
    app.button("fees_survey_begin").click().run()
    go("options")
    app.session_state["fees_draft"] = edit(fee="410.00")
    assert "saved cases** would change" not in read(go("fees"))


def test_another_currency_is_not_held_against_this_one(demo: AppTest, go: Go) -> None:
    app = open_edited(demo, go, replace(edit(fee="400.00"), currency="KWD"))
    assert "Totals in USD and in KWD cannot be held against each other." in read(app)


def test_an_uploaded_schedule_can_be_put_into_the_table_first(demo: AppTest, go: Go, user_folder: Path) -> None:
    app = go("fees")
    text = write_fees(DEMO).replace("Delivery of a denture,visit,jaw,320.00", "Delivery of a denture,visit,jaw,420.00")
    app.file_uploader("fees_in").upload("ours.csv", text.encode("utf-8-sig"), "text/csv").run()
    app.button("put_fees").click().run()
    assert not app.exception
    assert next(iter(app.table[0].value["Difference"])) == 100
    assert list_files(user_folder) == []


def test_two_versions_are_compared_line_by_line(app: AppTest, go: Go, user_folder: Path) -> None:
    for fee in ("400.00", "410.00"):
        app.session_state["fees_draft"] = edit(fee=fee)
        go("fees").button("fees_save").click().run()
        go("sources")
    tables = [table.value for table in go("fees").table]
    assert len(list_files(user_folder)) == 2
    changed = next(table for table in tables if "Before" in table)
    assert changed.to_dict("records") == [
        {"Line": "Delivery of a denture", "What": "fee", "Before": "400.00", "After": "410.00"}
    ]
    assert "Lines: 0 added, 0 removed, 1 changed." in [text.value for text in go("fees").markdown]


def test_what_it_costs_the_practice_is_shown_only_when_asked_for(app: AppTest, go: Go, user_folder: Path) -> None:
    (user_folder / "practice").mkdir(parents=True, exist_ok=True)
    (user_folder / "practice" / "settings.toml").write_text("[cost]\nchair_hour = 375\n", encoding="utf-8")
    open_demo(app)
    go("fees")
    assert "Office only: what it costs the practice" not in [header.value for header in app.header]
    app.toggle("fees_cost").set_value(True).run()
    assert not app.exception
    assert next(iter(app.table[0].value["Margin"])) == -75
    assert "Examination and talk" in set(app.table[1].value["Line"])


@pytest.mark.parametrize("key", [key for key in KEYS if key != "fees"])
def test_no_other_page_depends_on_what_the_practice_pays(key: str, demo: AppTest, go: Go, user_folder: Path) -> None:
    before = [text.value for text in go(key).markdown], [table.value.to_string() for table in demo.table]
    (user_folder / "practice").mkdir(parents=True, exist_ok=True)
    (user_folder / "practice" / "settings.toml").write_text(
        "[cost]\nchair_hour = 361.37\nlaboratory_remakes = 0.07\n", encoding="utf-8"
    )
    if "practice" in demo.session_state:
        del demo.session_state["practice"]
    app = go(key)
    assert ([text.value for text in app.markdown], [table.value.to_string() for table in app.table]) == before
