"""What does not fit is never called room to spare: not in the JSON, not in the terminal, not on any paper."""

import json
import re
from contextlib import redirect_stdout
from dataclasses import dataclass
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from estimator.cli import main
from tests.builders import CHECKOUT

MEASURED = 'measurement = { method = "mounted_casts", landmark = "soft_tissue_crest", set_up_accepted = true }'
SHEETS = "option,consent,office,quote,trial,work_order"


@dataclass(frozen=True, slots=True, kw_only=True)
class Trap:
    """A jaw in which something else than the height decides, and what must be said of it."""

    id: str
    jaw: str
    option: str
    headline: str
    verdict: str
    office: str
    patient: str


def make_sites(*sites: str) -> str:
    return "sites = [" + ", ".join(f"{{ {site} }}" for site in sites) + "]"


def make_bar(*places: tuple[str, float], more: str = "") -> str:
    sites = (f'tooth = "{tooth}", restorative_space_mm = 16, position_mm = {at}{more}' for tooth, at in places)
    return make_sites(*sites)


TRAPS = (
    Trap(
        id="a denture of 2 mm that is to be converted",
        jaw='arch = "mandible"\nimplants = 2\nimplants_present = true\ndenture = "convert"\n'
        + make_sites(
            'tooth = "43", restorative_space_mm = 14, denture_thickness_mm = 2.5',
            'tooth = "33", restorative_space_mm = 14, denture_thickness_mm = 2.0',
        ),
        option="individual_attachments",
        headline="denture",
        verdict="does_not_fit",
        office="present denture no: 3.25 mm too thin at 33",
        patient="the denture you have is 3.25 mm too thin",
    ),
    Trap(
        id="a denture that is thick enough for other abutments than its own",
        jaw='arch = "mandible"\nimplants = 1\nimplants_present = true\ndenture = "convert"\n'
        "abutment_heights_mm = [4]\n"
        + make_sites('tooth = "43", restorative_space_mm = 14, tissue_mm = 2.5, denture_thickness_mm = 5.40'),
        option="individual_attachments",
        headline="denture",
        verdict="does_not_fit",
        office="present denture",
        patient="the denture you have is 0.35 mm too thin",
    ),
    Trap(
        id="a site that no abutment serves",
        jaw='arch = "mandible"\nimplants = 2\nimplants_present = true\n'
        + make_sites(
            'tooth = "43", restorative_space_mm = 18, tissue_mm = 7.5',
            'tooth = "33", restorative_space_mm = 18, tissue_mm = 2',
        ),
        option="individual_attachments",
        headline="abutment",
        verdict="does_not_fit",
        office="no abutment listed serves 43",
        patient="no part on our list fits your gum",
    ),
    Trap(
        id="a bar with no place for four attachments",
        jaw='arch = "mandible"\nimplants = 4\nimplants_present = true\nattachments_on_bar = 4\n'
        + make_bar(("44", 16), ("42", 6.5), ("32", -6.5), ("34", -16)),
        option="connecting_bar",
        headline="along",
        verdict="does_not_fit",
        office="along the bar: 0 of 4",
        patient="0 of 4 snaps",
    ),
    Trap(
        id="a bar on two upper implants",
        jaw='arch = "maxilla"\nimplants = 2\nimplants_present = true\n' + make_bar(("13", 20), ("23", -20)),
        option="connecting_bar",
        headline="number",
        verdict="does_not_fit",
        office="an upper bar on 2 implants",
        patient="too few implants for a bar here",
    ),
    Trap(
        id="two upper implants",
        jaw='arch = "maxilla"\nimplants = 2\nimplants_present = true\n' + make_bar(("13", 20), ("23", -20)),
        option="individual_attachments",
        headline="number",
        verdict="tight",
        office="4 are the usual minimum",
        patient="fewer implants than is usual",
    ),
    Trap(
        id="five millimetres of width",
        jaw='arch = "mandible"\nimplants = 2\nimplants_present = true\n'
        + make_bar(("43", 20), ("33", -20), more=", width_mm = 5"),
        option="individual_attachments",
        headline="width",
        verdict="does_not_fit",
        office="width: 2.50 mm short",
        patient="2.5 mm too narrow",
    ),
    Trap(
        id="two implants that lean far apart",
        jaw='arch = "mandible"\nimplants = 2\nimplants_present = true\n'
        + make_sites(
            'tooth = "43", restorative_space_mm = 16, position_mm = 20, angle_md_deg = 30, angle_fl_deg = 0',
            'tooth = "33", restorative_space_mm = 16, position_mm = -20, angle_md_deg = 30, angle_fl_deg = 20',
        ),
        option="individual_attachments",
        headline="path",
        verdict="does_not_fit",
        office="path of insertion",
        patient="lean too far apart",
    ),
)


@pytest.fixture(scope="module", params=TRAPS, ids=lambda trap: trap.id)
def told(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[Trap, dict[str, Any]]:
    """What one case is told as, everywhere."""
    trap: Trap = request.param
    folder = tmp_path_factory.mktemp("trap")
    case = folder / "case.toml"
    case.write_text(f'reference = "T-1"\n[[jaws]]\n{MEASURED}\n{trap.jaw}\n', encoding="utf-8")
    asked = ["estimate", str(case), "--fees", str(CHECKOUT / "demo_fees.csv")]
    found: dict[str, Any] = {"json": json.loads(run([*asked, "--json"])), "terminal": run(asked)}
    run([*asked, "--out", str(folder / "out"), "--sheets", SHEETS, "--option", trap.option])
    for path in (folder / "out").glob("*.pdf"):
        found[path.name.split("_T-1")[0]] = read(path)
    return trap, found


def run(arguments: list[str]) -> str:
    said = StringIO()
    with redirect_stdout(said):
        assert main(arguments) == 0
    return " ".join(said.getvalue().split("\N{NO-BREAK SPACE}")) if "--json" not in arguments else said.getvalue()


def read(path: Path) -> str:
    text = " ".join(page.extract_text() for page in PdfReader(path).pages)
    return " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())


def find_option(trap: Trap, found: dict[str, Any]) -> dict[str, Any]:
    options = found["json"]["jaws"][0]["options"]
    option: dict[str, Any] = next(one for one in options if one["key"] == trap.option)
    return option


def test_the_layer_that_decides_is_the_headline_of_the_json(told: tuple[Trap, dict[str, Any]]) -> None:
    trap, found = told
    clearance = find_option(trap, found)["clearance"]
    assert (clearance["headline"], clearance["verdict"]) == (trap.headline, trap.verdict)


def test_the_terminal_names_the_layer_beside_the_option(told: tuple[Trap, dict[str, Any]]) -> None:
    trap, found = told
    heading = trap.option.replace("_", " ").capitalize()
    line = re.search(rf"\n{heading}[^\n]*\n( *room [^\n]*)", found["terminal"])
    assert line is not None
    assert trap.office in line[1]
    assert "room to spare" not in line[1]


def test_page_one_of_the_option_sheet_does_not_call_it_room_to_spare(told: tuple[Trap, dict[str, Any]]) -> None:
    trap, found = told
    offers = found["json"]["statement"]["jaws"][0]["offers"]
    name = next(one for one in offers if one["key"] == trap.option)["option"]["label"]
    sheet = found["option_sheet"]
    roomy = re.findall(r"Room to spare: ([^.]*)\.", sheet)
    assert not any(name in names for names in roomy)
    assert not re.search(r"All \w+ dentures fit", sheet)
    assert trap.patient in sheet


def test_the_quote_says_what_stands_against_the_option(told: tuple[Trap, dict[str, Any]]) -> None:
    trap, found = told
    assert trap.patient in found["quote"]


def test_the_record_of_consent_says_what_rules_the_option_out(told: tuple[Trap, dict[str, Any]]) -> None:
    trap, found = told
    assert trap.verdict == "tight" or trap.patient in found["consent_record"]


@pytest.mark.parametrize("paper", ["office_summary", "work_order"])
def test_office_papers_name_the_layer(told: tuple[Trap, dict[str, Any]], paper: str) -> None:
    trap, found = told
    assert trap.office in found[paper]
