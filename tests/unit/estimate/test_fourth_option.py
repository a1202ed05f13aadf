"""A fourth option is one file in a practice folder: it works everywhere without code."""

import json
from pathlib import Path

import pytest
from pypdf import PdfReader

from estimator import files
from estimator.cli import main
from tests.builders import CHECKOUT

FOURTH = """
key = "telescopic_denture"
name = "Denture on double crowns"
patient_name = "Denture on double caps"
attachments = "on_implants"
least_implants = 2
recall_fee = "recall"
charges = ["tray_base_rims", { fee = "finish_overdenture", routes = ["new"] }]

[[stack]]
key = "cap"
name = "double cap"
height = { low = 4.0, value = 5.0, high = 6.0, source = "our own parts", how_sure = "own" }

[[stack]]
key = "tooth"
name = "tooth"
height = "ground_tooth"

[[visits]]
key = "examination"
what = "Examination"
week = 0
minutes = 45
charges = ["examination"]

[[visits]]
key = "delivery"
what = "Delivery"
week = { planned = 20, present = 9 }
minutes = 60
teeth = "final"
charges = ["delivery_attachments"]

[[upkeep]]
key = "sore_spot"
label = "Sore-spot visit"
first_year = "sore_spot_first_year"
later = "sore_spot_later"
charges = ["sore_spot"]

[renewal]
label = "New denture"
mean_life = "life_overdenture"
shape = "life_shape"
settles_like = "sore_spot"
charges = ["new_overdenture"]
"""


@pytest.fixture
def practice(tmp_path: Path) -> Path:
    (tmp_path / "options").mkdir()
    (tmp_path / "options" / "double_crowns.toml").write_text(FOURTH, encoding="utf-8")
    return tmp_path


def run(practice: Path, *more: str) -> int:
    case = str(files.DATA / "demo" / "case.toml")
    return main(["estimate", case, "--fees", str(CHECKOUT / "demo_fees.csv"), "--practice", str(practice), *more])


def test_it_stands_in_the_json_with_room_fees_visits_and_upkeep(
    practice: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(practice, "--json") == 0
    shown = json.loads(capsys.readouterr().out)
    option = shown["jaws"][0]["options"][3]
    assert option["key"] == "telescopic_denture"
    assert (option["clearance"]["required_mm"], option["clearance"]["verdict"]) == ("8.00", "fits")
    assert option["fees"]["total"] == "1200.00"
    assert option["visits"]["weeks"] == 9
    assert float(option["upkeep"]["expected"]) > 0
    assert any(b["source"] == "our own parts" and b["how_sure"] == "own" for b in shown["basis"])


def test_it_stands_on_the_terminal(practice: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(practice) == 0
    assert capsys.readouterr().out.count("Denture on double crowns") == 2


def test_it_stands_on_the_sheet_with_its_room_and_its_price(practice: Path, tmp_path: Path) -> None:
    assert run(practice, "--out", str(tmp_path / "out")) == 0
    (sheet,) = (tmp_path / "out").glob("*.pdf")
    text = "\n".join(page.extract_text() for page in PdfReader(sheet).pages)
    assert text.count("Denture on double caps") >= 5
    assert "You have five choices." in text
    assert "1,200.00" in text


def test_a_fourth_option_that_charges_an_unknown_line_is_named(
    practice: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = practice / "options" / "double_crowns.toml"
    path.write_text(FOURTH.replace('"delivery_attachments"', '"delivery_caps"'), encoding="utf-8")
    assert run(practice) == 1
    assert 'the key "delivery_caps", which the option "telescopic_denture" charges' in capsys.readouterr().err


BAD = [
    ("no stack", FOURTH.replace("[[stack]]", "[[stak]]"), "'stack' perhaps"),
    ("no final teeth", FOURTH.replace('teeth = "final"', ""), 'a visit with teeth = "final"'),
    ("an unknown figure", FOURTH.replace('"ground_tooth"', '"ground_toth"'), "the key of a figure"),
    ("a figure without source", FOURTH.replace('source = "our own parts", ', ""), "expected who says so"),
    ("a figure turned round", FOURTH.replace("low = 4.0", "low = 9.0"), "in rising order"),
    ("an unknown route", FOURTH.replace("present = 9", "presnt = 9"), "'present' perhaps"),
    ("an unknown charge route", FOURTH.replace('routes = ["new"]', 'routes = ["nwe"]'), "'new' perhaps"),
    ("an unknown settling", FOURTH.replace('settles_like = "sore_spot"', 'settles_like = "sore"'), "sore_spot"),
    ("no key", FOURTH.replace('key = "telescopic_denture"', ""), "expected a short name"),
    ("charges that are text", FOURTH.replace('charges = ["examination"]', 'charges = "examination"'), "a list of keys"),
]


@pytest.mark.parametrize(("text", "message"), [b[1:] for b in BAD], ids=[b[0] for b in BAD])
def test_a_bad_option_file_is_refused_with_the_reason(
    practice: Path, text: str, message: str, capsys: pytest.CaptureFixture[str]
) -> None:
    (practice / "options" / "double_crowns.toml").write_text(text, encoding="utf-8")
    assert run(practice) == 1
    assert message in capsys.readouterr().err
