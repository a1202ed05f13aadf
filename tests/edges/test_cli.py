"""The command line as its users call it: outputs, messages, exit codes."""

import json
from decimal import Decimal
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from estimator import files
from estimator.cli import main
from tests.builders import CHECKOUT

DEMO = str(files.DATA / "demo" / "case.toml")
FEES = str(CHECKOUT / "demo_fees.csv")


def run_json(capsys: pytest.CaptureFixture[str], *arguments: str) -> dict[str, Any]:
    assert main(["estimate", *arguments, "--json"]) == 0
    shown: dict[str, Any] = json.loads(capsys.readouterr().out)
    return shown


def write_case(folder: Path, text: str) -> str:
    path = folder / "case.toml"
    path.write_text(text, encoding="utf-8")
    return str(path)


def test_json_holds_every_key_that_the_contract_names(capsys: pytest.CaptureFixture[str]) -> None:
    shown = run_json(capsys, DEMO, "--fees", FEES)
    assert {"reference", "currency", "price_date", "jaws", "basis"} <= set(shown)
    option = shown["jaws"][0]["options"][2]
    contract = {
        "clearance": {"verdict", "least_mm", "required_mm", "space_mm", "margin_mm", "limiting_site", "chance_of_fit",
                      "provisional", "cautions", "headline", "layers", "chance_usual", "chance_least"},
        "fees": {"lines", "visit_total", "laboratory_total", "part_total", "surgery_total", "imaging_total", "total"},
        "practice": {"cost_total", "margin"},
        "visits": {"count", "chair_time_min", "weeks"},
        "upkeep": {"years", "expected", "p10", "p50", "p90", "first_year_expected", "discounted"},
    }  # fmt: skip
    assert {"key", "total_over_years", "equivalent_annual_cost", *contract} <= set(option)
    assert all(keys <= set(option[part]) for part, keys in contract.items())
    assert {"key", "kind", "provider", "quantity", "unit_fee", "amount"} <= set(option["fees"]["lines"][0])
    assert all({"figure", "value", "unit", "source", "how_sure"} <= set(figure) for figure in shown["basis"])


def test_json_says_which_option_costs_more_how_many_trips_and_what_is_not_estimated(
    capsys: pytest.CaptureFixture[str],
) -> None:
    (jaw,) = run_json(capsys, DEMO, "--fees", FEES)["jaws"]
    keys = [option["key"] for option in jaw["options"]]
    assert [(pair["first"], pair["second"]) for pair in jaw["pairs"]] == list(combinations(keys, 2))
    assert all(0 <= pair["chance_first_costs_more"] <= 1 and "crossing_year" in pair for pair in jaw["pairs"])
    assert (jaw["no_treatment"]["upkeep"], jaw["no_treatment"]["not_estimated"][:13]) == (None, "not estimated")
    assert [len(option["sanity"]) for option in jaw["options"]] == [0, 2, 2]
    for option in jaw["options"]:
        assert {"trips", "chair_time_min", "note"} <= set(option["upkeep"])
        assert {check["finding"] for check in option["sanity"]} <= {"below", "inside", "above"}


def test_money_and_lengths_are_text_and_chances_are_numbers(capsys: pytest.CaptureFixture[str]) -> None:
    bar = run_json(capsys, DEMO, "--fees", FEES)["jaws"][0]["options"][2]
    assert (bar["fees"]["total"], bar["clearance"]["margin_mm"]) == ("8590.00", "0.75")
    assert bar["clearance"]["chance_of_fit"] == pytest.approx(0.93, abs=0.005)


def test_json_totals_are_the_sums_of_its_lines(capsys: pytest.CaptureFixture[str]) -> None:
    for option in run_json(capsys, DEMO, "--fees", FEES)["jaws"][0]["options"]:
        fees = option["fees"]
        assert sum(Decimal(line["amount"]) for line in fees["lines"]) == Decimal(fees["total"])
        kinds = ("visit", "laboratory", "part", "surgery", "imaging")
        assert sum(Decimal(fees[f"{kind}_total"]) for kind in kinds) == Decimal(fees["total"])


def test_what_a_case_file_offers_is_taken_unless_an_argument_says_otherwise(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    offer = '\n[proposal]\nyears = 20\nstart_on = 2027-03-01\nchosen = {mandible = "connecting_bar"}\n'
    path = write_case(tmp_path, Path(DEMO).read_text(encoding="utf-8") + offer)
    assert main(["check", path]) == 0
    capsys.readouterr()
    bar = run_json(capsys, path, "--fees", FEES)["jaws"][0]["options"][2]
    assert bar["upkeep"]["years"] == 20
    assert bar["visits"]["start"] == "2027-03-01"
    assert run_json(capsys, path, "--fees", FEES, "--years", "5")["jaws"][0]["options"][2]["upkeep"]["years"] == 5
    assert main(["estimate", path, "--fees", FEES, "--out", str(tmp_path / "out"), "--sheets", "quote"]) == 0


OFFER = """
[proposal]
chosen = {maxilla = "conventional_denture", mandible = "individual_attachments"}
adjustments = [{reason = "courtesy", percent = 10}]
ways = [{kind = "in_full", key = "at_once", label = "all at once", discount_percent = 3}]
"""


def read_text(path: Path) -> str:
    return " ".join(" ".join(page.extract_text() for page in PdfReader(path).pages).split())


def test_one_proposal_is_in_json_on_the_terminal_and_on_the_printed_quote(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """A different option a jaw, a discount and a way to pay of the case file, told alike."""
    case, out = write_case(tmp_path, TWO_JAWS + OFFER), tmp_path / "out"
    shown = run_json(capsys, case, "--fees", FEES, "--out", str(out), "--sheets", "option,quote")["statement"]
    assert [one["option"] for one in shown["decided"]] == ["conventional_denture", "individual_attachments"]
    chosen = shown["chosen"]
    assert Decimal(chosen["total"]) == Decimal(chosen["before_discounts"]) * 9 / 10
    (way,) = chosen["ways"]
    amounts = [f"{Decimal(amount):,.2f}" for amount in (chosen["total"], way["total"])]
    quote = read_text(next(out.glob("quote*.pdf")))
    assert all(amount in quote for amount in amounts)
    assert main(["estimate", case, "--fees", FEES]) == 0
    told = capsys.readouterr().out
    assert all(amount in told for amount in amounts)
    for jaw in shown["jaws"]:
        sheet = read_text(out / f"option_sheet_C-2_{jaw['arch']}.pdf")
        assert all(f"{Decimal(offer['price']['total']):,.2f}" in sheet for offer in jaw["offers"])


def test_help_of_a_plan_named_is_in_the_statement_and_on_the_quote(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    plan = str(files.DATA / "demo" / "plans" / "plan_a.toml")
    more = ["--option", "connecting_bar", "--plan", plan, "--start", "2026-11-30"]
    shown = run_json(capsys, DEMO, "--fees", FEES, *more, "--out", str(tmp_path), "--sheets", "quote")["statement"]
    assert Decimal(shown["chosen"]["plan_pays"]) > 0
    assert f"{Decimal(shown['chosen']['left']):,.2f}" in read_text(next(tmp_path.glob("quote*.pdf")))


def test_an_option_agreed_on_that_no_jaw_has_is_a_problem_without_a_sheet_too(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["estimate", DEMO, "--fees", FEES, "--option", "conecting_bar", "--json"]) == 1
    assert "connecting_bar" in capsys.readouterr().err


def test_a_slip_in_what_a_case_file_offers_is_told(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = write_case(tmp_path, Path(DEMO).read_text(encoding="utf-8") + "\n[proposal]\nyears = 40\n")
    for command in (["check", path], ["estimate", path, "--fees", FEES]):
        assert main(command) == 1
        assert "case.toml, proposal.years: got 40; expected a whole number from 1 to 30" in capsys.readouterr().err


def test_the_horizon_is_passed_on(capsys: pytest.CaptureFixture[str]) -> None:
    assert run_json(capsys, DEMO, "--fees", FEES, "--years", "30")["jaws"][0]["options"][0]["upkeep"]["years"] == 30


@pytest.mark.parametrize("years", ["0", "31", "ten", "-1", "1.5"])
def test_a_horizon_out_of_range_is_wrong_usage(years: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stop:
        main(["estimate", DEMO, "--years", years])
    assert stop.value.code == 2
    assert "expected whole years from 1 to 30" in capsys.readouterr().err or years.startswith("-")


def test_an_unknown_option_is_wrong_usage() -> None:
    with pytest.raises(SystemExit) as stop:
        main(["estimate", DEMO, "--yeers", "3"])
    assert stop.value.code == 2


def test_without_fees_the_demo_is_used_and_stderr_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["estimate", DEMO, "--json"]) == 0
    captured = capsys.readouterr()
    assert "demo fee schedule is used, and its prices are invented" in captured.err
    json.loads(captured.out)


def test_fees_of_the_practice_s_own_are_not_called_invented_whatever_their_file_is_called(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "fees").mkdir()
    own = tmp_path / "fees" / "demo_fees.csv"
    own.write_text(Path(FEES).read_text(encoding="utf-8"), encoding="utf-8")
    assert main(["estimate", DEMO, "--practice", str(tmp_path), "--json"]) == 0
    assert "No --fees given" not in capsys.readouterr().err


def test_every_unit_cost_in_json_has_the_decimals_of_its_currency(capsys: pytest.CaptureFixture[str]) -> None:
    shown = run_json(capsys, DEMO, "--fees", FEES)
    costs = [event["cost"] for option in shown["jaws"][0]["options"] for event in option["upkeep"]["events"]]
    assert "240.00" in costs
    assert not [cost for cost in costs if len(cost.partition(".")[2]) != 2]


def test_problems_of_case_and_fees_come_together_one_a_line_with_exit_code_1(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    case = write_case(tmp_path, Path(DEMO).read_text(encoding="utf-8").replace("= 11.5", "= -3"))
    fees = tmp_path / "fees.csv"
    fees.write_text(
        Path(FEES).read_text(encoding="utf-8").replace("120.00", "12O.00").replace("150.00,,25", "x,,25"), "utf-8"
    )
    assert main(["estimate", case, "--fees", str(fees), "--json"]) == 1
    captured = capsys.readouterr()
    assert captured.out == ""
    lines = captured.err.splitlines()
    assert lines[0] == (
        "case.toml, jaws[1].sites[4].restorative_space_mm: got -3; expected a length from 0 to 40 mm, such as 11.5"
    )
    assert any('fees.csv, row 3, column "fee"' in line for line in lines)


def test_nothing_is_printed_into_the_folder_when_there_are_problems(tmp_path: Path) -> None:
    case = write_case(tmp_path, "reference = 'x'\n")
    assert main(["estimate", case, "--fees", FEES, "--out", str(tmp_path / "out")]) == 1
    assert not (tmp_path / "out").exists()


def test_check_says_that_there_are_no_problems(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", DEMO, FEES]) == 0
    assert capsys.readouterr().out == "No problems in case.toml, demo_fees.csv.\n"


def test_check_lists_the_problems_of_every_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "empty.csv").write_text("", encoding="utf-8")
    (tmp_path / "case.toml").write_text("[[jaws]]\n", encoding="utf-8")
    assert main(["check", str(tmp_path / "empty.csv"), str(tmp_path / "case.toml"), DEMO]) == 1
    errors = capsys.readouterr().err
    assert "empty.csv: got an empty file" in errors
    assert "case.toml, reference: got nothing" in errors


def test_the_terminal_shows_quantity_times_unit_fee_and_totals(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["estimate", DEMO, "--fees", FEES]) == 0
    text = capsys.readouterr().out
    assert "4 ×     390.00      1,560.00" in text
    assert "Laboratory, 2,950.00" in text
    assert "by provider: practice 8,590.00" in text
    assert "included" in text


def test_an_option_without_room_is_shown_with_the_missing_millimetres(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    case = write_case(tmp_path, Path(DEMO).read_text(encoding="utf-8").replace("= 11.5", "= 7.65"))
    assert main(["estimate", case, "--fees", FEES]) == 0
    text = capsys.readouterr().out
    assert "not enough room: 0.60 mm short" in text
    assert "8,590 + about" in text


def test_the_demo_prints_a_sheet_into_the_folder_it_names(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["demo", "--out", str(tmp_path / "made")]) == 0
    (sheet,) = (tmp_path / "made").iterdir()
    assert str(sheet) in capsys.readouterr().out
    assert sheet.read_bytes().startswith(b"%PDF-1.7")


def test_a_written_demo_can_be_estimated_with_its_practice_folder(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["demo", "--write", str(tmp_path)]) == 0
    capsys.readouterr()
    shown = run_json(capsys, str(tmp_path / "case.toml"), "--practice", str(tmp_path / "practice"))
    assert shown["jaws"][0]["options"][0]["practice"] == {
        "cost_total": "1650.00", "margin": "600.00", "chair_time_min": 300, "margin_per_chair_hour": "120.00",
        "under_cost": [{"key": "examination", "amount": "140.00", "cost": "180.00"}],
    }  # fmt: skip


def test_a_folder_that_is_a_file_is_said_without_a_traceback(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").write_text("x", encoding="utf-8")
    assert main(["demo", "--out", str(tmp_path / "file")]) == 1
    assert "expected a place that can be written" in capsys.readouterr().err


TWO_JAWS = """
reference = "C-2"
health = ["smoking"]
[[jaws]]
arch = "maxilla"
implants = 6
extractions = 3
[[jaws]]
arch = "mandible"
implants = 1
implants_present = true
"""


def test_two_jaws_one_unmeasured_and_planned_one_on_a_single_implant(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shown = run_json(capsys, write_case(tmp_path, TWO_JAWS), "--fees", FEES)
    upper, lower = shown["jaws"]
    assert {option["clearance"]["verdict"] for option in upper["options"]} == {"not_measured"}
    assert "smoking" in {c["key"] for c in upper["options"][1]["clearance"]["cautions"]}
    assert lower["options"][2] == {
        "key": "connecting_bar",
        "not_applicable": "needs at least 2 implants; this jaw has 1",
    }


def test_a_sheet_a_jaw_is_printed_under_a_neutral_name(tmp_path: Path) -> None:
    case = write_case(tmp_path, TWO_JAWS + '[patient]\nname = "Ольга Щербакова"\n')
    assert main(["estimate", case, "--fees", FEES, "--out", str(tmp_path / "out")]) == 0
    assert sorted(p.name for p in (tmp_path / "out").iterdir()) == [
        "option_sheet_C-2_mandible.pdf",
        "option_sheet_C-2_maxilla.pdf",
    ]


def test_a_character_no_font_has_is_said_and_nothing_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    case = write_case(tmp_path, Path(DEMO).read_text(encoding="utf-8").replace("Nguyễn", "\U0001f9b7"))
    assert main(["estimate", case, "--fees", FEES, "--out", str(tmp_path / "out")]) == 1
    errors = capsys.readouterr().err
    assert "option_sheet_C-1042_mandible.pdf: got '\U0001f9b7' (U+1F9B7)" in errors
    assert not (tmp_path / "out").exists()


def test_more_options_than_a_page_holds_go_on_on_the_next(tmp_path: Path) -> None:
    (tmp_path / "options").mkdir()
    bar = (files.DATA / "options" / "3_connecting_bar.toml").read_text(encoding="utf-8")
    for number in range(9):
        text = bar.replace('key = "connecting_bar"', f'key = "bar_{number}"')
        (tmp_path / "options" / f"{number}.toml").write_text(text, encoding="utf-8")
    assert main(["estimate", DEMO, "--fees", FEES, "--practice", str(tmp_path), "--out", str(tmp_path / "out")]) == 0
    pages = [page.extract_text() for page in PdfReader(next((tmp_path / "out").glob("*.pdf"))).pages]
    assert sum("mm from the gum" in page for page in pages[:3]) == 2  # the ruler again on the second page


def test_a_sheet_is_printed_in_spanish_and_large_print(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = ["--fees", FEES, "--out", str(tmp_path / "out")]
    assert main(["estimate", DEMO, *out, "--language", "es", "--large-print"]) == 0
    assert "Option sheet:" in capsys.readouterr().out
    pages = PdfReader(next((tmp_path / "out").glob("*.pdf"))).pages
    assert "Opciones para su maxilar de abajo" in " ".join(pages[0].extract_text().split())
    assert len(pages) > 20


def test_sheets_are_in_the_language_and_edition_of_the_patient(tmp_path: Path) -> None:
    reads = '[patient]\nlanguage = "es"\nlarge_print = true'
    case = write_case(tmp_path, Path(DEMO).read_text(encoding="utf-8").replace("[patient]", reads, 1))
    assert main(["estimate", case, "--fees", FEES, "--out", str(tmp_path / "out")]) == 0
    pages = PdfReader(next((tmp_path / "out").glob("*.pdf"))).pages
    assert "Opciones para su maxilar de abajo" in " ".join(pages[0].extract_text().split())
    assert len(pages) > 20


def test_a_language_without_words_is_wrong_usage(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as caught:
        main(["estimate", DEMO, "--language", "fr"])
    assert caught.value.code == 2
    assert "choose from" in capsys.readouterr().err
