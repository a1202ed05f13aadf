"""The Quote page's discounts and ways to pay: what comes of them at once, and what is said when they do not go."""

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from streamlit.testing.v1 import AppTest

from estimator import files
from estimator.base.problems import InputError
from estimator.inputs.payment.reader import read_payment_terms
from estimator.ui.quote.payment_form import find_line, label_payment_fields
from tests.app.conftest import Go, open_demo, show
from tests.app.test_case_page import find

DEMO_FEES = files.find_demo_fees()


def read(app: AppTest) -> str:
    kinds = ("header", "subheader", "markdown", "error")
    return "\n".join(show(str(getattr(e, "value", ""))) for kind in kinds for e in app.get(kind)).replace("**", "")


def choose_ways(app: AppTest, *kinds: str) -> AppTest:
    for kind in ("in_full", "milestones", "instalments", "lender"):
        find(app, "checkbox", f"_way_{kind}").set_value(kind in kinds)
    app.run()
    assert not app.exception
    return app


def find_ways(app: AppTest) -> Any:
    return next(table.value for table in app.table if "At signing" in table.value.columns)


def test_a_practice_without_milestones_begins_with_all_at_the_start(demo: AppTest, go: Go) -> None:
    table = find_ways(go("quote"))
    assert list(table["In all"]) == ["2,250.00"]
    assert list(table["Then"]) == ["nothing more"]


def test_milestones_share_out_the_price_without_losing_a_cent(demo: AppTest, go: Go) -> None:
    table = find_ways(choose_ways(go("quote"), "milestones"))
    assert "2 payments, 1,125.00 first" in table["Then"].iloc[0]


def test_four_ways_stand_side_by_side(demo: AppTest, go: Go) -> None:
    app = choose_ways(go("quote"), "in_full", "milestones", "instalments", "lender")
    assert len(find_ways(app)) == 4


def test_an_interest_shows_its_rate_and_the_terms_of_credit(demo: AppTest, go: Go) -> None:
    app = choose_ways(go("quote"), "instalments")
    find(app, "number_input", "_rate").set_value(8.0).run()
    assert not app.exception
    [apr] = find_ways(app)["APR"]
    assert 7.9 < float(apr.split()[0]) < 8.1
    assert any("Finance charge" in list(table.value["What"]) for table in app.table if "Terms" in table.value.columns)


def test_a_discount_beside_instalments_is_warned_of(demo: AppTest, go: Go) -> None:
    app = choose_ways(go("quote"), "in_full", "instalments")
    find(app, "number_input", "_full").set_value(5.0).run()
    assert "A rule may count it as a charge of the instalments" in read(app)


def test_a_percentage_under_one_is_asked_back(demo: AppTest, go: Go) -> None:
    """0.8 for 80 is the usual slip."""
    app = choose_ways(go("quote"), "in_full")
    find(app, "number_input", "_full").set_value(0.8).run()
    assert "These ways to pay do not work out yet: 1 problem." in read(app)
    assert any(
        "a percentage of 0, or from 1 to 100" in show(table.value["Expected"].iloc[0])
        for table in app.table
        if "Expected" in table.value.columns
    )


def test_no_way_at_all_is_said(demo: AppTest, go: Go) -> None:
    assert "No way to pay is chosen yet" in read(choose_ways(go("quote")))


def test_the_text_for_an_email_names_no_patient(demo: AppTest, go: Go) -> None:
    app = go("quote")
    [text] = [code.value for code in app.code]
    assert "C-1042" in text
    assert "You pay: 2,250.00" in text
    assert "Nguy" not in text


def read_email(app: AppTest) -> list[str]:
    [text] = [code.value for code in app.code]
    return [line.strip() for line in text.splitlines()]


def test_the_text_for_an_email_has_the_tax_between_the_lines_and_the_price(
    app: AppTest, go: Go, user_folder: Path
) -> None:
    (user_folder / "practice").mkdir(parents=True)
    (user_folder / "practice" / "settings.toml").write_text("[tax]\nlaboratory = 0.1\n", encoding="utf-8")
    open_demo(app)
    text = read_email(go("quote"))
    assert "Tax: 74.00" in text
    assert "You pay: 2,324.00" in text


def test_page_and_email_say_what_a_range_may_come_to_at_most(app: AppTest, go: Go, user_folder: Path) -> None:
    folder = user_folder / "practice"
    (folder / "fees").mkdir(parents=True)
    (folder / "profile.toml").write_text('based_on = "generic"\nranges = true\n', encoding="utf-8")
    fees = DEMO_FEES.read_text(encoding="utf-8").replace("case,140.00,", "case,140.00 to 180.00,")
    (folder / "fees" / "own.csv").write_text(fees, encoding="utf-8")
    open_demo(app)
    go("quote")
    app.selectbox("quote_0_1").select("connecting_bar").run()
    said = "at most 8,630.00 if each range comes out at its top"
    assert "- Examination and talk: 160.00, at most 180.00" in read_email(app)
    assert "You pay at most: 8,630.00" in read_email(app)
    assert said in read(app)


def test_the_text_for_an_email_tells_the_jaws_of_lines_of_one_name_apart(demo: AppTest, go: Go) -> None:
    go("case")
    find(demo, "button_group", "case_jaws").set_value("Both jaws").run()
    text = read_email(go("quote"))
    for jaw in ("lower jaw", "upper jaw"):
        assert f"- First impressions ({jaw}): 150.00" in text


def test_the_text_for_an_email_is_in_the_language_of_the_patient(demo: AppTest, go: Go) -> None:
    find(demo, "selectbox", "_language").select("es").run()
    text = read_email(go("quote"))
    assert "Usted paga: 2,250.00" in text
    assert "- Primeros moldes: 150.00" in text


def test_a_discount_of_one_line_is_of_that_line_and_a_line_that_left_the_quote_is_blamed() -> None:
    lines = {"mandible.jig": "Jig", "mandible.tray": "Tray"}
    assert find_line("Jig", lines) == {"lines": ["mandible.jig"], "spread": "lines"}
    assert find_line("", lines) == find_line(None, lines) == {}
    document = {"adjustments": [{"reason": "courtesy", "percent": Decimal(10), **find_line("Gone", lines)}]}
    with pytest.raises(InputError) as caught:
        read_payment_terms(document, file="ways", currency="USD", signed_on=date(2026, 11, 25), lines=lines)
    assert [problem.found for problem in caught.value.problems] == ["Gone"]


def test_one_step_of_the_interest_is_a_percentage_that_is_taken(demo: AppTest, go: Go) -> None:
    app = choose_ways(go("quote"), "instalments")
    find(app, "number_input", "_rate").increment().run()
    assert not app.error
    assert find_ways(app)["APR"].iloc[0].startswith("1.00")


def test_a_discount_of_which_only_the_reason_is_typed_stops_nothing(
    demo: AppTest, go: Go, monkeypatch: pytest.MonkeyPatch
) -> None:
    row = {"reason": ["loyal patient"], "percent": [None], "amount": [None], "line": [None]}
    monkeypatch.setattr("streamlit.data_editor", lambda *_, **__: pd.DataFrame(row))
    told = read(go("quote"))
    assert "Not counted yet, without a percent or an amount: loyal patient." in told
    assert "To pay 2,250.00 USD" in told


def test_a_problem_of_a_way_is_said_where_the_form_asks_for_it() -> None:
    document = {
        "adjustments": [{"reason": "loyal patient", "percent": Decimal("0.8")}],
        "ways": [{"key": "in_full", "label": "all at the start"}, {"key": "instalments", "label": "in instalments"}],
    }
    labels = label_payment_fields(document, {})
    assert labels["proposal", "adjustments", 1, "percent"] == "Discount loyal patient: percent"
    assert labels["adjustments", 1, "amount"] == "Discount loyal patient: amount"
    assert labels["proposal", "ways", 2, "rate_percent"] == "In instalments: interest a year, percent"
    assert labels["instalments", "set_up_fee"] == "In instalments: set-up fee"
    assert ("proposal", "ways") not in labels
