"""The set as files: every sheet accessible, archivable, complete, and silent on the practice's cost unless for the office."""

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from estimator import files
from estimator.cli import main
from estimator.estimate.result import CaseEstimate
from estimator.inputs.practice.guarantees import Terms
from estimator.inputs.practice.settings import Paper, Settings
from estimator.pdf.print import make_sheet, print_sheets
from estimator.sheets.base.wording_approval import mark_wording
from estimator.sheets.registry import KINDS, SheetKind, SheetReader, find_kinds
from tests.builders import TODAY, estimate_all, make_jaw
from tests.edges.test_option_sheet import CASES, PRACTICE, UNEVEN
from tests.papers import drawn_anew, find_failures, read_pages
from tests.quote_builders import make_demo_papers

WORDING = files.load_wording()
BY_KEY = {kind.key: kind for kind in KINDS}
PAPERS = make_demo_papers()
VARIED = ("demo", "nothing fits", "upper jaw, six planned on a scan", "conversion")
TERMS = Terms(
    guarantee=(("connecting_bar", "Two years on the bar (invented)."),), void="No yearly check (invented).",
    implant_fails="We share the cost (invented).",
)  # fmt: skip


def make(key: str, case: str | CaseEstimate = "demo", **more: object) -> bytes:
    estimate = CASES[case] if isinstance(case, str) else case
    return make_sheet(
        BY_KEY[key],
        estimate,
        0,
        wording=WORDING,
        today=TODAY,
        papers=PAPERS,
        **{"paper": Paper.LETTER, **more},  # type: ignore[arg-type]
    )


def read(data: bytes) -> str:
    text = " ".join(read_pages(data))
    return " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())


def set_terms(terms: Terms) -> CaseEstimate:
    settings = replace(CASES["demo"].practice.settings, terms=terms)
    return replace(CASES["demo"], practice=replace(PRACTICE, settings=settings))


@pytest.mark.parametrize("case", VARIED)
@pytest.mark.parametrize("kind", KINDS[1:], ids=lambda kind: kind.key)
def test_every_sheet_of_the_set_passes_both_standards(kind: SheetKind, case: str) -> None:
    """PDF/UA-1 (ISO 14289-1) and PDF/A-2a (ISO 19005-2), validated with page-validation (rule)."""
    paper = Paper.A4 if case == "demo" else Paper.LETTER
    data = make(kind.key, case, paper=paper)
    for profile in ("ua1", "2a"):
        assert find_failures(data, profile) == []


@pytest.mark.parametrize("case", ["demo", "upper jaw, six planned on a scan"])
@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.key)
def test_only_the_office_reads_what_the_practice_pays(kind: SheetKind, case: str) -> None:
    text = read(make(kind.key, case))
    prices = {f"{line.amount:,}" for o in CASES[case].jaws[0].estimates for line in o.fees.lines}
    prices |= {f"{o.fees.total:,}" for o in CASES[case].jaws[0].estimates}
    own = [
        amount for o in CASES[case].jaws[0].estimates for amount in (o.practice_cost.cost_total, o.practice_cost.margin)
    ]
    shown = [amount for amount in own if amount is not None and f"{amount:,}" not in prices]
    assert shown
    for amount in shown:
        assert (f" {amount:,} " in f"{text} ") == (kind.key == "office")


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.key)
def test_the_patient_is_named_on_sheets_for_the_patient_and_the_plan_and_nowhere_else(kind: SheetKind) -> None:
    named = "Nguyễn" in read(make(kind.key)) or "Magdalena" in read(make(kind.key))
    assert named == (kind.reader in (SheetReader.PATIENT, SheetReader.PLAN))


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.key)
def test_a_sheet_for_the_patient_says_that_its_wording_is_a_sample(kind: SheetKind) -> None:
    assert ("sample wording, not approved yet" in read(make(kind.key))) == (kind.reader is SheetReader.PATIENT)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.key)
def test_equal_input_gives_equal_bytes(kind: SheetKind) -> None:
    with drawn_anew():
        assert make(kind.key) == make(kind.key)


def test_keys_titles_and_file_names_are_each_used_once() -> None:
    for values in zip(*((kind.key, kind.title, kind.file) for kind in KINDS), strict=True):
        assert len(set(values)) == len(KINDS)


CONSENT = [
    ("condition", "You have no teeth left in your lower jaw."),
    ("nature and purpose", "A snap-on denture is held by implants in your jaw."),
    ("the decision is open", "You may say no. You may wait."),
    ("good points", "It needs no implants and no surgery."),
    ("bad points", "The small parts that snap wear out."),
    ("risks", "An implant can be lost later."),
    ("no treatment or delay", "If you wait or do nothing, your jaw may go on shrinking."),
    ("cautions as talk points", "Many snaps hold very hard."),
    ("cost", "Snap-on denture on a bar 8,590.00 about 6,420 (2,890 to 10,290)"),
    ("what is not included", "a denture for the other jaw, a lost implant, sedation"),
    ("guarantee", "Guarantee, and for how long:"),
    ("remake", "If it must be made anew, who pays:"),
    ("what ends it", "What ends the guarantee:"),
    ("a lost implant", "If an implant fails, who pays:"),
    ("postponed", "I want more time. We talk again on:"),
    ("declined", "None of these. I would like:"),
    ("no treatment is an outcome", "Snap-on denture on a bar No treatment now I want more time."),
    ("questions", "My questions were answered."),
    ("plain words", "It was said in plain words that I understood."),
    ("taken home", "I could take the sheet home before today."),
    ("read aloud", "It was read aloud to me, if I wanted that."),
    ("copy", "I have my own copy of both papers."),
    ("right to stop", "You can change your mind at any time."),
    ("authorised person", "If not the patient: name, and why allowed to sign"),
    ("who held the talk", "Dentist who held the talk Date Time"),
    ("interpreter", "Interpreter or reader, if any: name Language In person, phone or video"),
    ("witness", "Witness, if wanted Date Time"),
    ("law", "The law where you live applies."),
]  # fmt: skip
"""Elements of a consent record: AMA Code of Medical Ethics Op. 2.1.1; RCW 7.70.060; GDC principles 2 and 3 (rule)."""


@pytest.mark.parametrize("words", [c[1] for c in CONSENT], ids=[c[0] for c in CONSENT])
def test_the_consent_record_has_every_element(words: str) -> None:
    assert words in read(make("consent"))


def test_the_risks_are_those_of_the_jaw_and_of_what_is_planned() -> None:
    text = read(make("consent", "upper jaw, six planned on a scan"))
    assert "Placing implants is surgery." in text
    assert "In the upper jaw the space next to your nose can be opened." in text
    assert "In the lower jaw a nerve can be hurt." not in text
    assert "Teeth that are taken out do not come back." in text


def test_every_caution_for_the_patient_is_a_talk_point() -> None:
    case = "upper jaw, six planned on a scan"
    text = read(make("consent", case))
    for option in CASES[case].jaws[0].estimates:
        for caution in option.clearance.cautions:
            assert caution.patient_text in text


def test_the_practices_own_terms_stand_where_there_are_some() -> None:
    text = read(make("consent", set_terms(TERMS)))
    assert "Guarantee: Two years on the bar (invented)." in text
    assert "What ends the guarantee: No yearly check (invented)." in text
    assert "If an implant fails: We share the cost (invented)." in text
    assert text.count("Guarantee, and for how long:") == 2
    assert "If an implant fails, who pays:" not in text


def test_a_jaw_without_options_on_implants_asks_nothing_about_implants() -> None:
    text = read(make("consent", estimate_all(make_jaw("11", implants=1), practice=PRACTICE)))
    assert "If an implant fails, who pays:" in text
    denture = replace(PRACTICE, options=PRACTICE.options[:1])
    assert "If an implant fails" not in read(make("consent", estimate_all(make_jaw("11"), practice=denture)))


def test_the_record_names_number_and_mark_of_its_sheet_and_the_mark_follows_the_sheet() -> None:
    marks = {}
    for name in ("demo", "bar without room"):
        _, belongs = read(make("consent", name)).split("Belongs to sheet ")
        marks[name] = belongs[:20]
    assert marks["demo"].startswith("T-1-1, mark ")
    assert marks["demo"] != marks["bar without room"]
    assert read(make("consent", "demo", grey=True)).count(marks["demo"]) == 1


def test_a_line_to_sign_is_on_the_page_of_its_label_and_signatures_are_not_parted() -> None:
    for name in VARIED:
        pages = read_pages(make("consent", name))
        (signed,) = [page for page in pages if "Signing says that we had this talk." in page]
        assert "Witness, if wanted" in signed


def test_the_care_sheet_speaks_of_what_the_patient_has() -> None:
    text = read(make("care", chosen="connecting_bar"))
    assert "clean under the bar" in text
    assert "brush all around each post" not in text
    assert "How often depends on you:" in text
    assert "Harbor Row Dental (invented): 555 0100 (invented)" in text
    denture = read(make("care", chosen="conventional_denture"))
    assert "snap" not in denture.lower()
    assert "After surgery" not in denture
    assert "After surgery" in read(make("care", "upper jaw, six planned on a scan"))


def test_a_phone_that_is_not_known_is_a_line_to_fill_in() -> None:
    bare = replace(CASES["demo"], practice=replace(PRACTICE, settings=Settings()))
    assert "Whom to call This practice: When we are closed:" in read(make("care", bare))


def set_numbers(**numbers: Any) -> CaseEstimate:
    settings = replace(CASES["demo"].practice.settings, **numbers)
    return replace(CASES["demo"], practice=replace(PRACTICE, settings=settings))


CLOSED = {"emergency_phone": "555-0143 (invented)"}


def test_the_number_for_when_the_practice_is_closed_stands_where_it_is_looked_for() -> None:
    care = read(make("care", set_numbers(**CLOSED)))
    assert "When we are closed: 555-0143 (invented)" in care.partition("Whom to call")[2]
    consent = read(make("consent", set_numbers(**CLOSED)))
    assert "If something is wrong and we are closed, call 555-0143 (invented)." in consent


def test_a_number_that_is_not_known_is_a_line_on_the_consent_record() -> None:
    assert "If something is wrong and we are closed, call: " in read(make("consent"))


@pytest.mark.parametrize("key", [kind.key for kind in KINDS if kind.reader is SheetReader.PATIENT])
def test_address_and_numbers_stand_at_the_head_of_sheets_for_the_patient(key: str) -> None:
    text = read(make(key, set_numbers(address="12 Harbor Row (invented)", phone="555-0142", **CLOSED)))
    parts = ("Harbor Row Dental (invented)", "12 Harbor Row (invented)", "555-0142",
             "when we are closed: 555-0143 (invented)", "November 25, 2026")  # fmt: skip
    assert text.replace(" · ", " ").startswith(" ".join(parts))


def test_the_tooth_trial_can_be_answered_in_four_ways_and_is_signed() -> None:
    text = read(make("trial"))
    for words in ("Yes. Make it like this.", "Change it first, then show me again.", "I want more time.",
                  "I do not want to go on.", "Patient, or person allowed to sign Date Time"):  # fmt: skip
        assert words in text


def test_the_work_order_holds_abutment_heights_and_leaves_blank_what_is_unknown() -> None:
    text = read(make("work_order", "measured again, uneven, close together", chosen="individual_attachments"))
    tissues = {site.tooth: site.tissue_mm for site in UNEVEN}
    for check in CASES["measured again, uneven, close together"].jaws[0].estimates[1].clearance.sites:
        collar = "" if check.collar_mm is None else f" {check.collar_mm.normalize():f}"
        tissue = f" {tissues[check.tooth]}"
        assert f"{check.tooth} {check.room_mm:.2f}{tissue}{collar}" in text
    assert "begin with light inserts, about 7 N each" in text
    assert "Implants: maker, type, diameter:" in text
    unknown = read(make("work_order", "not measured", chosen="individual_attachments"))
    assert "Tightest site" not in unknown


def test_an_implant_that_no_listed_height_serves_is_said_on_both_orders_and_not_left_blank() -> None:
    """Over 6 mm of tissue not even the tallest collar stands half a millimetre proud."""
    orders = [read(make(key, "measured again, uneven, close together", chosen="individual_attachments"))
              for key in ("work_order", "parts")]  # fmt: skip
    assert [text.count("none listed") for text in orders] == [1, 1]


def test_the_work_order_warns_where_there_is_no_room() -> None:
    assert "Ask before making anything: not enough room: 0.60 mm short at" in read(
        make("work_order", "bar without room", chosen="connecting_bar")
    )


def test_the_order_list_counts_parts_by_site_with_light_inserts_first() -> None:
    text = read(make("parts", chosen="individual_attachments"))
    collars = [check.collar_mm for check in CASES["demo"].jaws[0].estimates[1].clearance.sites]
    shown = [part.split(" ")[1] for part in text.split("Abutment, low profile ")[1:]]
    assert len(shown) == 4
    assert [f"{c.normalize():f}" for c in collars if c is not None] == [s for s in shown if s != "1"]
    assert "Insert, light about 7 N 4" in text
    assert "No implant parts are needed." in read(make("parts", chosen="conventional_denture"))


def approve(mark: str) -> CaseEstimate:
    settings = replace(
        CASES["demo"].practice.settings, approved_by="A. Example", approved_on=date(2026, 11, 2), approved_text=mark
    )
    return replace(CASES["demo"], practice=replace(PRACTICE, settings=settings))


@pytest.mark.parametrize("key", ["option", "consent", "care", "trial"])
def test_the_quiet_mark_follows_the_approval_and_lapses_when_a_word_changes(key: str) -> None:
    mark = mark_wording(PRACTICE, WORDING)
    assert "wording approved by A. Example, November 2, 2026" in read(make(key, approve(mark)))
    assert "wording changed since it was approved" in read(make(key, approve("00000000")))
    assert "sample wording, not approved yet" in read(make(key, approve("")))


def test_the_mark_of_the_words_moves_with_each_word_a_patient_reads_and_no_other() -> None:
    mark = mark_wording(PRACTICE, WORDING)
    for key in ("consent.stop.text", "option_sheet.opening.choices", "words.arch.patient_mandible",
                "quote_sheet.cost.left", "paying.box.apr", "benefits.reason_patient.deductible"):  # fmt: skip
        assert mark_wording(PRACTICE, replace(WORDING, texts={**WORDING.texts, key: "x"})) != mark
    for key in ("summary.tight", "words.arch.office_mandible", "work_order.title", "office_summary.warning",
                "plan_letter.signed", "benefits.letter.opening", "quote.notices.deposit_over_cap"):  # fmt: skip
        assert mark_wording(PRACTICE, replace(WORDING, texts={**WORDING.texts, key: "x"})) == mark
    assert mark_wording(set_terms(TERMS).practice, WORDING) != mark
    caution = PRACTICE.cautions["smoking"]
    changed = replace(PRACTICE, cautions={**PRACTICE.cautions, "smoking": replace(caution, patient_text="x")})
    assert mark_wording(changed, WORDING) != mark


def test_all_sheets_are_printed_under_neutral_names(tmp_path: Path) -> None:
    made = print_sheets(CASES["demo"], tmp_path, wording=WORDING, today=TODAY, kinds=find_kinds(("consent", "option")))
    assert [path.name for _, path in made] == ["option_sheet_T-1_mandible.pdf", "consent_record_T-1_mandible.pdf"]


DEMO = str(files.DATA / "demo" / "case.toml")


def test_the_command_line_prints_what_is_asked_for_and_warns_of_the_wording(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert (
        main(["estimate", DEMO, "--out", str(tmp_path), "--sheets", "consent,parts", "--option", "connecting_bar"]) == 0
    )
    assert {p.name for p in tmp_path.iterdir()} == {
        "consent_record_C-1042_mandible.pdf",
        "parts_order_C-1042_mandible.pdf",
    }
    assert "nobody in the practice has approved it" in capsys.readouterr().err


@pytest.mark.parametrize(("arguments", "message"), [
    (["--sheets", "consnt"], "got 'consnt'; expected 'consent' perhaps"),
    (["--option", "bar"], "got 'bar'; expected one of conventional_denture"),
])  # fmt: skip
def test_an_unknown_sheet_or_option_is_said_and_nothing_is_printed(
    arguments: list[str], message: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["estimate", DEMO, "--out", str(tmp_path / "out"), *arguments]) == 1
    assert message in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_the_command_line_tells_the_mark_to_enter(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["wording"]) == 0
    assert f'approved_text = "{mark_wording(files.load_practice(), WORDING)}"' in capsys.readouterr().out


def test_the_office_summary_says_what_is_charged_without_a_visit_and_why() -> None:
    text = read(make("office"))
    assert "Charged without a visit of its own: Panoramic film: taken during the examination." in text
    assert "Tooth set-up, Denture finished, Overdenture finished" in text
    assert "laboratory work between visits." in text
