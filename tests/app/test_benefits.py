"""Help from a benefit plan on the Quote page: chosen, opened or typed; why each line came out so; problems with hints."""

import tomllib
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from streamlit.testing.v1 import AppTest

from estimator import files
from estimator.files.practice.plans import read_plan_text, write_plan_text
from estimator.inputs.plans.model import BenefitPlan
from estimator.ui.quote.benefits import plan_files
from tests.app.conftest import Go, show
from tests.app.test_case_page import find
from tests.app.test_paying import read

PLAN_A = (files.DATA / "demo" / "plans" / "plan_a.toml").read_text(encoding="utf-8")


def find_part(app: AppTest, kind: str, part: str) -> Any:
    """A widget by a part of its key, which ends with the number of the case."""
    return next(widget for widget in app.get(kind) if part in (widget.key or ""))


def choose_plan(app: AppTest, way: str, *, number: int = 1) -> AppTest:
    find_part(app, "selectbox", f"plan_{number}_way").set_value(way).run()
    assert not app.exception, [e.message for e in app.exception]
    return app


def find_table(app: AppTest, column: str) -> pd.DataFrame:
    return next(table.value for table in app.table if column in table.value.columns)


def list_problems(app: AppTest) -> list[tuple[str, str]]:
    return [
        (show(where), show(expected))
        for table in app.table
        if "Expected" in table.value.columns
        for where, expected in zip(table.value["Where"], table.value["Expected"], strict=True)
    ]


def type_plan(app: AppTest, **values: Any) -> AppTest:
    """A typed plan that pays 100, 60 and 50 percent, with changes by the part of a key."""
    choose_plan(app, "form")
    usual = {"name": "Plan C", "diagnostic_pays": 100.0, "surgery_pays": 60.0, "prosthetic_pays": 50.0}
    for part, value in {**usual, **values}.items():
        kinds = ("number_input", "text_input", "checkbox", "date_input", "selectbox")
        widget: Any = next(
            w for kind in kinds for w in app.get(kind) if (w.key or "").startswith(f"plan_1_{part}_")
            and (w.key or "").removeprefix(f"plan_1_{part}_").isdigit()
        )  # fmt: skip
        widget.set_value(value)
    app.run()
    assert not app.exception, [e.message for e in app.exception]
    return app


def test_without_a_plan_nothing_is_estimated(demo: AppTest, go: Go) -> None:
    app = go("quote")
    assert "Benefit estimate" not in read(app)
    assert "To pay 2,250.00 USD" in read(app)


def test_the_plans_of_the_practice_folder_are_offered(demo: AppTest, go: Go, user_folder: Path) -> None:
    folder = user_folder / "practice" / "plans"
    folder.mkdir(parents=True)
    (folder / "ours.toml").write_text(PLAN_A, encoding="utf-8")
    own = find_part(go("quote"), "selectbox", "plan_1_way").options
    assert own == ["Not asked yet", "No plan", "Plan A (invented)", "Another plan file", "Typed in here"]
    (folder / "copy.toml").write_text(PLAN_A, encoding="utf-8")
    (folder / "broken.toml").write_text("name = ", encoding="utf-8")
    own = find_part(go("quote"), "selectbox", "plan_1_way").options
    assert own[2:5] == ["broken.toml", "Plan A (invented), copy.toml", "Plan A (invented), ours.toml"]


@pytest.fixture
def helped(demo: AppTest, go: Go) -> AppTest:
    return choose_plan(go("quote"), "plan_a.toml")


def test_the_estimate_has_its_title_and_is_no_guarantee(helped: AppTest) -> None:
    assert "Benefit estimate" in [s.value for s in helped.subheader]
    assert "This is an estimate, not a guarantee of payment." in read(helped)


def test_every_line_comes_apart_to_its_fee(helped: AppTest) -> None:
    table = find_table(helped, "Patient pays")
    together = table["Plan pays"] + table["Write-off"] + table["Patient pays"]
    assert [round(amount, 2) for amount in together] == list(table["Fee"])
    assert table["Plan pays"].iloc[-1] > 0


def test_what_is_left_to_pay_is_what_the_estimate_leaves(helped: AppTest) -> None:
    left = find_table(helped, "Patient pays")["Patient pays"].iloc[-1]
    assert f"To pay {left:,.2f} USD" in read(helped)
    assert list(find_table(helped, "At signing")["In all"]) == [f"{left:,.2f}"]


def test_each_line_says_why_in_the_words_of_either_reader(helped: AppTest) -> None:
    assert "Written off by contract: 30.00." in read(helped)
    find_part(helped, "radio", "help_reader").set_value("patient").run()
    assert "You do not owe 30.00: our contract with the plan takes it off." in read(helped)
    assert "Written off by contract" not in read(helped)
    assert "You pay" in find_table(helped, "You do not owe").columns


def test_a_second_plan_pays_after_the_first_by_the_method_chosen(helped: AppTest) -> None:
    app = choose_plan(helped, "plan_b.toml", number=2)
    before = find_table(app, "Second plan pays")["Second plan pays"].iloc[-1]
    find_part(app, "radio", "method_plan_b").set_value("standard").run()
    assert not app.exception
    assert find_table(app, "Second plan pays")["Second plan pays"].iloc[-1] > before


def test_the_same_plan_twice_is_asked_back(helped: AppTest) -> None:
    app = choose_plan(helped, "plan_a.toml", number=2)
    assert ("Second plan", "another plan than the first") in list_problems(app)
    assert "To pay 2,250.00 USD" in read(app)


def test_treatment_over_two_benefit_years_is_compared_and_no_date_is_moved(helped: AppTest) -> None:
    find(helped, "date_input", "start_day").set_value(date(2026, 11, 30)).run()
    assert "This treatment falls into more than one year of your plan." in read(helped)
    assert "All counted in the last year they would pay" in read(helped)
    assert "We do not move them for a plan." in read(helped)


def test_treatment_in_one_benefit_year_says_so(helped: AppTest) -> None:
    find(helped, "date_input", "start_day").set_value(date(2027, 2, 1)).run()
    assert "All lines fall into one benefit year." in read(helped)


def test_the_letter_names_what_the_plan_needs_and_nothing_of_the_patients_health(helped: AppTest) -> None:
    letter = next(code.value for code in helped.code if "Request for a decision" in code.value)
    assert "Our reference: C-1042" in letter
    assert "Denture finished" in letter
    assert "implant" not in letter.lower()


def upload(app: AppTest, part: str, text: str) -> AppTest:
    find_part(app, "file_uploader", part).upload("new.toml", text.encode(), "application/toml").run()
    assert not app.exception, [e.message for e in app.exception]
    return app


def test_a_plan_file_that_is_opened_helps_at_once(demo: AppTest, go: Go) -> None:
    app = upload(choose_plan(go("quote"), "file"), "plan_1_in", PLAN_A.replace("Plan A", "Plan D"))
    assert "Plan D (invented), in network." in read(app)
    assert "To pay 2,250.00" not in read(app)


WRONG = [
    ("plan_pays_percent = 60", "plan_pays_percent = 0.6", "for a share of 0.6 write 60"),
    ('currency = "USD"', 'currency = "EUR"', "amounts are never converted"),
    ("covered_since = 2024-03-01", "covered_since = 1944-03-01", "the patient was born"),
    ("amount = 1500.00", "amount = -1500.00", "leave [annual_maximum] out"),
]


@pytest.mark.parametrize(("right", "wrong", "hint"), WRONG, ids=["share", "currency", "before birth", "below zero"])
def test_a_wrong_plan_file_lists_its_problems_and_nothing_is_counted(
    right: str, wrong: str, hint: str, demo: AppTest, go: Go
) -> None:
    app = upload(choose_plan(go("quote"), "file"), "plan_1_in", PLAN_A.replace(right, wrong))
    assert "This plan cannot be used" in read(app)
    assert any(hint in expected for _, expected in list_problems(app)), list_problems(app)
    assert "To pay 2,250.00 USD" in read(app)


def test_a_file_that_is_no_text_is_refused(demo: AppTest, go: Go) -> None:
    app = choose_plan(go("quote"), "file")
    find_part(app, "file_uploader", "plan_1_in").upload("new.toml", b"PK\x00\xff", "application/toml").run()
    assert not app.exception
    assert "This plan cannot be used" in read(app)


def test_an_opened_plan_stays_while_another_page_is_looked_at(demo: AppTest, go: Go) -> None:
    upload(choose_plan(go("quote"), "file"), "plan_1_in", PLAN_A)
    go("options")
    assert "Plan A (invented), in network." in read(go("quote"))


def test_a_typed_plan_pays_its_percentages(demo: AppTest, go: Go) -> None:
    table = find_table(type_plan(go("quote")), "Patient pays")
    by_line = dict(zip(table["Line"], table["Plan pays"], strict=True))
    assert by_line["Panoramic film"] == 130.0
    assert by_line["Denture finished, lower jaw"] == 160.0


def test_every_field_of_a_typed_plan_reaches_the_file_that_can_be_downloaded(
    demo: AppTest, go: Go, monkeypatch: pytest.MonkeyPatch
) -> None:
    texts: list[str] = []

    def write(plan: BenefitPlan) -> str:
        texts.append(write_plan_text(plan))
        return texts[-1]

    monkeypatch.setattr(plan_files, "write_plan_text", write)
    app = type_plan(
        go("quote"), network=True, month=7, rule="preparation", deductible=50.0, deductible_used=20.0, annual=1500.0,
        annual_used=240.0, lifetime=3000.0, lifetime_used=100.0, since=date(2024, 3, 1), lost=date(2020, 1, 1),
        prosthetic_waits=12, interval=60, denture_mandible=date(2019, 6, 15), missing=True, alternate=1400.0,
        subsidy=400.0, allowance=600.0, allowance_used=10.0, allowed_examination=110.0,
    )  # fmt: skip
    assert not list_problems(app)
    text = texts[-1]
    plan = read_plan_text(text, "plan_c.toml", today=date(2027, 1, 1))
    assert (plan.key, plan.in_network, plan.year_begins_month, plan.date_rule) == ("plan_c", True, 7, "preparation")
    assert plan.deductible is not None
    assert [plan.deductible.amount, plan.deductible.used] == [Decimal(50), Decimal(20)]
    assert plan.deductible.scope.classes == ("surgery", "prosthetic")
    assert [limit and limit.used for limit in (plan.annual_maximum, plan.lifetime_maximum)] == [240, 100]
    assert plan.yearly_allowance is not None
    assert plan.yearly_allowance.used == 10
    assert [plan.alternates[0].amount, plan.subsidies[0].amount] == [1400, 400]
    assert plan.replacement is not None
    assert (plan.replacement.months, plan.missing_tooth is not None) == (60, True)
    assert plan.member.dentures == {"mandible": date(2019, 6, 15)}
    assert plan.allowed == {"examination": Decimal(110)}
    assert "Nguy" not in text
    assert tomllib.loads(text)["member"]["covered_since"] == date(2024, 3, 1)


TYPED_WRONG: list[tuple[dict[str, Any], str, str]] = [
    ({"surgery_pays": 0.8}, "Surgery: plan pays, percent", "for a share of 0.8 write 80"),
    (
        {"diagnostic_pays": 0.0, "prosthetic_pays": 50.0},
        "What the plan pays, percent",
        "what the plan pays, not the patient",
    ),
    ({"annual": -1.0}, "Annual maximum", "leave it empty where the plan has no annual maximum"),
    ({"since": date(1944, 1, 1)}, "Cover began on", "the patient was born"),
    ({"surgery_waits": 6, "lost": date(2020, 1, 1)}, "Cover began on", "a waiting period"),
    ({"deductible_used": 10.0}, "Deductible, used to date", "nothing, or the amount"),
    ({"name": ""}, "Name of the plan", "at most 120 characters"),
    ({"surgery_waits": -1}, "Surgery: waiting period, months", "from 0 to 120"),
]


@pytest.mark.parametrize(("values", "where", "hint"), TYPED_WRONG, ids=[
    "a share for a percentage", "the patient's percentage", "a maximum below zero", "cover before birth",
    "a waiting period without a beginning", "used without an amount", "no name", "a wait below zero",
])  # fmt: skip
def test_a_wrong_entry_is_named_with_a_hint_and_everything_typed_stays(
    values: dict[str, Any], where: str, hint: str, demo: AppTest, go: Go
) -> None:
    app = type_plan(go("quote"), **values)
    assert any(where == place and hint in expected for place, expected in list_problems(app)), list_problems(app)
    assert find_part(app, "number_input", "plan_1_diagnostic_pays").value == values.get("diagnostic_pays", 100.0)
    assert "To pay 2,250.00 USD" in read(app)


def test_percentages_that_look_reversed_are_taken_when_they_are_checked(demo: AppTest, go: Go) -> None:
    app = type_plan(go("quote"), diagnostic_pays=0.0, checked=True)
    assert not list_problems(app)


def test_a_plan_that_pays_only_a_fixed_amount_needs_no_percentage(demo: AppTest, go: Go) -> None:
    app = type_plan(go("quote"), diagnostic_pays=None, surgery_pays=None, prosthetic_pays=None, subsidy=400.0)
    assert find_table(app, "Patient pays")["Plan pays"].iloc[-1] == 400.0


def test_two_typed_plans_stand_beside_each_other(demo: AppTest, go: Go) -> None:
    app = choose_plan(type_plan(go("quote"), annual=300.0), "form", number=2)
    find_part(app, "text_input", "plan_2_name").set_value("Plan E")
    find_part(app, "number_input", "plan_2_prosthetic_pays").set_value(80.0)
    app.run()
    assert not app.exception
    assert find_table(app, "Second plan pays")["Second plan pays"].iloc[-1] > 0
    assert "How Plan E pays after the first plan" in [radio.label for radio in app.radio]


def test_an_examination_that_is_not_covered_is_not_paid_as_a_denture(demo: AppTest, go: Go) -> None:
    table = find_table(type_plan(go("quote"), diagnostic_pays=None), "Patient pays").set_index("Line")
    assert list(table.loc[["Examination and talk", "Denture finished, lower jaw"], "Plan pays"]) == [0.0, 160.0]


def test_a_typed_plan_stays_while_another_page_is_looked_at(demo: AppTest, go: Go) -> None:
    type_plan(go("quote"), annual=700.0)
    go("options")
    app = go("quote")
    assert find_part(app, "number_input", "plan_1_annual_1").value == 700.0
    assert find_part(app, "text_input", "plan_1_name").value == "Plan C"


def test_another_case_begins_without_a_plan(demo: AppTest, go: Go) -> None:
    choose_plan(go("quote"), "plan_a.toml")
    case = (files.DATA / "demo" / "case.toml").read_text(encoding="utf-8").replace("C-1042", "C-77")
    go("case").file_uploader("case_in").upload("case.toml", case.encode(), "application/toml").run()
    demo.button("leave_aside").click().run()
    app = go("quote")
    assert find_part(app, "selectbox", "plan_1_way").value == "not_asked"
    assert "Benefit estimate" not in read(app)


def test_wrong_ways_to_pay_do_not_lose_a_typed_plan(demo: AppTest, go: Go) -> None:
    app = type_plan(go("quote"))
    find(app, "number_input", "_full").set_value(0.8).run()
    assert "These ways to pay do not work out yet" in read(app)
    find(app, "number_input", "_full").set_value(0.0).run()
    assert find_part(app, "text_input", "plan_1_name").value == "Plan C"
    assert "Benefit estimate" in read(app)


ANSWER = """
plan = "plan_a"
reference = "C-1042"
currency = "USD"
asked_on = 2026-11-01
answered_on = 2026-11-10
decision = "approved_in_part"
[[lines]]
line = "finish_denture"
jaw = "mandible"
plan_pays = 20.00
"""


def choose_answer(app: AppTest, way: str) -> AppTest:
    find_part(app, "radio", "answer_way").set_value(way).run()
    assert not app.exception
    return app


def test_the_plans_answer_stands_beside_the_estimate(helped: AppTest) -> None:
    app = upload(choose_answer(helped, "file"), "answer_in", ANSWER)
    table = find_table(app, "Answered").set_index("Line")
    assert table.loc["Denture finished, lower jaw", "Answered"] == "20.00"
    assert "less than estimated" in str(table.loc["Denture finished, lower jaw", "Difference"])
    assert table.loc["Tooth trial, lower jaw", "Difference"] == "no answer for this line"
    assert "Approved in part on 2026-11-10" in read(app)


def test_a_typed_answer_stands_beside_the_estimate(helped: AppTest) -> None:
    app = choose_answer(helped, "form")
    find_part(app, "number_input", "answer_examination").set_value(110.0).run()
    table = find_table(app, "Answered").set_index("Line")
    assert table.loc["Examination and talk", "Difference"] == "as estimated"


def test_an_answer_for_another_case_is_asked_back(helped: AppTest) -> None:
    app = upload(choose_answer(helped, "file"), "answer_in", ANSWER.replace("C-1042", "C-7"))
    assert ("reference", "C-1042, the case that is open") in list_problems(app)


def test_an_answer_that_cannot_be_read_leaves_the_estimate(helped: AppTest) -> None:
    app = upload(choose_answer(helped, "file"), "answer_in", ANSWER.replace("20.00", "-20.00"))
    assert "This answer cannot be used" in read(app)
    assert "Benefit estimate" in read(app)


def test_the_text_for_an_email_says_what_plans_are_expected_to_pay(helped: AppTest) -> None:
    text = next(code.value for code in helped.code if "You pay" in code.value)
    assert "Your plan should pay: " in text
    assert "not a guarantee of payment" in text


def test_both_jaws_are_told_apart_and_what_is_charged_once_stands_once(demo: AppTest, go: Go) -> None:
    upper = """
[[jaws]]
arch = "maxilla"
implants = 4
implants_present = false
"""
    case = (files.DATA / "demo" / "case.toml").read_text(encoding="utf-8") + upper
    go("case").file_uploader("case_in").upload("case.toml", case.encode(), "application/toml").run()
    app = choose_plan(go("quote"), "plan_a.toml")
    names = list(find_table(app, "Patient pays")["Line"])
    assert names.count("Examination and talk") == 1
    assert {"Denture finished, lower jaw", "Denture finished, upper jaw"} <= set(names)
