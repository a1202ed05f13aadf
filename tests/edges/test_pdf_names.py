"""Names in every living script print in a font that has them, and can be read out of the file again."""

import io
import re
import shutil
import subprocess
import unicodedata
from datetime import date
from pathlib import Path

import page
import pikepdf
import pypdf
import pytest

from estimator.pdf.draw import draw_sheet
from estimator.pdf.fonts import FALLBACKS, FOLDER, REGULAR, MissingGlyph, clean_text, find_face, read_coverage
from estimator.pdf.lines import break_lines
from estimator.pdf.structure import About
from estimator.pdf.tagged import TaggedPDF
from estimator.sheets.base.blocks import Block, Heading, NameLine, Paragraph, Sheet, TableBlock, TextSpan

NAMES = {
    "Vietnamese": "Nguyễn Thị Ánh", "Polish": "Łukasz Żółć", "Turkish": "Şükrü Iğdır", "Russian": "Ольга Щербакова",
    "Greek": "Άννα Παπαδοπούλου", "Arabic": "أحمد بن علي", "Persian": "محمد\u200cرضا", "Hebrew": "דוד לוי",
    "Hebrew with points": "אַבְרָהָם", "Chinese": "王小明", "Japanese": "山田 さくら", "Korean": "김민준",
    "Hindi": "नरेंद्र", "Hindi reordered": "दिलीप शर्मा", "Bengali": "রবীন্দ্রনাথ", "Punjabi": "ਗੁਰਪ੍ਰੀਤ",
    "Gujarati": "નરેન્દ્ર", "Odia": "ନବୀନ", "Tamil": "சிவகுமார்", "Telugu": "రామారావు", "Kannada": "ಕುವೆಂಪು",
    "Malayalam": "മോഹൻലാൽ", "Sinhala": "ශ්\u200dරී ලංකා", "Thai": "สมชาย ใจดี", "Lao": "ສົມສີ", "Burmese": "မောင်",
    "Khmer": "សុខា", "Georgian": "გიორგი", "Armenian": "Արամ", "Amharic": "አበበ",
    "not composed": unicodedata.normalize("NFD", "Nguyễn Thị Ánh"),
}  # fmt: skip


def draw(*blocks: Block) -> bytes:
    sheet = Sheet(
        title="T", number="1", author="A", language="en", created=date(2026, 1, 2), footer="F",
        blocks=(Heading(text="Top", level=1), *blocks),
    )  # fmt: skip
    return draw_sheet(sheet)


def draw_name(name: str) -> bytes:
    return draw(NameLine(label="For", name=name, note="(born May 2, 1951)"))


def read(data: bytes) -> str:
    """Text as pypdf gives it.

    NFC: a name typed as letter and accent apart prints composed. U+2060 prints nothing: it stands for the second glyph
    of a letter that the script draws in two (Hindi, Burmese, Khmer and others).
    """
    text = "\n".join(p.extract_text() for p in pypdf.PdfReader(io.BytesIO(data)).pages)
    return unicodedata.normalize("NFC", text.replace("\u2060", ""))


@pytest.mark.parametrize("script", NAMES)
def test_a_name_can_be_read_again(script: str) -> None:
    assert unicodedata.normalize("NFC", NAMES[script]) in read(draw_name(NAMES[script]))


@pytest.mark.parametrize("script", NAMES)
def test_a_name_in_any_script_passes_the_validator(script: str) -> None:
    table = TableBlock(head=("Who", "n"), rows=((NAMES[script], "1"),), widths=(3, 1))
    data = draw(
        NameLine(label="For", name=NAMES[script]), table, Paragraph(text=(TextSpan(text=NAMES[script], bold=True),))
    )
    reports = [page.validate_pdf_bytes(data, profile=profile) for profile in ("ua1", "2a")]
    assert [f.rule_id for report in reports for f in report.failures] == []


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="pdftotext (Debian poppler-utils) is not installed")
@pytest.mark.parametrize("script", [s for s in NAMES if s != "Hebrew with points"])
def test_a_name_can_be_read_with_poppler(script: str, tmp_path: Path) -> None:
    # Poppler turns Hebrew vowel points round with the letters, so that one name is left out here.
    file = tmp_path / "name.pdf"
    file.write_bytes(draw_name(NAMES[script]))
    result = subprocess.run(["pdftotext", str(file), "-"], capture_output=True, check=True)
    text = unicodedata.normalize("NFC", result.stdout.decode("utf-8"))
    # A final letter may come as its own code point from poppler (NFKC makes it a letter again).
    assert unicodedata.normalize("NFKC", NAMES[script]) in unicodedata.normalize("NFKC", text)


def test_a_name_line_stands_in_reading_order() -> None:
    words = " ".join(read(draw_name("أحمد بن علي")).split())
    assert "For أحمد بن علي (born May 2, 1951)" in words


def test_parts_between_two_arabic_words_change_places_as_a_whole() -> None:
    about = About(title="T", author="A", language="en", created=date(2026, 1, 2))
    with TaggedPDF(paper="letter", about=about) as pdf:
        (line,) = break_lines(pdf, (TextSpan(text="see أحمد 123 علي here"),), size=14, width=400)
    assert [run.text for run in line.runs] == ["see ", "علي", " 123", " ", "أحمد", " ", "here"]


@pytest.mark.parametrize(
    ("name", "language"),
    [
        ("أحمد", "und-Arab"),
        ("王小明", "und-Hani"),
        ("김민준", "und-Hang"),
        ("नरेंद्र", "und-Deva"),
        ("Ольга", ""),
        ("Ana", ""),
    ],
)
def test_a_name_says_its_script_where_the_language_is_not_known(name: str, language: str) -> None:
    assert find_face(name).language == language


def test_a_name_right_to_left_is_spoken_in_reading_order() -> None:
    with pikepdf.open(io.BytesIO(draw_name("דוד לוי"))) as pdf:
        span = pdf.Root.StructTreeRoot.K.K[1].K[1]
        assert (str(span.Lang), str(span.ActualText)) == ("und-Hebr", "דוד לוי")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("my \U0001f9b7", r"U\+1F9B7, TOOTH\) in 'my \U0001f9b7'"),
        ("a\ue123b", r"U\+E123, no Unicode name"),
        ("a\x07b", r"U\+0007"),
    ],
)
def test_a_character_no_font_has_is_an_error_that_names_it(text: str, message: str) -> None:
    with pytest.raises(MissingGlyph, match=message):
        draw(Paragraph(text=(TextSpan(text=text),)))


@pytest.mark.parametrize(
    "block",
    [
        Heading(text="\ue123", level=2),
        NameLine(label="For", name="\ue123"),
        TableBlock(head=("a", "\ue123"), rows=(), widths=(1, 1)),
    ],
    ids=["heading", "name", "table"],
)
def test_a_missing_character_is_an_error_in_any_block(block: Block) -> None:
    with pytest.raises(MissingGlyph, match="U\\+E123"):
        draw(block)


@pytest.mark.parametrize("symbol", list("→☐✓≥≤−×–·½€₺₹°"))
def test_a_common_symbol_prints(symbol: str) -> None:
    assert f"a {symbol} b" in read(draw(Paragraph(text=(TextSpan(text=f"a {symbol} b"),))))


def test_characters_that_turn_a_text_round_are_left_out() -> None:
    assert clean_text("a\u202eb\u2066c\ufeff\u00ad\td") == "abc d"


def test_every_fallback_font_has_characters_that_text_fonts_lack() -> None:
    text = read_coverage(REGULAR.path)
    assert [face.family for face in FALLBACKS if read_coverage(face.path) <= text] == []


def test_each_shipped_font_has_its_licence_beside_it() -> None:
    licences = "\n".join(file.read_text(encoding="utf-8").splitlines()[0] for file in FOLDER.glob("LICENSE-*.txt"))
    patterns = [pattern.replace("*", ".*") for pattern in licences.splitlines()]
    fonts = [file.name for file in FOLDER.glob("*.ttf")]
    assert len(fonts) > 20
    assert [name for name in fonts if not any(re.fullmatch(p, name) for p in patterns)] == []
