"""The Quote page keeps versions: who, what changed, where each stands, and each as it was."""

import json
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pandas as pd
import pytest
from sqlalchemy import text
from streamlit.testing.v1 import AppTest

from estimator import files
from estimator.estimate.result import estimate_case
from estimator.inputs.payment.jurisdiction import DocumentKind
from estimator.proposal.snapshot import statement_to_dict
from estimator.ui.shell import session
from estimator.ui.shell.copy_on_disk import open_working_store
from estimator.ui.shell.navigation import find_pages_folder
from estimator.ui.shell.session import get_quote_store
from tests.app.conftest import ENTRY, Go, open_demo, show
from tests.app.test_case_page import find
from tests.app.test_paying import choose_ways, find_ways


def read(app: AppTest) -> str:
    kinds = ("header", "subheader", "markdown", "info", "warning", "error")
    return "\n".join(show(str(getattr(e, "value", ""))) for kind in kinds for e in app.get(kind)).replace("**", "")


def read_tables(app: AppTest) -> str:
    return "\n".join(show(table.value.to_string()) for table in app.table)


def list_versions(app: AppTest) -> list[dict[str, str]]:
    table = next((t.value for t in app.table if "State" in t.value.columns), None)
    if table is None:
        return []
    return [{str(k): show(str(v)) for k, v in row.items()} for row in table.to_dict("records")]


def keep(app: AppTest, who: str = "Front office") -> AppTest:
    app.text_input("who_quote").set_value(who)
    app.button("keep_quote").click().run()
    assert not app.exception
    return app


def open_version(app: AppTest, name: str) -> AppTest:
    app.selectbox("open_version").set_value(name).run()
    assert not app.exception
    return app


def follow(app: AppTest, option: str) -> AppTest:
    """Another option, to be kept as the next version of the first quote all the same."""
    app.selectbox("quote_0_1").select(option).run()
    app.selectbox("quote_as").set_value("C-1042-Q1").run()
    assert not app.exception
    return app


def press(app: AppTest, key: str) -> AppTest:
    app.button(key).click().run()
    assert not app.exception
    return app


@pytest.fixture
def quote(demo: AppTest, go: Go) -> AppTest:
    assert demo.title
    return go("quote")


def test_before_anything_is_kept_the_page_says_so(quote: AppTest) -> None:
    assert "No quote of this case is kept yet." in read(quote)


def test_a_kept_quote_has_number_version_last_day_state_and_who(quote: AppTest) -> None:
    keep(quote)
    [row] = list_versions(quote)
    assert (row["Number"], row["Version"], row["To pay"], row["State"]) == (
        "C-1042-Q1",
        "1",
        "2,250.00",
        "being prepared",
    )
    assert row["Made"].endswith(", Front office")
    assert "Kept as C-1042-Q1, version 1, valid until " in read(quote)


def test_a_quote_without_a_name_is_not_kept_and_nothing_typed_is_lost(quote: AppTest) -> None:
    choose_ways(quote, "instalments")
    keep(quote, "")
    assert "Nothing was kept: 1 problem." in read(quote)
    assert "Made by" in read_tables(quote)
    assert list_versions(quote) == []
    assert find(quote, "checkbox", "_way_instalments").value


def test_keeping_saves_the_case_that_it_belongs_to(quote: AppTest) -> None:
    assert "keeping the quote saves them too" in read(quote)
    keep(quote)
    assert quote.session_state["saved"] == quote.session_state["case"]


def test_the_same_content_is_not_kept_twice(quote: AppTest) -> None:
    keep(quote)
    keep(quote, "Somebody else")
    assert "Nothing changed since C-1042-Q1, version 1, so nothing was kept." in read(quote)
    assert len(list_versions(quote)) == 1


def test_a_further_version_says_in_words_what_changed(quote: AppTest) -> None:
    keep(quote)
    keep(follow(quote, "connecting_bar"))
    open_version(quote, "C-1042-Q1, version 2")
    assert "Changed since the version before" in read(quote)
    changed = next(table.value for table in quote.table if "Before" in table.value.columns)
    places = [show(place) for place in changed["What"]]
    assert "Bar, each segment (lower jaw)" in places
    assert "Left to pay" in places
    assert "Options chosen" in places
    assert not [place for place in places if "mandible" in place or "lines." in place or "_" in place]


def test_what_would_change_is_said_before_it_is_kept(quote: AppTest) -> None:
    keep(quote)
    assert "Nothing has changed since C-1042-Q1, version 1." in read(quote)
    follow(quote, "connecting_bar")
    changed = next(table.value for table in quote.table if "Before" in table.value.columns)
    row = {show(r["What"]): (show(r["Before"]), show(r["Now"])) for r in changed.to_dict("records")}
    assert row["Left to pay"] == ("2,250.00", "8,590.00")


def test_a_quote_beside_the_others_has_a_number_of_its_own(quote: AppTest) -> None:
    keep(quote)
    quote.selectbox("quote_as").set_value("").run()
    keep(quote)
    assert [(row["Number"], row["Version"]) for row in list_versions(quote)] == [("C-1042-Q1", "1"), ("C-1042-Q2", "1")]


def test_a_quote_goes_from_taken_home_to_agreed_and_then_no_further(quote: AppTest) -> None:
    open_version(keep(quote), "C-1042-Q1, version 1")
    press(quote, "move_taken_home")
    assert list_versions(quote)[0]["State"] == "taken home"
    press(quote, "move_agreed")
    assert list_versions(quote)[0]["State"] == "agreed"
    assert [b.key for b in quote.button if (b.key or "").startswith("move_")] == ["move_stopped"]
    assert "taken home on " in read(quote)
    press(quote, "move_stopped")
    assert list_versions(quote)[0]["State"] == "stopped"
    assert "Only a further version can follow." in read(quote)


def test_a_kept_version_is_shown_as_it_was_after_prices_have_changed(quote: AppTest) -> None:
    keep(quote)
    quote.selectbox("quote_0_1").select("connecting_bar").run()
    open_version(quote, "C-1042-Q1, version 1")
    assert "Fee quote for C-1042: Full denture (lower jaw)." in read(quote)
    assert "Price 2,250.00. To pay 2,250.00 USD." in read(quote)


def test_a_quote_past_its_last_day_is_out_of_date(quote: AppTest, monkeypatch: pytest.MonkeyPatch) -> None:
    open_version(keep(quote), "C-1042-Q1, version 1")
    later = session.get_today() + timedelta(days=61)
    monkeypatch.setattr(session, "get_today", lambda: later)
    quote.run()
    assert not quote.exception
    assert list_versions(quote)[0]["State"] == "out of date"
    assert "Only a further version can follow." in read(quote)


def allow_ten_percent(user_folder: Path) -> None:
    (user_folder / "practice").mkdir(parents=True, exist_ok=True)
    (user_folder / "practice" / "profile.toml").write_text(
        'based_on = "generic"\noverrun_percent = 10\n', encoding="utf-8"
    )


def test_another_option_is_offered_a_number_of_its_own_and_the_same_one_its_next_version(quote: AppTest) -> None:
    keep(quote)
    quote.selectbox("quote_0_1").select("connecting_bar").run()
    assert quote.selectbox("quote_as").value == ""
    assert "Changed since" not in read(quote)
    keep(quote)
    assert quote.selectbox("quote_as").value == "C-1042-Q2"
    quote.selectbox("quote_0_1").select("conventional_denture").run()
    assert quote.selectbox("quote_as").value == "C-1042-Q1"


def list_states(app: AppTest) -> list[tuple[str, str, str]]:
    return [(row["Number"], row["Version"], row["State"]) for row in list_versions(app)]


def test_agreeing_one_quote_closes_the_others_of_the_case(quote: AppTest) -> None:
    keep(quote)
    quote.selectbox("quote_0_1").select("connecting_bar").run()
    open_version(keep(quote), "C-1042-Q1, version 1")
    press(quote, "move_agreed")
    assert "Out of date from now on: C-1042-Q2, version 1." in read(quote)
    assert list_states(quote) == [("C-1042-Q1", "1", "agreed"), ("C-1042-Q2", "1", "out of date")]
    open_version(quote, "C-1042-Q2, version 1")
    assert "by Front office, because C-1042-Q1, version 1 was agreed." in read(quote)
    assert "Only a further version can follow." in read(quote)


def test_a_further_version_that_is_agreed_takes_the_place_of_the_agreed_one(quote: AppTest) -> None:
    press(open_version(keep(quote), "C-1042-Q1, version 1"), "move_agreed")
    open_version(keep(follow(quote, "connecting_bar")), "C-1042-Q1, version 2")
    press(quote, "move_agreed")
    assert list_states(quote) == [("C-1042-Q1", "1", "out of date"), ("C-1042-Q1", "2", "agreed")]


def test_a_superseded_version_cannot_be_agreed_and_the_page_says_why(quote: AppTest) -> None:
    keep(quote)
    open_version(keep(follow(quote, "connecting_bar")), "C-1042-Q1, version 1")
    assert [b.key for b in quote.button if (b.key or "").startswith("move_")] == ["move_not_now"]
    assert "agreed: a further version has taken its place." in read(quote)


@pytest.fixture
def unmeasured(demo: AppTest, go: Go) -> AppTest:
    """The demo before anybody has measured its room."""
    for jaw in demo.session_state["memory"].copy.document["case"]["jaws"]:
        del jaw["measurement"], jaw["sites"]
    return go("quote")


def test_agreeing_what_was_not_measured_is_asked_again_and_kept_with_the_move(unmeasured: AppTest) -> None:
    open_version(keep(unmeasured), "C-1042-Q1, version 1")
    press(unmeasured, "move_agreed")
    assert "lower jaw: not measured yet." in read(unmeasured)
    assert list_states(unmeasured) == [("C-1042-Q1", "1", "being prepared")]
    press(unmeasured, "move_confirmed")
    assert list_states(unmeasured) == [("C-1042-Q1", "1", "agreed")]
    assert "although the room was in doubt" in read(unmeasured)


def test_agreeing_what_was_not_measured_can_be_left_for_now(unmeasured: AppTest) -> None:
    press(open_version(keep(unmeasured), "C-1042-Q1, version 1"), "move_agreed")
    press(unmeasured, "move_not_yet")
    assert list_states(unmeasured) == [("C-1042-Q1", "1", "being prepared")]
    assert "move_confirmed" not in [button.key for button in unmeasured.button]


def test_a_quote_is_not_kept_while_a_discount_is_half_typed(quote: AppTest, monkeypatch: pytest.MonkeyPatch) -> None:
    row = {"reason": ["loyal patient"], "percent": [None], "amount": [None], "line": [None]}
    monkeypatch.setattr("streamlit.data_editor", lambda *_, **__: pd.DataFrame(row))
    quote.run()
    keep(quote)
    assert "Nothing was kept: 1 problem." in read(quote)
    assert "a percent or an amount, or no discount" in read_tables(quote)
    assert list_versions(quote) == []


def test_a_quote_is_not_kept_while_a_plan_is_half_typed(quote: AppTest) -> None:
    choose(quote, "Benefit plan", "form")
    keep(quote)
    assert "Nothing was kept: 1 problem." in read(quote)
    assert list_versions(quote) == []
    choose(quote, "Benefit plan", "none")
    assert list_versions(keep(quote)) != []


def choose(app: AppTest, label: str, value: str) -> None:
    next(box for box in app.selectbox if box.label == label).set_value(value).run()
    assert not app.exception


def test_the_text_of_a_quote_that_is_not_kept_bears_no_number_and_a_kept_one_its_own(quote: AppTest) -> None:
    draft = "Fee quote, draft for case C-1042, mark "
    assert quote.code[0].value.startswith(draft)
    keep(quote)
    assert quote.code[0].value.startswith(draft)


def test_a_price_above_the_agreed_one_is_warned_of(app: AppTest, go: Go, user_folder: Path) -> None:
    allow_ten_percent(user_folder)
    open_demo(app)
    quote = go("quote")
    open_version(keep(quote), "C-1042-Q1, version 1")
    press(quote, "move_agreed")
    assert "above it" not in read(quote)
    follow(quote, "connecting_bar")
    assert "agreed at 2,250.00 (C-1042-Q1, version 1) and is now 8,590.00: more than 10 % above it" in read(quote)


def test_two_tabs_that_keep_at_once_do_not_clash_and_the_second_is_told(quote: AppTest, go: Go) -> None:
    keep(quote)
    other = AppTest.from_file(str(ENTRY), default_timeout=20).run()
    other.switch_page(str(find_pages_folder() / "records.py")).run()
    next(b for b in other.button if (b.key or "").startswith("open_")).click().run()
    other.switch_page(str(find_pages_folder() / "quote.py")).run()
    for app, option in ((quote, "connecting_bar"), (other, "individual_attachments")):
        follow(app, option)
    keep(other, "Other tab")
    keep(quote)
    assert "Nothing was kept: C-1042 was saved or deleted meanwhile, in another tab" in read(quote)
    assert [row["Version"] for row in list_versions(quote)] == ["1", "2"]
    next(b for b in go("records").button if (b.key or "").startswith("open_")).click().run()
    press(quote, "leave_aside")
    go("quote").selectbox("quote_0_2").select("connecting_bar").run()
    quote.selectbox("quote_as").set_value("C-1042-Q1").run()
    keep(quote)
    assert [row["Version"] for row in list_versions(quote)] == ["1", "2", "3"]


def test_another_case_with_the_same_reference_has_versions_of_its_own(quote: AppTest, go: Go) -> None:
    keep(quote)
    go("case").button("open_demo").click().run()
    keep(go("quote"))
    assert [row["Number"] for row in list_versions(quote)] == ["C-1042-Q2"]


def test_a_kept_quote_that_was_spoiled_is_said_and_the_others_are_listed(quote: AppTest) -> None:
    keep(quote)
    keep(follow(quote, "connecting_bar"))
    with get_quote_store().connect() as connection:
        connection.execute(text("UPDATE kept_versions SET document = '{' WHERE version = 1"))
    quote.run()
    assert "Some kept quotes cannot be read: 1 problem." in read(quote)
    assert [row["Version"] for row in list_versions(quote)] == ["2"]


def test_a_kept_quote_is_plain_json_without_the_name_of_the_patient(quote: AppTest) -> None:
    keep(quote)
    [kept] = get_quote_store().list_versions(quote.session_state["record_id"], DocumentKind.QUOTE)
    document = json.loads(kept.document)
    assert (document["format"], document["number"], document["totals"]["left"]) == (3, "C-1042-Q1", "2250.00")
    assert "Nguy" not in kept.document


def test_what_was_offered_and_all_that_was_told_of_it_is_kept_beside_the_quote(quote: AppTest) -> None:
    """Settled again, what was offered makes the same statement: nothing that it was made of is missing."""
    quote.selectbox("quote_0_1").select("connecting_bar").run()
    keep(choose_ways(quote, "instalments"))
    [kept] = get_quote_store().list_versions(quote.session_state["record_id"], DocumentKind.QUOTE)
    document, today = json.loads(kept.document), session.get_today()
    offered = files.parse_proposal(files.parse_toml(document["proposal"], "kept"), "kept", today=today)
    made = estimate_case(offered.case, quote.session_state["practice"])
    again = statement_to_dict(files.settle_offer(offered, made, today=today))
    assert document["statement"] == json.loads(json.dumps(again))
    assert again["chosen"]["ways"][0]["kind"] == "instalments"


def test_what_was_typed_outlives_another_page(quote: AppTest, go: Go) -> None:
    quote.selectbox("quote_0_1").select("connecting_bar").run()
    choose_ways(quote, "instalments")
    find(quote, "number_input", "_number").set_value(9).run()
    go("options")
    assert "9 payments" in find_ways(go("quote"))["Then"].iloc[0]
    assert quote.selectbox("quote_0_1").value == "connecting_bar"


def test_a_new_case_starts_its_quote_afresh(quote: AppTest, go: Go) -> None:
    quote.selectbox("quote_0_1").select("connecting_bar").run()
    go("case").button("open_demo").click().run()
    press(quote, "leave_aside")
    assert go("quote").selectbox("quote_0_2").value == "conventional_denture"


def take_meanwhile(app: AppTest) -> None:
    """Another seat saves the open case under another name of the patient."""
    store = session.get_store()
    [saved] = store.list_cases()
    found = store.get(saved.id)
    theirs = replace(found, patient="Theirs", document=found.document.replace("Nguy", "Theirs"))
    store.save(theirs, seen=found.document)


@pytest.fixture
def taken(quote: AppTest) -> AppTest:
    """A quote that could not be kept, because another seat saved its case."""
    keep(quote)
    take_meanwhile(quote)
    keep(choose_ways(quote, "instalments"))
    assert "Nothing was kept: C-1042 was saved or deleted meanwhile" in read(quote)
    return quote


def test_a_case_that_was_saved_elsewhere_meanwhile_can_be_kept_as_one_of_its_own(taken: AppTest) -> None:
    press(taken, "save_apart")
    assert len(session.get_store().list_cases()) == 2
    assert find(taken, "checkbox", "_way_instalments").value
    assert list_versions(keep(taken))[-1]["Version"] == "1"


def test_a_case_that_was_saved_elsewhere_meanwhile_can_be_taken_as_it_is_there(taken: AppTest) -> None:
    press(taken, "save_theirs")
    assert taken.session_state["case"].patient.name.startswith("Theirs")
    assert not find(taken, "checkbox", "_way_instalments").value
    assert len(open_working_store().list_unsaved()) == 1
