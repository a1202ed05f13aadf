"""The option sheet as a file: accessible, archivable, whole, in two pages of summary, and silent on the practice's cost."""

import io
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pypdfium2 as pdfium
import pytest
from pypdf import PdfReader

from estimator import files
from estimator.base.evidence import Confirmation
from estimator.estimate.result import CaseEstimate
from estimator.inputs.case.model import Arch, DenturePlan, Earlier, Landmark, Measurement, Method, Patient, Retention
from estimator.inputs.practice.settings import Paper, Settings
from estimator.pdf.print import make_option_sheet
from estimator.sheets.base.wording_approval import mark_wording
from tests.builders import CASTS, TODAY, estimate_all, load_demo_practice, make_jaw, make_sites
from tests.papers import drawn_anew, find_failures, read_pages

DEMO_SETTINGS = Settings(
    practice_name="Harbor Row Dental (invented)",
    phone="555 0100 (invented)",
    chair_cost_per_hour=Decimal(240),
    pay_at=("at the start", "at the trial", "at the end"),
    not_included=("a denture for the other jaw", "a lost implant", "sedation"),
)
PRACTICE = replace(load_demo_practice(), settings=DEMO_SETTINGS)
YEN = replace(
    PRACTICE,
    fees=replace(
        PRACTICE.fees,
        currency="JPY",
        lines={
            k: replace(v, fee=v.fee * 150, practice_cost=(v.practice_cost or Decimal(0)) * 150)
            for k, v in PRACTICE.fees.lines.items()
        },
    ),
)
RANGED = replace(
    PRACTICE,
    fees=replace(
        PRACTICE.fees,
        lines={
            **PRACTICE.fees.lines,
            "delivery_bar": replace(PRACTICE.fees.lines["delivery_bar"], fee=Decimal(400), fee_to=Decimal(600)),
        },
    ),
)
SITES = make_sites(["12.0", "13.25", "12.75", "11.5"])
FREEHAND = Measurement(method=Method.CONE_BEAM_CT, landmark=Landmark.BONE_CREST)

UNEVEN = tuple(
    replace(site, tissue_mm=Decimal(tissue), position_mm=Decimal(at), width_mm=Decimal(8))
    for site, tissue, at in zip(
        make_sites(["9", "10.5", "9", "9.5"]), ("2.4", "1.5", "3", "6"), ("12", "4", "3", "1"), strict=True
    )
)
BEFORE = Earlier(measured_on=date(2026, 9, 1), implants_present=False, measurement=CASTS, sites=SITES)

CASES: dict[str, CaseEstimate] = {
    "demo": estimate_all(make_jaw("1", sites=SITES), practice=PRACTICE, patient=Patient(name="Nguyễn Thị Ánh (invented)")),
    "bar without room": estimate_all(make_jaw("7.65"), practice=PRACTICE, patient=Patient(name="Łukasz Żółć")),
    "nothing fits": estimate_all(make_jaw("3"), practice=PRACTICE, patient=Patient(name="أحمد بن علي")),
    "not measured": estimate_all(make_jaw(), practice=PRACTICE, patient=Patient(name="王小明")),
    "provisional, one site of four": estimate_all(
        make_jaw("1", sites=make_sites(["12"]), measurement=replace(CASTS, set_up_accepted=False)), practice=PRACTICE
    ),
    "upper jaw, six planned on a scan": estimate_all(
        make_jaw("16", arch=Arch.MAXILLA, implants=6, implants_present=False, measurement=FREEHAND, extractions=4),
        practice=PRACTICE, health=("smoking", "cancer_dose_antiresorptives"), patient=Patient(name="Ольга Щербакова"), years=30,
    ),
    "conversion": estimate_all(make_jaw("11", denture=DenturePlan.CONVERT), practice=PRACTICE, years=1),
    "one implant": estimate_all(make_jaw("11", implants=1), practice=PRACTICE),
    "eight implants, much room": estimate_all(make_jaw("38", implants=8), practice=PRACTICE),
    "measured again, uneven, close together": estimate_all(
        make_jaw("9", sites=UNEVEN, ridge_to_ridge_mm=Decimal(19), earlier=BEFORE), practice=PRACTICE
    ),
    "everything asked for": estimate_all(
        make_jaw(
            "12", implants=8, implants_present=False, extractions=4, graft_sites=3, retention=Retention.STRONG,
            variants=tuple(key for key in files.load_variants() if key not in ("graft", "interim_denture")),
        ),
        practice=PRACTICE, health=("radiotherapy",),
    ),
    "a price that is a range": estimate_all(
        make_jaw("12"), practice=replace(RANGED, profile=replace(RANGED.profile, ranges=True))
    ),
    "a price that is a range, where one amount is wanted": estimate_all(make_jaw("12"), practice=RANGED),
    "yen": estimate_all(make_jaw("12"), practice=YEN),
}  # fmt: skip


def make(name: str, *, paper: Paper = Paper.LETTER, grey: bool = False) -> bytes:
    return make_option_sheet(CASES[name], 0, wording=files.load_wording(), today=TODAY, paper=paper, grey=grey)


def read(data: bytes) -> list[str]:
    return [text.replace("\N{NO-BREAK SPACE}", " ") for text in read_pages(data)]


def squeeze(texts: list[str]) -> str:
    return " ".join(" ".join(texts).split())


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("profile", ["ua1", "2a"])
def test_every_sheet_passes_both_standards(name: str, paper: Paper, profile: str) -> None:
    """PDF/UA-1 (ISO 14289-1) and PDF/A-2a (ISO 19005-2), validated with page-validation (rule)."""
    assert find_failures(make(name, paper=paper), profile) == []


@pytest.mark.parametrize("profile", ["ua1", "2a"])
def test_a_sheet_in_grey_passes_both_standards(profile: str) -> None:
    assert find_failures(make("bar without room", grey=True), profile) == []


def test_grey_is_grey() -> None:
    bitmap = pdfium.PdfDocument(make("demo", grey=True))[0].render(scale=1).to_pil().convert("RGB")
    colours = {pixel for _, pixel in bitmap.getcolors(maxcolors=10**6) or []}
    assert len(colours) > 10
    assert all(max(pixel) - min(pixel) <= 2 for pixel in colours)


@pytest.mark.parametrize(
    "name",
    [
        "demo",
        "bar without room",
        "nothing fits",
        "not measured",
        "upper jaw, six planned on a scan",
        "everything asked for",
    ],
)
@pytest.mark.parametrize("paper", list(Paper))
def test_the_summary_has_two_pages_and_the_details_follow(name: str, paper: Paper) -> None:
    pages = read(make(name, paper=paper))
    assert "Your choices for your" in pages[0]
    assert "Is there room?" in pages[0]
    assert "How long does it take?" in pages[1]
    assert "What does it cost" in pages[1]
    assert "Nobody paid for this sheet" in squeeze([pages[1]])
    assert "The same in numbers" in pages[2]


def test_the_summary_says_room_time_cost_and_what_is_paid_when() -> None:
    text = squeeze(read(make("demo"))[:2])
    for words in (
        "Harbor Row Dental (invented) · 555 0100 (invented) · November 25, 2026",
        "You have four choices. One of them is no treatment now. You decide, together with your dentist.",
        "You have 11.5 mm where it is tightest. We can be off by half a millimeter. All three dentures fit.",
        "room to spare: 0.75 mm",
        "Ten times life size: 1 cm on this page is 1 mm in your jaw.",
        "8,590 to begin with, later about 6,420",
        "later not estimated",
        "You pay in three parts: at the start, at the trial, at the end.",
        "Not included: a denture for the other jaw, a lost implant, sedation.",
        "Invented prices, November 1, 2026.",
    ):
        assert words in text


def test_an_option_without_room_keeps_its_price_with_the_missing_millimetres() -> None:
    text = squeeze(read(make("bar without room")))
    assert "not enough room in your jaw: 0.6 mm short" in text
    assert "8,590 to begin with" in text
    assert "Your dentist can tell you what could make room." in text


def test_every_line_and_total_of_every_option_is_printed() -> None:
    text = squeeze(read(make("demo")))
    for option in CASES["demo"].jaws[0].estimates:
        for line in option.fees.lines:
            assert line.label in text
            if line.unit_fee:
                assert f"{line.quantity} × {line.unit_fee:,} {line.amount:,}" in text
        assert f"To begin with {option.fees.total:,}" in text


def test_what_is_paid_when_adds_up_to_the_cent() -> None:
    assert "Snap-on denture on a bar 2,863.34 2,863.33 2,863.33" in squeeze(read(make("demo")))


@pytest.mark.parametrize("name", CASES)
def test_nothing_of_the_practice_cost_is_on_a_sheet(name: str) -> None:
    data = make(name)
    reader = PdfReader(io.BytesIO(data))
    text = squeeze(read(data)) + str(reader.metadata)
    for option in CASES[name].jaws[0].estimates:
        cost, margin = option.practice_cost.cost_total, option.practice_cost.margin
        assert cost is not None
        assert margin is not None
        own = {f"{line.amount:,}" for o in CASES[name].jaws[0].estimates for line in o.fees.lines} | {
            f"{o.fees.total:,}" for o in CASES[name].jaws[0].estimates
        }
        for amount in {f"{cost:,}", f"{margin:,}"} - own:
            assert f" {amount} " not in text
    assert "margin" not in text.lower()
    assert "chair" not in text.lower()


def test_the_sources_name_every_figure_with_how_sure_it_is() -> None:
    text = squeeze(read(make("demo")))
    for figure in CASES["demo"].basis:
        assert figure.name in text
    for words in (
        "read in the summary of a study",
        "read in a textbook",
        "from memory; your clinician must confirm it",
    ):
        assert words in text


@pytest.mark.parametrize(("confirmed", "words"), [
    (True, "worked out by us; confirmed by Dr. M. Okafor on November 25, 2026"),
    (False, "worked out by us; your clinician must confirm it"),
])  # fmt: skip
def test_a_number_says_who_confirmed_it_or_that_somebody_must(confirmed: bool, words: str) -> None:
    evidence = PRACTICE.evidence
    error = evidence.get("error_mounted_casts")
    said = Confirmation(points=error.points, confirmed_by="Dr. M. Okafor", confirmed_on=TODAY)
    practice = replace(PRACTICE, evidence=evidence.confirm({error.key: said} if confirmed else {}))
    estimate = estimate_all(make_jaw("12"), practice=practice)
    text = squeeze(read(make_option_sheet(estimate, 0, wording=files.load_wording(), today=TODAY, paper=Paper.LETTER)))
    assert f"({words}): {error.name}" in text


def test_what_a_case_asks_for_is_not_called_not_included() -> None:
    text = squeeze(read(make("everything asked for"))[:2])
    assert "Not included: a lost implant." in text


def test_who_decides_is_said() -> None:
    text = squeeze(read(make("demo")))
    assert "Your dentist judges what is safe for you. You choose." in text
    assert "The law where you live applies." in text


def test_cautions_are_said_in_the_patients_words() -> None:
    text = squeeze(read(make("upper jaw, six planned on a scan")))
    assert "Implants fail more often in people who smoke." in text
    assert "Your last teeth in your upper jaw will come out." in text
    assert "antiresorptive" not in text


def test_a_jaw_with_much_room_is_drawn_at_a_smaller_scale_and_says_so() -> None:
    assert "Four times life size" in squeeze(read(make("eight implants, much room"))[:1])


def test_the_room_is_drawn_ten_to_one() -> None:
    """The least stack of the bar is 8.25 mm: its dark box, with its edge, is 82.5 mm wide on the page."""
    content = pdfium.PdfDocument(make("demo"))[0]
    widths = []
    for item in content.get_objects(filter=[pdfium.raw.FPDF_PAGEOBJ_PATH]):
        left, _, right, _ = item.get_bounds() if hasattr(item, "get_bounds") else item.get_pos()
        widths.append((right - left) / 72 * 25.4)
    assert any(abs(width - 82.5) < 0.7 for width in widths), sorted(widths)


def test_a_practice_that_approved_its_wording_is_named_and_the_sample_mark_goes() -> None:
    mark = mark_wording(PRACTICE, files.load_wording())
    settings = replace(DEMO_SETTINGS, approved_by="A. Example", approved_on=date(2026, 11, 2), approved_text=mark)
    estimate = replace(CASES["demo"], practice=replace(PRACTICE, settings=settings))
    data = make_option_sheet(estimate, 0, wording=files.load_wording(), today=TODAY, paper=Paper.LETTER)
    text = squeeze(read(data))
    assert "wording approved by A. Example, November 2, 2026" in text
    assert "sample wording" not in text
    assert "sample wording, not approved yet" in squeeze(read(make("demo")))


def test_real_prices_are_not_called_invented() -> None:
    lines = {key: replace(line, note="") for key, line in PRACTICE.fees.lines.items()}
    practice = replace(PRACTICE, fees=replace(PRACTICE.fees, lines=lines))
    estimate = replace(CASES["yen"], practice=practice)
    text = squeeze(read(make_option_sheet(estimate, 0, wording=files.load_wording(), today=TODAY, paper=Paper.LETTER)))
    assert "invented prices" not in text
    assert "Invented prices" not in text


def test_the_same_estimate_gives_the_same_bytes() -> None:
    with drawn_anew():
        assert make("demo") == make("demo")


def test_the_sheet_is_small() -> None:
    """Under 400 kB, as the sheets ask (practice)."""
    assert max(len(make(name)) for name in CASES) < 400_000


@pytest.mark.parametrize("name", ["demo", "nothing fits", "not measured"])
def test_the_name_of_the_patient_is_printed(name: str) -> None:
    text = "".join("".join(read(make(name))).split())
    assert "".join(CASES[name].case.patient.name.split()) in text


def test_alternative_texts_hold_the_numbers_of_the_pictures() -> None:
    reader = PdfReader(io.BytesIO(make("demo")))
    root = reader.root_object["/StructTreeRoot"]
    alts: list[str] = []

    def walk(node: object) -> None:
        element = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(element, list):
            for kid in element:
                walk(kid)
        elif isinstance(element, dict):
            if "/Alt" in element:
                alts.append(str(element["/Alt"]).replace("\N{NO-BREAK SPACE}", " "))
            if "/K" in element:
                walk(element["/K"])

    walk(root)
    # room and cost, chances, the drawing of each choice, cost so far, a calendar of each
    assert len(alts) == 2 + 2 + 3 + 1 + 3
    assert "1000 squares. 2 are dark: an implant is lost. Up to 3 may be. 998 are not dark." in alts[2]
    assert all(n in alts[7] for n in ("4,980 first, in the end 7,660 to 14,790", "8,590 first"))
    assert "a yearly check, about 10.0 times" in alts[10]
    assert all(
        n in alts[6] for n in ("Place 42: room 11.50 mm, over usual +0.75 mm", "bar 2.00 mm", "The tightest is place")
    )
    assert all(n in alts[0] for n in ("11.5 mm", "least 8.25 mm", "usual 10.75 mm", "0.75 mm"))
    assert all(n in alts[1] for n in ("8,590", "6,420", "11,480 to 18,880"))


def test_a_choice_without_room_between_implants_says_so_with_what_was_measured_before() -> None:
    text = read_text("measured again, uneven, close together")
    assert "Not enough room on the bar: 0 of 4 snaps." in text
    assert "We measured before, on September 1, 2026: close. Now: not enough room." in text


def test_what_could_make_room_stands_with_who_judges_it() -> None:
    text = read_text("bar without room")
    assert "What could make room. Your dentist judges whether any of this is right for you." in text
    assert "Another choice on this sheet has room." in text


def test_a_price_that_is_a_range_says_its_middle_and_both_ends() -> None:
    text = read_text("a price that is a range")
    assert "Some prices are a range. We counted the middle." in text
    assert "about 500.00 (400.00 to 600.00)" in text


def test_where_a_place_wants_one_amount_a_range_is_its_middle_and_that_is_said() -> None:
    text = read_text("a price that is a range, where one amount is wanted")
    assert "Some prices are a range. We counted the middle." in text
    assert "(400.00 to 600.00)" not in text


def read_text(case: str) -> str:
    text = "\n".join(read_pages(make(case)))
    return " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())


def test_every_choice_says_what_books_say_and_each_book_is_cited() -> None:
    text = read_text("demo")
    assert "Here 5 of 8 would say: enough." in text
    minima = {o.minimum for e in CASES["demo"].jaws[0].estimates for o in e.clearance.opinions}
    sources = load_demo_practice().evidence.sources
    for minimum in minima:
        assert minimum.label in text
        assert sources[minimum.source][:40] in text
