"""The self-pay estimate of the Quote page: every element a field, its clock, what is missing, versions."""

import shutil
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

from estimator import files
from estimator.inputs.payment.jurisdiction import DocumentKind
from estimator.quote.self_pay.business_days import list_holidays
from estimator.ui.shell import session
from tests.app.conftest import Go, open_demo, show
from tests.app.test_case_page import find
from tests.app.test_quote_versions import read, read_tables
from tests.app.test_uploads import FEES

MONDAY = date(2026, 11, 23)


@pytest.fixture(autouse=True)
def monday(monkeypatch: pytest.MonkeyPatch) -> None:
    """A Monday before a Thursday that is a public holiday in the United States."""
    assert date(2026, 11, 26) in list_holidays("US", "", [2026])
    monkeypatch.setattr(session, "get_today", lambda: MONDAY)


@pytest.fixture
def quote(app: AppTest, go: Go, user_folder: Path) -> AppTest:
    """The demo practice's own profile, which is based on that of the United States."""
    (user_folder / "practice").mkdir(parents=True, exist_ok=True)
    shutil.copy(files.DATA / "demo" / "profile.toml", user_folder / "practice" / "profile.toml")
    open_demo(app)
    return go("quote")


def put(app: AppTest, kind: str, name: str, value: Any) -> AppTest:
    find(app, kind, name).set_value(value).run()
    assert not app.exception
    return app


def fill(app: AppTest) -> AppTest:
    for field in app.text_input:
        if "_code_" in (field.key or ""):
            field.set_value("OFF-101")
    find(app, "text_input", "_where").set_value("our website")
    find(app, "text_input", "_phone").set_value("555 0100")
    return put(app, "date_input", "_day", date(2026, 12, 10))


def keep(app: AppTest, who: str = "Front office") -> AppTest:
    app.text_input("who_self_pay").set_value(who)
    app.button("keep_self_pay").click().run()
    assert not app.exception
    return app


def list_kept(app: AppTest) -> list[tuple[str, str]]:
    tables = [table.value for table in app.table if "Document" in table.value.columns]
    return [(show(row["Number"]), row["Version"]) for table in tables for row in table.to_dict("records")]


def test_it_is_open_where_the_profile_asks_for_it(quote: AppTest) -> None:
    assert find(quote, "toggle", "_open").value
    assert "Good Faith Estimate of 2026-11-23 for Nguyễn Thị Ánh (invented), born 1951-05-02." in read(quote)


def test_elsewhere_it_is_closed_until_somebody_wants_it(demo: AppTest, go: Go) -> None:
    app = go("quote")
    assert "Good Faith Estimate" not in read(app)
    assert "Good Faith Estimate of 2026-11-23" in read(put(app, "toggle", "_open", True))


def test_what_the_rule_asks_for_and_is_empty_is_named(quote: AppTest) -> None:
    text = read(quote)
    assert "where a dispute is begun" in text
    assert "service codes of 11 items" in text


def test_nothing_is_missing_once_every_field_is_filled(quote: AppTest) -> None:
    assert "Still empty" not in read(fill(quote))


def test_items_stand_by_provider_with_name_and_numbers(quote: AppTest) -> None:
    quote.selectbox("quote_0_1").select("connecting_bar").run()
    text = read(quote)
    assert "Harbor Row Dental (invented): 8,590.00" in text
    assert "NPI 1234567893, TIN 00-0000001, OR, 1 Harbor Row, Anytown (invented)" in text


def test_the_four_disclaimers_stand_with_source_and_review_line(quote: AppTest) -> None:
    text = read(fill(quote))
    for words in ("recommend further items", "only an estimate", "at least 400.00 above", "not a contract"):
        assert words in text
    assert text.count("45 CFR 149.610(c)(1)") >= 4
    assert "not reviewed yet: have your own lawyer read it" in text
    assert "explained at our website" in text


def test_items_booked_separately_are_a_list_of_their_own_with_their_disclaimer(quote: AppTest) -> None:
    assert "The items below are booked separately" not in read(quote)
    put(fill(quote), "text_area", "_separate", "cone-beam scan; imaging centre\nsedation")
    assert "The items below are booked separately" in read(quote)
    assert "(555 0100)" in read(quote)
    table = next(t.value for t in quote.table if list(t.value.columns) == ["What", "Who"])
    assert list(table["Who"]) == ["imaging centre", ""]


@pytest.mark.parametrize(("asked", "day", "words"), [
    ("booked", date(2026, 12, 10), "Due by Friday 2026-11-27. Holidays not counted: 2026-11-26."),
    ("booked", date(2026, 12, 1), "Due by Tuesday 2026-11-24."),
    ("booked", date(2026, 11, 24), "None is owed by the clock"),
    ("on_request", None, "Due by Friday 2026-11-27. Holidays not counted: 2026-11-26."),
    ("scope_changed", date(2026, 11, 27), "Due by Wednesday 2026-11-25."),
    ("booked", None, "known once the service has a day"),
])  # fmt: skip
def test_the_clock_counts_business_days(asked: str, day: date | None, words: str, quote: AppTest) -> None:
    find(quote, "selectbox", "_asked").set_value(asked)
    put(quote, "date_input", "_day", day)
    assert words in read(quote)


def test_a_service_before_it_was_booked_is_a_problem_and_nothing_typed_is_lost(quote: AppTest) -> None:
    put(fill(quote), "date_input", "_day", date(2026, 11, 20))
    assert "The self-pay estimate does not work out yet: " in read(quote)
    assert "service_on" in read_tables(quote)
    assert find(quote, "text_input", "_where").value == "our website"
    assert "Good Faith Estimate of" in read(put(quote, "date_input", "_day", date(2026, 12, 10)))


def test_a_provider_number_that_cannot_be_one_is_a_problem(quote: AppTest) -> None:
    put(quote, "text_input", "_provider_practice_npi", "1234567890")
    assert "ten digits whose last one checks the others" in read_tables(quote)


def test_name_and_day_of_birth_are_those_of_the_case(quote: AppTest) -> None:
    put(quote, "text_input", "_name", "Ольга")
    assert quote.session_state["case"].patient.name == "Ольга"
    assert "for Ольга, born 1951-05-02" in read(quote)


def test_a_day_of_birth_that_cannot_be_leaves_the_case_as_it_was(quote: AppTest) -> None:
    put(quote, "date_input", "_born", date(2020, 1, 1))
    assert "Nothing was kept: 1 problem." in read(quote)
    assert quote.session_state["case"].patient.born == date(1951, 5, 2)


def test_an_estimate_with_empty_elements_is_not_kept_and_each_is_named(quote: AppTest) -> None:
    keep(quote)
    assert "Nothing was kept: " in read(quote)
    assert "service code of Exam" in read_tables(quote)
    assert list_kept(quote) == []


def test_a_kept_estimate_has_a_number_and_a_version(quote: AppTest) -> None:
    keep(fill(quote))
    assert "Kept as C-1042-Q1, version 1, Good Faith Estimate of 2026-11-23." in read(quote)
    assert list_kept(quote) == [("C-1042-Q1", "1")]


def test_the_same_estimate_is_not_kept_twice(quote: AppTest) -> None:
    keep(keep(fill(quote)))
    assert "Nothing changed since C-1042-Q1, version 1" in read(quote)
    assert list_kept(quote) == [("C-1042-Q1", "1")]


def test_a_provider_400_above_the_version_before_is_named(quote: AppTest) -> None:
    keep(fill(quote))
    quote.selectbox("quote_0_1").select("connecting_bar").run()
    fill(quote)
    table = next(t.value for t in quote.table if "400.00 more, or over" in [show(str(c)) for c in t.value])
    [row] = table.to_dict("records")
    assert [show(str(value)) for value in row.values()] == [
        "Harbor Row Dental (invented)", "2,250.00", "8,590.00", "+6,340.00", "yes",
    ]  # fmt: skip
    assert "400.00 or more above the estimate" in read(quote)
    assert list_kept(keep(quote)) == [("C-1042-Q1", "1"), ("C-1042-Q1", "2")]


def test_a_kept_estimate_is_shown_as_it_was(quote: AppTest) -> None:
    keep(fill(quote))
    put(quote, "text_input", "_service", "something else")
    quote.selectbox("open_estimate").set_value("C-1042-Q1, version 1").run()
    assert not quote.exception
    assert "Full denture (lower jaw) on 2026-12-10." in read(quote)
    assert "something else on 2026-12-10." in read(quote)


def test_quote_and_estimate_never_share_a_number(quote: AppTest) -> None:
    keep(fill(quote))
    quote.text_input("who_quote").set_value("Front office")
    quote.button("keep_quote").click().run()
    assert not quote.exception
    store, case_id = session.get_quote_store(), quote.session_state["record_id"]
    kept = [one.number for kind in DocumentKind for one in store.list_versions(case_id, kind)]
    assert sorted(kept) == ["C-1042-Q1", "C-1042-Q2"]


def test_what_was_typed_outlives_another_page(quote: AppTest, go: Go) -> None:
    fill(quote)
    go("options")
    assert find(go("quote"), "text_input", "_where").value == "our website"


def test_fees_in_another_currency_have_no_estimate_by_american_rules(demo: AppTest, go: Go, user_folder: Path) -> None:
    app = go("fees")
    app.file_uploader("fees_in").upload("euro.csv", FEES.replace("USD", "EUR").encode(), "text/csv").run()
    app.button("use_fees").click().run()
    put(go("quote"), "toggle", "_open", True)
    assert "The self-pay estimate does not work out yet: 1 problem." in read(app)
    assert "amounts are never converted" in read_tables(app)


def test_lines_of_one_name_in_two_jaws_say_which_jaw_they_are_for(demo: AppTest, go: Go) -> None:
    go("case")
    find(demo, "button_group", "case_jaws").set_value("Both jaws").run()
    app = put(go("quote"), "toggle", "_open", True)
    labels = {field.label for field in app.text_input if "_code_" in (field.key or "")}
    assert {"First impressions, lower jaw", "First impressions, upper jaw", "Examination and talk"} <= labels
    tables = "\n".join(table.value.to_string() for table in app.table)
    assert "First impressions, upper jaw" in tables


def test_a_place_that_nobody_typed_is_said_to_be_empty_and_not_shown_in_braces(quote: AppTest) -> None:
    told = read(quote)
    assert "How to begin is explained at (still empty)." in told
    assert "{" not in told
