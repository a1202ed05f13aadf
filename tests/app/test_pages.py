"""Every page, cold and with the demo case: a content signal and no exception."""

from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from estimator import files
from tests.app.conftest import KEYS, Go, open_demo, show
from tests.app.test_case_page import find

COLD = {
    "case": "Begin a new case, open the demo case or a case file, or take one from Records.",
    "clearance": "Clearance needs a case. There is none open yet.",
    "options": "The options are estimated from a case. There is none open yet.",
    "visits": "Visits are planned from a case. There is none open yet.",
    "quote": "A quote needs a case. There is none open yet.",
    "sheets": "A sheet is printed from a case. There is none open yet.",
    "records": "No case is open in this tab.",
    "fees": "**demo_fees.csv**, 69 lines, USD, prices of 2026-11-01. Demo prices, invented.",
    "sources": "assumptions, to be confirmed by your clinician.**",
}
WARM = {
    "case": "Between implants",
    "clearance": "11.50\N{NO-BREAK SPACE}mm at 34, 10.75\N{NO-BREAK SPACE}mm usual; the usual parts fit with a chance of 93 in 100",
    "options": "Connecting bar: close, along the bar: 3 of 4",
    "visits": "**280 minutes** in 9 visits.",
    "quote": "**Total 2,250.00**",
    "sheets": "Invented demo prices: every page says so.",
    "records": "Open in this tab: **C-1042**, not saved.",
    "fees": "69 of 69 lines shown.",
    "sources": "How sure: abstract: read in the paper's abstract",
}


def read(app: AppTest) -> str:
    return show("\n".join(text.value for text in app.markdown))


@pytest.mark.parametrize("key", KEYS)
def test_a_page_opened_cold_says_what_to_do(key: str, go: Go) -> None:
    assert COLD[key] in read(go(key))


@pytest.mark.parametrize("key", KEYS)
def test_a_page_shows_the_demo_case(key: str, demo: AppTest, go: Go) -> None:
    assert demo.title[0].value == "Case"
    assert WARM[key] in read(go(key))


@pytest.mark.parametrize("key", ["clearance", "options", "visits", "quote", "sheets"])
def test_a_page_that_needs_a_case_can_open_one(key: str, go: Go) -> None:
    app = go(key)
    app.button("open_demo").click().run()
    assert not app.exception
    assert WARM[key] in read(app)


def test_the_options_table_has_every_option_and_no_treatment(demo: AppTest, go: Go) -> None:
    assert demo.title
    table = go("options").table[0].value
    assert list(table["Option"]) == [
        "Conventional denture",
        "Individual attachments",
        "Connecting bar",
        "No treatment now",
    ]
    assert list(table["First cost"]) == [2250, 4980, 8590, 0]


def test_more_years_change_pictures_and_words(demo: AppTest, go: Go) -> None:
    assert demo.title
    app = go("options")
    app.slider("years_1").set_value(30).run()
    assert not app.exception
    assert "Cost over 30 years" in [header.value for header in app.header]
    assert "Over 30 years the ranges" in read(app)


@pytest.mark.parametrize("key", KEYS)
def test_nothing_of_the_practice_cost_is_on_any_page(key: str, demo: AppTest, go: Go) -> None:
    """Demo bar: parts alone cost the practice 2,050.00 at cost; the words margin and practice cost stand nowhere."""
    assert demo.title
    app = go(key)
    shown = read(app).lower() + " ".join(table.value.to_string() for table in app.table).lower()
    assert "margin" not in shown
    assert "practice_cost" not in shown


def test_a_quote_shows_every_line_of_the_chosen_option(demo: AppTest, go: Go) -> None:
    assert demo.title
    app = go("quote")
    app.selectbox("quote_0_1").select("connecting_bar").run()
    assert "**Total 8,590.00**" in read(app)
    assert "Bar, each segment" in set(app.table[0].value["Line"])


def test_two_jaws_are_quoted_together_with_shared_lines_once(demo: AppTest, go: Go) -> None:
    find(demo, "button_group", "case_jaws").set_value("Both jaws").run()
    assert not demo.exception
    app = go("quote")
    assert "**Together 4,230.00**. 270.00 of it stands in both totals and is charged once a case" in read(app)


def test_both_jaws_together_stand_on_the_options_page_each_pair_once(demo: AppTest, go: Go) -> None:
    find(demo, "button_group", "case_jaws").set_value("Both jaws").run()
    table = go("options").table[-1].value
    assert len(table) == 9
    assert list(table["Together"][:2]) == [2250 + 2250 - 270, 2250 + 14020 - 140]


def test_fees_are_filtered_by_words(go: Go) -> None:
    app = go("fees")
    app.text_input("fees_filter").set_value("bar remade").run()
    assert "1 of 69 lines shown." in read(app)


def test_sources_are_filtered_by_words(go: Go) -> None:
    app = go("sources")
    app.text_input("sources_filter").set_value("munakata").run()
    assert [len(table.value) for table in app.table] == [4]


def test_sheets_are_drawn_on_both_papers_and_in_grey(demo: AppTest, go: Go) -> None:
    assert demo.title
    app = go("sheets")
    before = app.get("download_button")[0].proto.url
    app.selectbox("sheet_paper_1").select_index(1).run()
    app.selectbox("sheet_colour_1").select("in grey").run()
    assert not app.exception
    assert app.get("download_button")[0].proto.url != before


def test_a_sheet_in_spanish_and_large_print_says_that_nobody_reviewed_it(demo: AppTest, go: Go) -> None:
    assert demo.title
    app = go("sheets")
    assert "is not reviewed" not in read(app)
    app.selectbox("sheet_language_en_1").select("es").run()
    app.selectbox("sheet_edition_normal_1").select("large print").run()
    assert not app.exception
    assert "The Spanish is not reviewed: every page says so" in read(app)
    assert files.load_wording("es").fingerprint in read(app)
    assert "Page 20 of" in read(app)


def test_a_name_that_cannot_be_printed_is_said_on_the_sheets_page(demo: AppTest, go: Go) -> None:
    name = next(t for t in demo.text_input if t.label.startswith("Patient"))
    name.set_value("\U0001f9b7").run()
    app = go("sheets")
    assert "The sheet was not made: 1 problem." in show(app.error[0].value)


EVIL = "![x](http://elsewhere.example/x.png) :red[y] <b>z</b> **w** $v$"


def test_what_people_type_is_shown_as_written_and_loads_nothing(demo: AppTest, go: Go) -> None:
    next(t for t in demo.text_input if t.label.startswith("Patient")).set_value(EVIL).run()
    demo.button("save_case").click().run()
    raw = "\n".join(text.value for text in go("records").markdown)
    assert EVIL not in raw
    assert EVIL in show(raw)
    assert "\\!\\[x\\](http" in raw


def test_a_table_shows_the_texts_of_a_file_as_written(go: Go) -> None:
    app = go("fees")
    data = f"key,label\nx,{EVIL}\n".replace("key,", f"{EVIL},").encode()
    app.file_uploader("fees_in").upload("evil.csv", data, "text/csv").run()
    cells = " ".join(app.table[0].value["Found"])
    assert "![x](" not in cells
    assert "![x](http" in show(cells)


def test_a_broken_practice_folder_is_said_with_every_problem(app: AppTest, user_folder: Path, go: Go) -> None:
    (user_folder / "practice").mkdir(parents=True)
    (user_folder / "practice" / "settings.toml").write_text("[practice]\nnme = 1\n", encoding="utf-8")
    open_demo(app)
    go("options")
    assert "The practice folder cannot be used: 1 problem." in show(app.error[0].value)
    assert "'nme'" in show(app.table[0].value["Found"][0])
