"""On the Quote page the office may count what a plan answered: off until it chooses so, and marked wherever it is read."""

import pytest
from streamlit.testing.v1 import AppTest

from tests.app.conftest import Go, show
from tests.app.test_benefits import ANSWER, choose_answer, choose_plan, find_part, find_table, list_problems, upload
from tests.app.test_paying import read
from tests.app.test_quote_versions import keep, list_versions

MARK = "as the plan answered on November 10, 2026"
LINE = "Denture finished, lower jaw"


@pytest.fixture
def answered(demo: AppTest, go: Go) -> AppTest:
    app = choose_plan(go("quote"), "plan_a.toml")
    return upload(choose_answer(app, "file"), "answer_in", ANSWER)


def count(app: AppTest, *, counted: bool = True) -> AppTest:
    find_part(app, "checkbox", "answer_counted").set_value(counted).run()
    assert not app.exception, [e.message for e in app.exception]
    return app


def find_paid(app: AppTest) -> float:
    table = find_table(app, "Patient pays")
    by_line: dict[str, float] = dict(zip(table["Line"], table["Plan pays"], strict=True))
    return by_line[LINE]


def find_left(app: AppTest) -> float:
    return float(find_table(app, "Patient pays")["Patient pays"].iloc[-1])


def test_an_answer_is_not_counted_until_the_office_chooses_so(answered: AppTest) -> None:
    assert not find_part(answered, "checkbox", "answer_counted").value
    assert find_paid(answered) != 20.0
    assert MARK not in read(answered)


def test_a_counted_answer_is_what_the_quote_takes_off(answered: AppTest) -> None:
    estimated = find_left(answered)
    app = count(answered)
    assert find_paid(app) == 20.0
    assert find_left(app) != estimated
    assert f"To pay {find_left(app):,.2f} USD" in read(app)


def test_taking_the_choice_back_leaves_the_estimate_as_it_was(answered: AppTest) -> None:
    before = list(find_table(answered, "Patient pays")["Plan pays"])
    app = count(count(answered), counted=False)
    assert list(find_table(app, "Patient pays")["Plan pays"]) == before
    assert MARK not in read(app)


def test_every_line_still_comes_apart_to_its_fee(answered: AppTest) -> None:
    table = find_table(count(answered), "Patient pays")
    together = table["Plan pays"] + table["Write-off"] + table["Patient pays"]
    assert [round(amount, 2) for amount in together] == list(table["Fee"])


def test_page_and_text_for_an_email_say_that_an_answer_is_counted_and_promises_nothing(answered: AppTest) -> None:
    app = count(answered)
    text = next(code.value for code in app.code if "You pay" in code.value)
    for said in (read(app), text):
        assert MARK in said
        assert "still not a guarantee of payment." in said
    assert "As the plan answered on November 10, 2026; still not a guarantee of payment." in read(app)


def test_the_answer_stays_beside_the_estimate_when_it_is_counted(answered: AppTest) -> None:
    before = find_table(answered, "Answered")
    assert find_table(count(answered), "Answered").equals(before)


def test_the_choice_stays_while_another_page_is_looked_at(answered: AppTest, go: Go) -> None:
    count(answered)
    go("options")
    assert find_paid(go("quote")) == 20.0


def test_another_answer_of_the_plan_is_not_counted_by_itself(answered: AppTest) -> None:
    app = upload(count(answered), "answer_in", ANSWER.replace("2026-11-10", "2026-11-12"))
    assert not find_part(app, "checkbox", "answer_counted").value
    assert find_paid(app) != 20.0


WRONG = [
    (("20.00", "90000.00"), "lines[1].plan_pays", "from 0 to "),
    (("answered_on = 2026-11-10", "answered_on = 2026-11-10\nvalid_until = 2026-11-11"), "valid_until", "ask again"),
]


@pytest.mark.parametrize(("change", "where", "hint"), WRONG, ids=["above the fee", "no longer valid"])
def test_an_answer_that_cannot_be_counted_is_asked_back_and_the_estimate_stands(
    change: tuple[str, str], where: str, hint: str, demo: AppTest, go: Go
) -> None:
    app = choose_plan(go("quote"), "plan_a.toml")
    estimated = find_left(app)
    app = count(upload(choose_answer(app, "file"), "answer_in", ANSWER.replace(*change)))
    assert any(where == place and hint in expected for place, expected in list_problems(app)), list_problems(app)
    assert find_left(app) == estimated
    assert MARK not in read(app)


def test_an_answer_without_a_single_line_has_nothing_to_count(demo: AppTest, go: Go) -> None:
    app = choose_plan(go("quote"), "plan_a.toml")
    silent = ANSWER.partition("[[lines]]")[0].replace("approved_in_part", "more_asked")
    app = upload(choose_answer(app, "file"), "answer_in", silent)
    assert not [widget for widget in app.checkbox if "answer_counted" in (widget.key or "")]


def test_a_further_version_says_that_the_answer_is_counted_now(answered: AppTest) -> None:
    keep(answered)
    keep(count(answered))
    assert len(list_versions(answered)) == 2
    answered.selectbox("open_version").select("C-1042-Q1, version 2").run()
    changed = next(table.value for table in answered.table if "Before" in table.value.columns)
    row = {show(one["What"]): (show(one["Before"]), show(one["Now"])) for one in changed.to_dict("records")}
    assert row["As the plan answered"] == ("", "Plan A (invented), 2026-11-10")
    assert MARK in read(answered)


def test_at_the_table_the_patient_reads_that_it_is_the_plans_answer(answered: AppTest) -> None:
    count(answered)
    answered.toggle("at_table").set_value(True).run()
    assert not answered.exception
    assert MARK in read(answered)
