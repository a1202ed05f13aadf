"""A typed plan's limits on how often it pays and what it has paid for: the same as in a file, and why a line lost it."""

import tomllib
from datetime import date
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

from estimator.files.practice.plans import write_plan_text
from estimator.inputs.plans.model import BenefitPlan
from estimator.ui.quote.benefits import plan_files
from tests.app.conftest import Go
from tests.app.test_benefits import choose_plan, find_part, find_table, list_problems, type_plan, upload
from tests.app.test_paying import read

ONCE = """
[[frequencies]]
times = 1
months = 60
lines = ["panoramic_film"]

[[member.past]]
line = "panoramic_film"
on = 2024-05-02
"""
OF_A_CLASS = """
[[frequencies]]
times = 2
months = 36
classes = ["diagnostic"]

[[member.past]]
line = "cone_beam_ct"
on = 2025-03-10
benefit_class = "diagnostic"
"""
TYPED: dict[str, dict[str, Any]] = {
    ONCE: {
        "often_1_times": 1, "often_1_months": 60, "often_1_lines": ["panoramic_film"],
        "past_1_line": "panoramic_film", "past_1_day": date(2024, 5, 2),
    },
    OF_A_CLASS: {
        "often_1_times": 2, "often_1_months": 36, "often_1_classes": ["diagnostic"],
        "past_1_line": "cone_beam_ct", "past_1_day": date(2025, 3, 10),
    },
}  # fmt: skip


@pytest.fixture
def texts(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Every plan file that the page has offered for download, the last one last."""
    written: list[str] = []

    def write(plan: BenefitPlan) -> str:
        written.append(write_plan_text(plan))
        return written[-1]

    monkeypatch.setattr(plan_files, "write_plan_text", write)
    return written


def fill(app: AppTest, **values: Any) -> AppTest:
    """Type into the rows that are there."""
    kinds = ("number_input", "multiselect", "selectbox", "date_input")
    for part, value in values.items():
        widgets: list[Any] = [widget for kind in kinds for widget in app.get(kind)]
        next(w for w in widgets if (w.key or "").startswith(f"plan_1_{part}_")).set_value(value)
    app.run()
    assert not app.exception, [e.message for e in app.exception]
    return app


def list_paid(app: AppTest) -> dict[str, float]:
    table = find_table(app, "Patient pays")
    return dict(zip(table["Line"], table["Plan pays"], strict=True))


@pytest.mark.parametrize("tables", TYPED, ids=["of a line", "of a benefit class"])
def test_a_typed_limit_and_past_service_leave_what_the_same_plan_file_leaves(
    tables: str, demo: AppTest, go: Go, texts: list[str]
) -> None:
    app = type_plan(go("quote"))
    without, file = list_paid(app), texts[-1].replace("frequencies = []", "") + tables
    typed = list_paid(fill(app, **TYPED[tables]))
    said = read(app)
    assert not list_problems(app)
    assert typed != without
    app = upload(choose_plan(app, "file"), "plan_1_in", file)
    assert list_paid(app) == typed
    assert said.count("Frequency: ") == read(app).count("Frequency: ") > 0


def test_the_line_that_is_paid_too_often_says_so(demo: AppTest, go: Go) -> None:
    app = fill(type_plan(go("quote")), **TYPED[ONCE])
    assert "Frequency: once in 60 months; on that day none is left." in read(app)
    assert list_paid(app)["Panoramic film"] == 0.0


def test_a_limit_without_anything_paid_before_leaves_the_estimate(demo: AppTest, go: Go) -> None:
    app = type_plan(go("quote"))
    before = list_paid(app)
    app = fill(app, often_1_times=1, often_1_months=60, often_1_lines=["panoramic_film"])
    assert list_paid(app) == before


@pytest.mark.parametrize("tables", TYPED, ids=["of a line", "of a benefit class"])
def test_limits_and_past_services_are_saved_as_a_plan_file_has_them(
    tables: str, demo: AppTest, go: Go, texts: list[str]
) -> None:
    fill(type_plan(go("quote")), **TYPED[tables])
    saved, wanted = tomllib.loads(texts[-1]), tomllib.loads(tables)
    assert saved["frequencies"] == wanted["frequencies"]
    past = [{"benefit_class": "diagnostic"} | service for service in wanted["member"]["past"]]
    assert saved["member"]["past"] == past


def test_a_further_row_follows_the_last_one_that_is_filled_in(demo: AppTest, go: Go, texts: list[str]) -> None:
    app = fill(type_plan(go("quote")), **TYPED[ONCE])
    app = fill(app, past_2_line="cone_beam_ct", past_2_day=date(2024, 6, 2))
    assert [service["line"] for service in tomllib.loads(texts[-1])["member"]["past"]] == [
        "panoramic_film", "cone_beam_ct",
    ]  # fmt: skip
    app = fill(app, past_1_line="", past_1_day=None)
    assert [service["line"] for service in tomllib.loads(texts[-1])["member"]["past"]] == ["cone_beam_ct"]


def test_limits_and_past_services_stay_while_another_page_is_looked_at(demo: AppTest, go: Go) -> None:
    app = fill(type_plan(go("quote")), **TYPED[ONCE])
    before = list_paid(app)
    fill(app, often_2_times=3)
    go("options")
    app = go("quote")
    assert find_part(app, "multiselect", "plan_1_often_1_lines").value == ["panoramic_film"]
    assert find_part(app, "number_input", "plan_1_often_2_times").value == 3
    assert find_part(app, "date_input", "plan_1_past_1_day").value == date(2024, 5, 2)
    app = fill(app, often_2_times=None)
    assert list_paid(app) == before


WRONG: list[tuple[dict[str, Any], str, str]] = [
    ({"often_1_times": 1, "often_1_lines": ["panoramic_film"]}, "Limit 1: in months", "from 1 to 600"),
    ({"often_1_times": 1, "often_1_months": 60}, "Limit 1: for lines", "lines, benefit classes, or both"),
    ({"often_1_times": 0, "often_1_months": 60, "often_1_lines": ["panoramic_film"]}, "Limit 1: times", "from 1"),
    ({"past_1_line": "panoramic_film"}, "Paid before 1: day", "the day of the service"),
    ({"past_1_day": date(2024, 5, 2)}, "Paid before 1: line", "a line of the fee schedule"),
    ({"past_1_line": "panoramic_film", "past_1_day": date(1944, 1, 1)}, "Paid before 1: day", "the patient was born"),
    ({"past_1_line": "panoramic_film", "past_1_day": date(2190, 1, 1)}, "Paid before 1: day", "not after today"),
]


@pytest.mark.parametrize(("values", "where", "hint"), WRONG, ids=[
    "no months", "about nothing", "no times", "no day", "no line", "before birth", "in the future",
])  # fmt: skip
def test_a_wrong_limit_or_past_service_is_named_with_a_hint(
    values: dict[str, Any], where: str, hint: str, demo: AppTest, go: Go
) -> None:
    app = fill(type_plan(go("quote")), **values)
    assert any(where == place and hint in expected for place, expected in list_problems(app)), list_problems(app)
    assert "To pay 2,250.00 USD" in read(app)


def test_a_limit_on_a_class_that_is_not_covered_is_asked_back_by_the_number_of_its_row(demo: AppTest, go: Go) -> None:
    app = fill(type_plan(go("quote"), surgery_pays=None), **TYPED[ONCE])
    app = fill(app, often_2_times=1, often_2_months=60, often_2_classes=["surgery"])
    app = fill(app, often_1_times=None, often_1_months=None, often_1_lines=[])
    assert "Limit 2: for benefit classes" in [where for where, _ in list_problems(app)]
