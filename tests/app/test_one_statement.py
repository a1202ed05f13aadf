"""The Quote page tells what the command line tells as JSON and what papers are printed from, to the cent."""

import json
from contextlib import redirect_stdout
from datetime import date
from decimal import Decimal
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
import tomli_w
from streamlit.testing.v1 import AppTest

from estimator import files
from estimator.base.formats import format_short_day
from estimator.cli import main
from estimator.files.user import data_folder
from estimator.files.user.data_folder import write_proposal_text
from estimator.proposal.model import Proposal
from tests.app.conftest import Go, open_demo
from tests.app.test_case_page import find
from tests.app.test_paying import find_ways, read
from tests.builders import CHECKOUT, TWO_WAYS

CASE = files.DATA / "demo" / "case.toml"
PAY_AT = '[quote]\npay_at = ["surgery", "impressions", "delivery"]\n'
WITH_ALL = (
    """
[proposal]
start_on = 2027-03-01
chosen = { mandible = "connecting_bar" }
adjustments = [
  { reason = "courtesy", percent = 7 },
  { reason = "two lines", percent = 10, spread = "lines", lines = ["examination", "mandible.delivery_bar"] },
  { reason = "wait", amount = 133.33, direction = "increase" },
]
"""
    + TWO_WAYS
    + """
[[proposal.ways]]
kind = "instalments"
key = "monthly"
label = "monthly"
number = 24
first = 2028-01-31
anchor_day = 31
rate_percent = 9.9
set_up_fee = 50
"""
)


def tell(case: Path, practice: Path | None = None, *more: str) -> dict[str, Any]:
    """The statement as the command line prints it."""
    folder = ["--practice", str(practice)] if practice else ["--fees", str(CHECKOUT / "demo_fees.csv")]
    with redirect_stdout(StringIO()) as out:
        assert main(["estimate", str(case), *folder, *more, "--json"]) == 0
    shown: dict[str, Any] = json.loads(out.getvalue())["statement"]
    return shown


def write(amount: str) -> str:
    whole, _, cents = amount.partition(".")
    return f"{int(whole):,}.{cents}"


def list_disagreements(app: AppTest, told: dict[str, Any]) -> list[str]:
    """What the page does not show as the statement has it: amounts of lines, kinds, what is left, ways and payments."""
    price, text = told["chosen"], read(app)
    ways, lines = find_ways(app), app.table[0].value
    wanted = [f"To pay {write(price['left'])} {told['currency']}", f"Valid until {told['valid_until']}"]
    wanted += [f"{one['kind']} {write(one['amount'])}" for one in price["by_kind"] if float(one["amount"])]
    found = [one for one in wanted if one not in text]
    if [float(one["amount"]) for one in price["lines"]] != list(lines["Amount"]):
        found.append("lines")
    if [write(one["total"]) for one in price["ways"]] != list(ways["In all"]):
        found.append("ways")
    payments = [f"{write(pay['amount'])}" for way in price["ways"] for pay in way["payments"]]
    shown = [amount for table in app.table if "Still owed" in table.value.columns for amount in table.value["Amount"]]
    return found if payments == shown else [*found, "payments"]


def open_case(app: AppTest, go: Go, path: Path) -> AppTest:
    go("case").file_uploader("case_in").upload("case.toml", path.read_bytes(), "application/toml").run()
    assert not app.exception
    return app


def test_with_nothing_typed_the_page_tells_what_the_command_line_tells(demo: AppTest, go: Go) -> None:
    app = go("quote")
    for option in ("conventional_denture", "individual_attachments", "connecting_bar"):
        app.selectbox("quote_0_1").select(option).run()
        assert list_disagreements(app, tell(CASE, None, "--option", option)) == []


def test_thirds_of_the_practices_milestones_are_the_same_cents_everywhere(
    app: AppTest, go: Go, user_folder: Path
) -> None:
    practice = user_folder / "practice"
    practice.mkdir(parents=True)
    (practice / "settings.toml").write_text(PAY_AT, encoding="utf-8")
    open_demo(app)
    go("quote")
    app.selectbox("quote_0_1").select("connecting_bar").run()
    told = tell(CASE, practice, "--option", "connecting_bar")
    assert [one["amount"] for one in told["chosen"]["ways"][0]["payments"]] == ["2863.34", "2863.33", "2863.33"]
    assert list_disagreements(app, told) == []


def test_what_a_case_file_offers_is_told_as_it_stands_and_looking_changes_nothing(
    demo: AppTest, go: Go, tmp_path: Path
) -> None:
    path = tmp_path / "offered.toml"
    path.write_text(CASE.read_text(encoding="utf-8") + WITH_ALL, encoding="utf-8")
    open_case(demo, go, path)
    before = json.dumps(demo.session_state["memory"].copy.document["proposal"], default=str)
    app = go("quote")
    assert list_disagreements(app, tell(path)) == []
    assert json.dumps(app.session_state["memory"].copy.document["proposal"], default=str) == before


def test_two_options_are_compared_from_what_is_charged_after_discounts(demo: AppTest, go: Go, tmp_path: Path) -> None:
    path = tmp_path / "offered.toml"
    half = '\n[proposal]\nadjustments = [{ reason = "courtesy", percent = 50, spread = "lines", lines = [%s] }]\n'
    lines = ", ".join(f'"mandible.{key}"' for key in ("bar_framework", "delivery_bar"))
    path.write_text(CASE.read_text(encoding="utf-8") + half % lines, encoding="utf-8")
    open_case(demo, go, path)
    pair = tell(path)["jaws"][0]["pairs"][2]
    assert pair["chance_first_costs_more"] != tell(CASE)["jaws"][0]["pairs"][2]["chance_first_costs_more"]
    chance = f"{100 * (1 - pair['chance_first_costs_more']):.0f} %"
    assert f"Connecting bar costs more than Individual attachments with a chance of {chance}" in read(go("options"))


def test_a_plan_that_stands_in_the_case_file_helps_as_it_does_on_the_command_line(
    demo: AppTest, go: Go, tmp_path: Path
) -> None:
    plan = files.parse_toml((files.DATA / "demo" / "plans" / "plan_a.toml").read_text(encoding="utf-8"), "plan")
    case = files.parse_toml(CASE.read_text(encoding="utf-8"), "case")
    path, chosen = tmp_path / "helped.toml", {"mandible": "individual_attachments"}
    path.write_text(
        tomli_w.dumps(case | {"proposal": {"chosen": chosen, "help": {"state": "known", "plans": [plan]}}}),
        encoding="utf-8",
    )
    told = tell(path)
    assert float(told["chosen"]["plan_pays"]) > 0
    assert list_disagreements(open_case(demo, go, path) and go("quote"), told) == []


def test_that_there_is_no_plan_is_held_apart_from_not_having_asked(demo: AppTest, go: Go) -> None:
    app = go("quote")
    proposal = app.session_state["memory"].copy.document["proposal"]
    assert "help" not in proposal
    find(app, "selectbox", "plan_1_way").select("none").run()
    assert proposal["help"] == {"state": "none"}


@pytest.fixture
def shared_out(app: AppTest, go: Go, user_folder: Path) -> AppTest:
    practice = user_folder / "practice"
    practice.mkdir(parents=True)
    (practice / "settings.toml").write_text(PAY_AT, encoding="utf-8")
    open_demo(app)
    return go("quote")


def test_a_share_that_is_typed_asks_for_the_others_by_the_name_of_the_form(shared_out: AppTest) -> None:
    find(shared_out, "number_input", "pay_stage_0").set_value(40.0).run()
    assert "These ways to pay do not work out yet" in read(shared_out)
    find(shared_out, "number_input", "pay_stage_1").set_value(35.0).run()
    assert not shared_out.error
    shown = next(table.value for table in shared_out.table if "Still owed" in table.value.columns)
    assert list(shown["Amount"]) == ["900.00", "787.50", "562.50"]


def test_a_discount_moves_the_options_page_too(demo: AppTest, go: Go, tmp_path: Path) -> None:
    path = tmp_path / "offered.toml"
    offered = '\n[proposal]\nadjustments = [{ reason = "courtesy", percent = 10 }]\n'
    path.write_text(CASE.read_text(encoding="utf-8") + offered, encoding="utf-8")
    open_case(demo, go, path)
    table = next(table.value for table in go("options").table if "First cost" in table.value.columns)
    told = [float(offer["price"]["total"]) for offer in tell(path)["jaws"][0]["offers"]]
    assert told == [2025.0, 4482.0, 7731.0]
    assert [first for first in table["First cost"] if first == first][:3] == told


def test_the_days_of_the_visits_page_are_those_of_the_statement(
    app: AppTest, go: Go, tmp_path: Path, user_folder: Path
) -> None:
    practice = user_folder / "practice"
    practice.mkdir(parents=True)
    closed = '[calendar]\ncountry = "US"\nclosed_weekdays = ["saturday", "sunday"]\n'
    (practice / "settings.toml").write_text(closed, encoding="utf-8")
    path = tmp_path / "offered.toml"
    offered = '\n[proposal]\nstart_on = 2026-12-14\nchosen = { mandible = "connecting_bar" }\n'
    path.write_text(CASE.read_text(encoding="utf-8") + offered, encoding="utf-8")
    open_case(open_demo(app), go, path)
    told = tell(path, practice)["jaws"][0]["offers"][2]["time"]["visits"]
    assert any(one["put_off_by"] for one in told)
    table = go("visits").table[0].value
    assert list(table["Day"]) == [format_short_day(date.fromisoformat(one["day"]), "en_US") for one in told]
    assert list(table["Put off by"]) == [", ".join(one["put_off_by"]) or "\N{EN DASH}" for one in told]


def test_the_sheets_page_prints_byte_for_byte_what_the_command_prints(demo: AppTest, go: Go, tmp_path: Path) -> None:
    path, out = tmp_path / "offered.toml", tmp_path / "out"
    printed = WITH_ALL.replace("[proposal]", '[proposal]\nlanguage = "es"\nedition = "large"')
    path.write_text(CASE.read_text(encoding="utf-8") + printed, encoding="utf-8")
    open_case(demo, go, path)
    app = go("sheets")
    tell(path, None, "--out", str(out))
    (sheet,) = out.glob("option_sheet_*.pdf")
    assert app.session_state["sheet_drawn"][3] == sheet.read_bytes()


def test_language_and_edition_are_chosen_once_for_all_papers_and_stand_in_the_proposal(demo: AppTest, go: Go) -> None:
    app = go("sheets")
    app.selectbox("sheet_language_en_1").select("es")
    app.selectbox("sheet_edition_normal_1").select("large print").run()
    proposal = app.session_state["memory"].copy.document["proposal"]
    assert (proposal["language"], proposal["edition"]) == ("es", "large")
    app = go("quote")
    app.selectbox("quote_0_1").select("connecting_bar").run()
    assert find(app, "selectbox", "now_language_en").value == "es"
    find(app, "selectbox", "now_edition_normal").select("normal").run()
    assert "edition" not in proposal
    assert go("sheets").selectbox("sheet_edition_normal_1").value == "normal"


def test_sheets_that_leave_out_what_does_not_work_out_say_so(demo: AppTest, go: Go, tmp_path: Path) -> None:
    path = tmp_path / "offered.toml"
    much = (
        '\n[proposal]\nchosen = { mandible = "connecting_bar" }\nadjustments = [{ reason = "all", amount = 99999 }]\n'
    )
    path.write_text(CASE.read_text(encoding="utf-8") + much, encoding="utf-8")
    open_case(demo, go, path)
    assert "What is offered does not work out yet, so the sheets leave it out" in read(go("sheets"))


def test_a_half_typed_discount_takes_nothing_else_out_of_the_case_file(
    demo: AppTest, go: Go, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A row of which only the reason is typed is no discount yet; what was chosen beside it goes into the file."""
    texts: list[str] = []

    def write(proposal: Proposal) -> str:
        texts.append(write_proposal_text(proposal))
        return texts[-1]

    monkeypatch.setattr(data_folder, "write_proposal_text", write)
    go("quote").selectbox("quote_0_1").select("connecting_bar").run()
    whole = {"reason": "courtesy", "percent": Decimal(7)}
    demo.session_state["memory"].copy.document["proposal"]["adjustments"] = [{"reason": "loyal"}, whole]
    go("case")
    offered = files.parse_toml(texts[-1], "case")["proposal"]
    assert offered["chosen"] == {"mandible": "connecting_bar"}
    assert [one["reason"] for one in offered["adjustments"]] == ["courtesy"]
