"""Benefit plans on the command line: what they pay of each option, as JSON and as text; wrong plans."""

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from estimator import files
from estimator.cli import main

DEMO = files.DATA / "demo"
CASE = str(DEMO / "case.toml")
PLANS = [str(path) for path in files.find_plans(DEMO)]


def run(capsys: pytest.CaptureFixture[str], *plans: str, more: tuple[str, ...] = ()) -> str:
    named = [part for plan in plans for part in ("--plan", plan)]
    assert main(["estimate", CASE, "--start", "2026-11-30", *named, *more]) == 0
    return capsys.readouterr().out


def test_json_holds_the_benefits_of_every_option_to_the_cent(capsys: pytest.CaptureFixture[str]) -> None:
    shown: dict[str, Any] = json.loads(run(capsys, *PLANS, more=("--json",)))
    options = [option["key"] for option in shown["jaws"][0]["options"]]
    assert [one["option"] for one in shown["benefits"]] == options
    for line in (line for one in shown["benefits"] for line in one["lines"]):
        paid = sum(Decimal(amount) for amount in line["plan_pays"])
        assert paid + Decimal(line["write_off"]) + Decimal(line["patient_pays"]) == Decimal(line["fee"])


def test_plans_help_with_what_is_charged_after_discounts(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    case = tmp_path / "case.toml"
    offered = '\n[proposal]\nadjustments = [{ reason = "courtesy", percent = 10 }]\n'
    case.write_text(Path(CASE).read_text(encoding="utf-8") + offered, encoding="utf-8")
    assert main(["estimate", str(case), "--start", "2026-11-30", "--plan", PLANS[0], "--json"]) == 0
    shown = json.loads(capsys.readouterr().out)
    assert [one["fee"] for one in shown["benefits"]] == ["2025.00", "4482.00", "7731.00"]
    assert [one["fee"] for one in shown["benefits"]] == [
        offer["price"]["total"] for offer in shown["statement"]["jaws"][0]["offers"]
    ]


def test_json_says_why_and_that_it_is_no_guarantee(capsys: pytest.CaptureFixture[str]) -> None:
    first = json.loads(run(capsys, PLANS[0], more=("--json",)))["benefits"][0]
    assert first["title"] == "Benefit estimate"
    assert "not a guarantee of payment" in first["note"]
    assert first["lines"][0]["reasons"] == [
        ["Allowed amount 110.00.", "Plan pays 100 % of 110.00."], ["Written off by contract: 30.00."],
    ]  # fmt: skip


def test_json_compares_two_benefit_years_both_ways(capsys: pytest.CaptureFixture[str]) -> None:
    first = json.loads(run(capsys, PLANS[0], more=("--json",)))["benefits"][0]
    assert {use["year"] for use in first["benefit_years"]} == {2026, 2027}
    assert [other["which"] for other in first["in_one_year"]] == ["first", "last"]


def test_json_without_a_plan_has_no_benefits(capsys: pytest.CaptureFixture[str]) -> None:
    assert "benefits" not in json.loads(run(capsys, more=("--json",)))


def test_the_text_has_a_line_an_option_under_its_title(capsys: pytest.CaptureFixture[str]) -> None:
    text = run(capsys, *PLANS)
    assert "Benefit estimate, first visit 2026-11-30. This is an estimate, not a guarantee of payment." in text
    assert "Conventional denture (mandible): fee 2250.00, plans pay 915.01 + " in text


def test_the_problems_of_all_plans_come_together(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    paths = []
    for name, right, wrong in (("a", "= 60", "= 0.6"), ("b", 'currency = "USD"', 'currency = "EUR"')):
        text = Path(PLANS[0]).read_text(encoding="utf-8").replace(right, wrong)
        paths.append(tmp_path / f"{name}.toml")
        paths[-1].write_text(text, encoding="utf-8")
    assert main(["estimate", CASE, *(part for path in paths for part in ("--plan", str(path)))]) == 1
    told = capsys.readouterr().err
    assert "for a share of 0.6 write 60" in told
    assert "amounts are never converted" in told


def test_a_third_plan_is_a_problem(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["estimate", CASE, *(part for path in (*PLANS, PLANS[0]) for part in ("--plan", path))]) == 1
    assert "at most two plans" in capsys.readouterr().err
