"""Every sheet for patients, in each language and edition: all that it says is printed and tagged, nothing is cut."""

import re
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from pypdf import PdfReader

from estimator import files
from estimator.cli import main
from estimator.inputs.case.model import Arch
from estimator.inputs.practice.settings import Paper
from estimator.inputs.reference.wording import Wording
from estimator.pdf.print import make_sheet, print_sheets
from estimator.pictures.base.shapes import Lettering as DrawnWords
from estimator.sheets.base.blocks import Block, FigureBlock, KeepTogether, Letterhead, Sheet, SignLine
from estimator.sheets.base.content_hash import list_texts
from estimator.sheets.option_sheet.decision_aid import is_said
from estimator.sheets.registry import JAW_KINDS, SheetKind, SheetReader
from tests.builders import TODAY, estimate_all, make_jaw
from tests.edges.test_languages import FOR_PATIENTS, make_long_wording, walk, write
from tests.edges.test_option_sheet import CASES, PRACTICE
from tests.papers import find_failures, list_sizes, read_pages

FURTHER = FOR_PATIENTS[1:]
"""Those besides the option sheet, which tests of its own look at."""
FAMILIES = ("choices", "chances", "consent", "care", "trial", "decision_aid")
VARIED = ("demo", "upper jaw, six planned on a scan", "everything asked for")
CHOSEN = {"demo": "connecting_bar"}
"""The option agreed on; in the other cases all are open."""
ENGLISH = re.compile(
    r"\b(the|your|you|of|and|with|for|room|denture|jaw|snap|upkeep|enough|weeks?|gum|born|not|is|are|if|we|to|at|sheet)\b",
    re.IGNORECASE,
)


def load(language: str) -> Wording:
    return make_long_wording() if language == "long" else files.load_wording(language)


@cache
def make(kind: SheetKind, case: str = "demo", language: str = "en", *, large: bool = False) -> bytes:
    return make_sheet(
        kind, CASES[case], 0, wording=load(language), today=TODAY, paper=Paper.LETTER, large=large,
        chosen=CHOSEN.get(case, ""),
    )  # fmt: skip


@cache
def write_again(kind: SheetKind, case: str = "demo", language: str = "en", *, large: bool = False) -> Sheet:
    """The blocks of what `make` prints."""
    edition = "large" if large else "normal"
    return write(case, load(language), edition=edition, kind=kind, chosen=CHOSEN.get(case, ""))


def list_pages(data: bytes) -> list[str]:
    return [text.replace("\N{NO-BREAK SPACE}", " ") for text in read_pages(data)]


def close_up(text: str) -> str:
    """A text without any space, so that it does not matter where lines end."""
    return "".join(text.split())


def list_said(case: str, kind: SheetKind, language: str, *, large: bool = False) -> set[str]:
    """All texts of a sheet but the alternative texts of its pictures, each closed up."""
    sheet = write_again(kind, case, language, large=large)
    texts = (
        text
        for block in walk(sheet.blocks)
        if not isinstance(block, FigureBlock)
        for text in (block.parts if isinstance(block, Letterhead) else list_texts((block,)))
    )
    # A name line is three texts side by side, and the dot between them is no text of the sheet.
    return {close_up(part) for text in texts for part in text.split("  ·  ")} - {""}


def read_body(case: str, kind: SheetKind, language: str, *, large: bool = False) -> str:
    """What a file says page after page, without the foot of each page, closed up."""
    sheet = write_again(kind, case, language, large=large)
    text = close_up(" ".join(list_pages(make(kind, case, language, large=large))))
    return re.sub(rf"{re.escape(close_up(sheet.footer))}·?\d+{sheet.of_word}\d+", "", text)


@pytest.mark.parametrize("language", ["en", "es", "long"])
@pytest.mark.parametrize("large", [False, True], ids=["normal", "large"])
@pytest.mark.parametrize("kind", FOR_PATIENTS, ids=lambda kind: kind.key)
def test_all_that_a_sheet_says_is_on_the_paper(kind: SheetKind, large: bool, language: str) -> None:
    body = read_body("demo", kind, language, large=large)
    found = list_said("demo", kind, language, large=large)
    assert len(found) > 20
    assert not [text for text in found if text not in body and not is_name_line(text)]


def is_name_line(text: str) -> bool:
    """Label, name and first note stand together in the block and apart on paper; another test reads the name."""
    return "NguyễnThịÁnh" in text


@pytest.mark.skipif(shutil.which("pdfinfo") is None, reason="pdfinfo (Debian poppler-utils) is not installed")
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("kind", FURTHER, ids=lambda kind: kind.key)
def test_all_that_a_sheet_says_is_in_the_tag_tree(kind: SheetKind, language: str, tmp_path: Path) -> None:
    file = tmp_path / "sheet.pdf"
    file.write_bytes(make(kind, "demo", language))
    tree = subprocess.run(
        ["pdfinfo", "-enc", "UTF-8", "-struct-text", str(file)], capture_output=True, check=True, encoding="utf-8"
    ).stdout
    spoken = close_up("".join(re.findall(r'^ *"(.*)"$', tree, re.MULTILINE)))
    missing = [text for text in list_said("demo", kind, language) if text not in spoken and not is_name_line(text)]
    assert not missing


DIFFERENT = (
    CASES["demo"], CASES["nothing fits"], CASES["upper jaw, six planned on a scan"],
    CASES["everything asked for"], estimate_all(make_jaw("16", arch=Arch.MAXILLA, implants=2), practice=PRACTICE),
    estimate_all(make_jaw("16"), practice=replace(PRACTICE, options=PRACTICE.options[:1])),
)  # fmt: skip
"""Cases that bring up every text there is: both jaws, few implants and many, in place or not, and none to speak of."""


@cache
def list_all_said(language: str) -> str:
    """All that sheets for patients say in cases that differ, in their pictures and at their feet too."""
    wording = files.load_wording(language)
    texts: dict[str, None] = {}
    for estimate in DIFFERENT:
        for kind in FOR_PATIENTS:
            sheet = write(estimate, wording, kind=kind)
            texts.update(dict.fromkeys((sheet.footer, *list_texts(sheet.blocks), *list_drawn(sheet.blocks))))
    return " ".join(texts)


def list_drawn(blocks: tuple[Block, ...]) -> Iterator[str]:
    """Words in pictures."""
    shapes = (shape for block in walk(blocks) if isinstance(block, FigureBlock) for shape in block.shapes)
    yield from (shape.text for shape in shapes if isinstance(shape, DrawnWords))


def list_family_keys() -> Iterator[str]:
    """Keys of the families that these sheets are written from, but for words that only the score in the app shows."""
    mandatory = {f"decision_aid.items.{item.id}" for item in PRACTICE.decision_aid if item.mandatory}
    keys = files.load_wording().texts
    yield from (key for key in keys if key.partition(".")[0] in FAMILIES and key not in mandatory)


OWN_TERMS = {f"consent.terms.{key}" for key in ("guarantee", "remake", "void", "implant")} | {"care.whom.practice_open"}
OWN_TERMS |= {"care.whom.outside", "consent.call.closed"}
"""Texts around what the practice enters, or where it entered nothing; no case here has it so."""


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_text_of_the_wording_is_said_on_some_sheet(language: str) -> None:
    said, wording = list_all_said(language), files.load_wording(language)
    unsaid = [key for key in list_family_keys() if not is_said(key, wording, said) and key not in OWN_TERMS]
    assert not unsaid


@pytest.mark.parametrize("case", VARIED)
@pytest.mark.parametrize("kind", FOR_PATIENTS, ids=lambda kind: kind.key)
def test_a_sheet_in_spanish_has_no_english_but_what_the_practice_and_sources_wrote(kind: SheetKind, case: str) -> None:
    said = "\n".join(list_texts(write(case, files.load_wording("es"), kind=kind).blocks))
    for text in sorted(list_own_texts(case), key=len, reverse=True):
        said = said.replace(text, "")
    said = said.partition("De dónde vienen los números")[0]
    assert not [said[max(0, hit.start() - 40) : hit.end() + 20] for hit in ENGLISH.finditer(said)]


def list_own_texts(case: str) -> set[str]:
    """What a practice wrote, and citations: both stay as they are."""
    settings, evidence = PRACTICE.settings, CASES[case].practice.evidence
    own = {line.label for option in CASES[case].jaws[0].estimates for line in option.fees.lines}
    own |= {*settings.pay_at, *settings.not_included, settings.practice_name, settings.phone}
    return own | {evidence.cite(figure) for figure in evidence.figures.values()} - {""}


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("large", [False, True], ids=["normal", "large"])
@pytest.mark.parametrize("case", ["demo", "everything asked for"])
@pytest.mark.parametrize("kind", FOR_PATIENTS, ids=lambda kind: kind.key)
def test_no_word_is_cut(kind: SheetKind, case: str, large: bool, language: str) -> None:
    """Each word of a sheet is a word of the file; one broken over two lines would be two."""
    sheet = write_again(kind, case, language, large=large)
    texts = list_texts(tuple(block for block in walk(sheet.blocks) if not isinstance(block, FigureBlock)))
    words = {word for text in texts for word in re.findall(r"[^\W\d_]{6,}", text)}
    printed = set(re.findall(r"[^\W\d_]+", " ".join(list_pages(make(kind, case, language, large=large)))))
    assert not words - printed


@pytest.mark.parametrize("case", VARIED)
@pytest.mark.parametrize(("language", "large"), [("es", False), ("es", True), ("en", True), ("long", True)])
@pytest.mark.parametrize("kind", FURTHER, ids=lambda kind: kind.key)
def test_further_sheets_pass_both_standards_in_every_language_and_edition(
    kind: SheetKind, language: str, large: bool, case: str
) -> None:
    """PDF/UA-1 (ISO 14289-1) and PDF/A-2a (ISO 19005-2), validated with page-validation (rule)."""
    for profile in ("ua1", "2a"):
        assert find_failures(make(kind, case, language, large=large), profile) == []


@pytest.mark.parametrize("language", ["en", "es", "long"])
@pytest.mark.parametrize(("large", "least", "body"), [(False, 12, 14), (True, 15, 18)])
@pytest.mark.parametrize("kind", FURTHER, ids=lambda kind: kind.key)
def test_further_sheets_print_nothing_smaller_than_the_edition_allows(
    kind: SheetKind, language: str, large: bool, least: float, body: float
) -> None:
    """Measured in the file."""
    sizes = list_sizes(make(kind, "demo", language, large=large))
    assert min(sizes) == least
    assert body in sizes


def list_signed(blocks: tuple[Block, ...]) -> tuple[str, ...]:
    """Heading and labels of the signatures, which stay on one page."""
    group = next(b for b in blocks if isinstance(b, KeepTogether) and any(isinstance(p, SignLine) for p in b.blocks))
    return tuple(list_texts(group.blocks))


@pytest.mark.parametrize("case", VARIED)
@pytest.mark.parametrize("large", [False, True], ids=["normal", "large"])
@pytest.mark.parametrize("language", ["en", "es", "long"])
@pytest.mark.parametrize("kind", [kind for kind in FURTHER if kind.key != "care"], ids=lambda kind: kind.key)
def test_signatures_are_on_one_page_with_their_heading(kind: SheetKind, language: str, large: bool, case: str) -> None:
    sheet = write_again(kind, case, language, large=large)
    pages = [close_up(page) for page in list_pages(make(kind, case, language, large=large))]
    labels = [close_up(text) for text in list_signed(sheet.blocks)]
    assert sum(all(label in page for label in labels) for page in pages) == 1


DEMO = str(files.DATA / "demo" / "case.toml")
FOR_OTHERS = tuple(kind for kind in JAW_KINDS if kind.reader is not SheetReader.PATIENT)


@pytest.mark.parametrize("chosen", ["", "connecting_bar"])
def test_sheets_for_office_and_laboratory_are_in_english_at_normal_size_whatever_the_patient_gets(
    tmp_path: Path, chosen: str
) -> None:
    made = print_sheets(
        CASES["demo"], tmp_path, wording=files.load_wording("es"), today=TODAY, kinds=JAW_KINDS, chosen=chosen, large=True,
        office_wording=files.load_wording(),
    )  # fmt: skip
    found = {kind.key: path.read_bytes() for kind, path in made}
    for kind in FOR_OTHERS:
        assert found[kind.key] == make_sheet(
            kind, CASES["demo"], 0, wording=files.load_wording(), today=TODAY, paper=Paper.LETTER, chosen=chosen
        )
    assert max(list_sizes(found["consent"])) > max(list_sizes(found["work_order"]))


def test_the_command_line_prints_only_the_patients_sheets_in_spanish_and_large_print(tmp_path: Path) -> None:
    options = ["--sheets", "all", "--option", "connecting_bar", "--language", "es", "--large-print"]
    assert main(["estimate", DEMO, "--out", str(tmp_path), *options]) == 0
    for kind in JAW_KINDS:
        (file,) = tmp_path.glob(f"{kind.file}_*.pdf")
        patient, reader = kind.reader is SheetReader.PATIENT, PdfReader(file)
        assert str(reader.root_object["/Lang"]) == ("es-US" if patient else "en-US")
        assert (18 in list_sizes(file.read_bytes())) == patient


@pytest.mark.parametrize("large", [False, True], ids=["normal", "large"])
@pytest.mark.parametrize("language", ["en", "es", "long"])
@pytest.mark.parametrize(("key", "family"), [("consent", "stop.text"), ("trial", "decide.mind")])
def test_the_page_that_is_signed_says_that_a_mind_may_change(
    key: str, family: str, language: str, *, large: bool
) -> None:
    """No one signs a page that holds lines to sign on and nothing else."""
    kind = next(kind for kind in FURTHER if kind.key == key)
    wording = load(language)
    said = wording.get(f"{key}.{family}").replace("**", "").split()[:4]
    pages = [" ".join(text.split()) for text in read_pages(make(kind, language=language, large=large))]
    (signed,) = [text for text in pages if wording.get(f"{key}.sign.title") in text]
    assert " ".join(said) in signed
