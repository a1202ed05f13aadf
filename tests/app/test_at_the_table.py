"""At the table: the patient sees options, lines, help, what is left and ways to pay, and nothing that is for the office."""

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from estimator.inputs.fees.schedule import FeeSchedule
from tests.app.conftest import Go, open_demo, show
from tests.app.test_case_page import find
from tests.app.test_paying import choose_ways, find_ways
from tests.app.test_quote_versions import keep, open_version, press

WIDGETS = (
    "button", "button_group", "chat_input", "checkbox", "color_picker", "date_input", "download_button", "file_uploader",
    "multiselect", "number_input", "radio", "select_slider", "selectbox", "slider", "text_area", "text_input",
    "time_input", "arrow_data_frame", "expander", "code", "tabs",
)  # fmt: skip
OFFICE = (
    "row ", "rule", "provider", "kind", "office", "off-", "demo_fees", ".csv", "schedule", "margin", "practice cost",
    "practice_cost", "overhead", "quantity", "implants,", "mandible", "maxilla", "milestone", "benefit",
    "before you print", "profile.toml", "lawyer", "your cap", "kept", "version",
)  # fmt: skip


def put_office_marks(fees: FeeSchedule) -> FeeSchedule:
    """Costs and codes in every line that nothing else looks like."""
    lines = {
        key: replace(line, practice_cost=Decimal("7313.37"), office_code="OFF-7317") for key, line in fees.lines.items()
    }
    return replace(fees, lines=lines)


def turn(app: AppTest, *, on: bool = True) -> AppTest:
    app.toggle("at_table").set_value(on).run()
    assert not app.exception
    return app


def read_everything(app: AppTest) -> str:
    kinds = ("title", "header", "subheader", "markdown", "warning", "error", "info")
    texts = [show(str(getattr(one, "value", ""))) for kind in kinds for one in app.get(kind)]
    texts += [f"{one.label} {one.value}" for one in app.metric]
    texts += [show(table.value.to_string()) for table in app.table]
    return "\n".join(texts).replace("**", "")


@pytest.fixture
def quote(demo: AppTest, go: Go) -> AppTest:
    assert demo.title
    app = go("quote")
    practice = app.session_state["practice"]
    app.session_state["practice"] = replace(practice, fees=put_office_marks(practice.fees))
    app.run()
    app.selectbox("quote_0_1").select("connecting_bar").run()
    return choose_ways(app, "in_full", "milestones", "instalments", "lender")


def test_the_office_view_itself_shows_more(quote: AppTest) -> None:
    text = read_everything(quote).lower()
    assert [word for word in OFFICE if word in text]


@pytest.mark.parametrize("word", ["7313", "7,313", "OFF-7317"])
def test_no_cost_or_code_of_the_office_is_on_the_table(word: str, quote: AppTest) -> None:
    assert word not in read_everything(turn(quote))


def test_no_word_of_the_office_is_on_the_table(quote: AppTest) -> None:
    text = read_everything(turn(quote)).lower()
    assert [word for word in OFFICE if word in text] == []


def test_nothing_can_be_edited_at_the_table(quote: AppTest) -> None:
    turn(quote)
    assert [one.key for one in quote.toggle] == ["at_table"]
    assert [kind for kind in WIDGETS if list(quote.get(kind))] == []


def test_the_table_shows_option_groups_total_and_every_way(quote: AppTest) -> None:
    text = read_everything(turn(quote))
    assert "Snap-on denture on a bar, lower jaw" in text
    assert "You pay 8,590.00" in text
    assert "US dollars" in text
    for group in ("Visits: ", "Work of the laboratory: ", "Parts: "):
        assert group in text
    for way in ("All at the start", "In parts, as treatment goes on", "In instalments", "Through an outside lender"):
        assert way in text
    assert "Invented prices, not a real quote." in text


def test_the_groups_add_up_to_the_price(quote: AppTest) -> None:
    turn(quote)
    groups = [show(one.value) for one in quote.subheader if ": " in show(one.value)]
    amounts = [Decimal(group.rpartition(": ")[2].replace(",", "")) for group in groups]
    assert sum(amounts) == Decimal("8590.00")


def test_terms_of_credit_are_shown_to_the_patient(quote: AppTest) -> None:
    find(quote, "number_input", "_rate").set_value(8.0).run()
    text = read_everything(turn(quote))
    assert "Terms of credit: in instalments" in text
    assert "Finance charge" in text
    assert "Annual percentage rate" in text
    assert "not said yet" not in text


def test_the_table_speaks_the_language_of_the_patient(demo: AppTest, go: Go) -> None:
    find(demo, "selectbox", "_language").select("es").run()
    app = choose_ways(go("quote"), "in_full", "milestones", "instalments", "lender")
    find(app, "number_input", "_rate").set_value(7.25).run()
    text = read_everything(turn(app))
    for words in ("Usted paga", "Citas: ", "Formas de pagar", "A plazos", "Total de pagos", "Puede cambiar de opinión"):
        assert words in text
    english = ("You pay", "Visits", "Ways to pay", "Nothing", "In all", "lower jaw", "Finance charge", "Prices of")
    assert [words for words in english if words in text] == []


def test_the_table_speaks_the_language_that_was_chosen_for_the_papers(quote: AppTest) -> None:
    quote.selectbox("quote_paper_now_language_en_1").select("es").run()
    assert "Usted paga" in read_everything(turn(quote))


def test_what_was_typed_is_still_there_when_the_screen_is_turned_back(quote: AppTest) -> None:
    find(quote, "number_input", "_number").set_value(9).run()
    turn(quote)
    quote.run()
    turn(quote, on=False)
    assert quote.selectbox("quote_0_1").value == "connecting_bar"
    assert "9 payments" in " ".join(find_ways(quote)["Then"])


def test_a_quote_with_problems_is_not_shown_to_a_patient(quote: AppTest) -> None:
    find(quote, "number_input", "_full").set_value(0.8).run()
    text = read_everything(turn(quote))
    assert "The quote is not ready yet." in text
    assert "8,590" not in text


def test_a_kept_version_is_shown_at_the_table_as_it_was(quote: AppTest) -> None:
    keep(quote)
    quote.selectbox("quote_0_1").select("conventional_denture").run()
    open_version(quote, "C-1042-Q1, version 1")
    press(quote, "turn_screen")
    assert quote.toggle("at_table").value
    assert "You pay 8,590.00" in read_everything(quote)
    assert "Fee quote C-1042-Q1, version 1" in read_everything(quote)


def test_a_quote_that_is_not_kept_is_a_draft_at_the_table(quote: AppTest) -> None:
    assert "Fee quote, draft for case C-1042, mark " in read_everything(turn(quote))


def test_two_jaws_say_which_line_is_for_which(demo: AppTest, go: Go) -> None:
    find(demo, "button_group", "case_jaws").set_value("Both jaws").run()
    text = read_everything(turn(go("quote")))
    assert "(lower jaw)" in text
    assert "(upper jaw)" in text


def test_tax_stands_between_the_lines_and_the_price(app: AppTest, go: Go, user_folder: Path) -> None:
    (user_folder / "practice").mkdir(parents=True)
    (user_folder / "practice" / "settings.toml").write_text("[tax]\nlaboratory = 0.1\n", encoding="utf-8")
    open_demo(app)
    text = read_everything(turn(go("quote")))
    assert "Tax: 74.00" in text
    assert "You pay 2,324.00" in text
