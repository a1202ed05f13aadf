"""A table that does not fit side by side: no word and no amount is cut, and what is read aloud names every value."""

import io
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date

import page
import pikepdf
import pypdf
import pytest

from estimator import files
from estimator.inputs.practice.settings import Paper
from estimator.inputs.reference.wording import Wording
from estimator.pdf.draw import draw_sheet
from estimator.pdf.print import make_job, make_sheet
from estimator.sheets.base.blocks import Block, Heading, KeepTogether, Paragraph, Sheet, TableBlock, TextSpan
from estimator.sheets.base.content_hash import list_texts
from estimator.sheets.registry import KINDS
from tests.builders import TODAY
from tests.quote_builders import MESSY, make_messy_papers

PAPERS = make_messy_papers()
MONEY = {kind.key: kind for kind in KINDS if kind.needs}
WORDINGS: dict[str, Wording] = {name: files.load_wording(name) for name in files.list_languages()}
WIDE = TableBlock(
    head=("What", "Unforgettable", "Incomparable", "Inexhaustible", "Unconditional", "Nothing"),
    rows=(
        ("Upper jaw", "12,345.60", "2,222.22", "", "1.00", "\N{EN DASH}"),
        ("Bar and its screws", "9,999.99", "3,333.33", "4,444.44", "5,555.55", ""),
        ("Cylinder", "8,888.88", "6,666.66", "7,777.77", "1,212.12", "\N{EN DASH}"),
        ("In all", "31,234.47", "12,222.21", "12,222.21", "6,768.67", ""),
    ),
    widths=(3, 1, 1, 1, 1, 1), bold=(0,), bold_last=True, small=True,
)  # fmt: skip


def draw(*blocks: Block) -> bytes:
    sheet = Sheet(
        title="T", number="1", author="A", language="en", created=date(2026, 1, 2), footer="F",
        blocks=(Heading(text="Top", level=1), *blocks),
    )  # fmt: skip
    return draw_sheet(sheet, large=True)


def read_pages(data: bytes) -> list[str]:
    pages = (one.extract_text() for one in pypdf.PdfReader(io.BytesIO(data)).pages)
    return [" ".join(text.replace("\N{NO-BREAK SPACE}", " ").split()) for text in pages]


def read(data: bytes) -> str:
    return " ".join(read_pages(data))


def find_tables(blocks: tuple[Block, ...]) -> Iterator[TableBlock]:
    for block in blocks:
        if isinstance(block, TableBlock):
            yield block
        elif isinstance(block, KeepTogether):
            yield from find_tables(block.blocks)


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("language", WORDINGS)
@pytest.mark.parametrize("key", MONEY)
def test_large_print_cuts_no_word_and_no_amount(key: str, language: str, paper: Paper) -> None:
    """Two jaws, 24 instalments, a long name; a word that is cut would be read as two."""
    known = {"wording": WORDINGS[language], "today": TODAY, "paper": paper, "papers": PAPERS, "large": True}
    printed = set(read(make_sheet(MONEY[key], MESSY, 0, **known)).split())  # type: ignore[arg-type]
    blocks = MONEY[key].make(make_job(MONEY[key], MESSY, 0, **known)).blocks  # type: ignore[arg-type]
    # Where rows are stacked, a heading ends with a colon, and what stands over the names needs no line.
    left_out = {table.head[0] for table in find_tables(blocks)} | {"\N{EN DASH}"}
    words = {word for text in list_texts(blocks) if text not in left_out for word in text.split()}
    assert {word for word in words if not {word, f"{word}:"} & printed} == set()


def test_a_table_that_fits_stays_a_table() -> None:
    with pikepdf.open(io.BytesIO(draw(replace(WIDE, head=("a", "b", "c", "d", "e", "f"))))) as pdf:
        assert str(pdf.Root.StructTreeRoot.K.K[-1].S) == "/Table"


def test_each_value_of_a_stacked_row_stands_under_its_name_and_after_its_heading() -> None:
    text = read(draw(WIDE))
    assert "Bar and its screws Unforgettable: 9,999.99 Incomparable: 3,333.33 Inexhaustible: 4,444.44" in text


def test_a_cell_that_says_nothing_has_no_line() -> None:
    assert "Upper jaw Unforgettable: 12,345.60 Incomparable: 2,222.22 Unconditional: 1.00 Bar" in read(draw(WIDE))


def test_stacked_rows_are_a_list_of_names_and_what_belongs_to_each() -> None:
    with pikepdf.open(io.BytesIO(draw(WIDE))) as pdf:
        stacked = pdf.Root.StructTreeRoot.K.K[-1]
        assert str(stacked.S) == "/L"
        roles = [[str(part.S) for part in item.K] for item in stacked.K]
        lines = [[str(line.S) for line in item.K[1].K] for item in stacked.K]
    assert roles == [["/Lbl", "/LBody"]] * 4
    assert lines == [["/P"] * 3, ["/P"] * 4, ["/P"] * 4, ["/P"] * 4]


@pytest.mark.parametrize("profile", ["ua1", "2a"])
def test_stacked_rows_over_pages_pass_the_validator(profile: str) -> None:
    nameless = ("Nothing known", "", "", "", "", "")
    data = draw(replace(WIDE, rows=(*(WIDE.rows * 12), nameless), bold_last=False))
    assert len(read_pages(data)) > 2
    result = page.validate_pdf_bytes(data, profile=profile)
    assert result.is_compliant, [failure.rule_id for failure in result.failures]


@pytest.mark.parametrize("count", range(12, 20))
def test_no_block_is_split_and_neither_a_group_nor_the_last_row_stands_alone(count: int) -> None:
    filler = tuple(Paragraph(text=(TextSpan(text=f"filler {number}."),)) for number in range(count))
    pages = read_pages(draw(*filler, WIDE))
    (first,) = [text for text in pages if "Upper jaw" in text]
    assert "Unconditional: 1.00 Bar and its screws Unforgettable" in first
    assert re.search(r"Cylinder .* In all .* 6,768\.67", pages[-1])


def test_only_a_block_taller_than_a_page_is_split() -> None:
    """It is printed whole, over two pages, and not refused."""
    long = "many words " * 120
    pages = read_pages(draw(replace(WIDE, rows=(("Long", long, long, "1.00", "2.00", "3.00"),), bold=())))
    assert len(pages) > 1
    assert " ".join(pages).count("many") == 240


def test_a_column_on_the_left_after_one_of_numbers_has_room_for_its_words_and_both_gaps() -> None:
    rows = (("name " * 40, "1,000.00", "Dec\N{NO-BREAK SPACE}10,\N{NO-BREAK SPACE}2026", "Dec\N{NO-BREAK SPACE}31"),)
    narrow = TableBlock(head=("What", "Fee", "From", "To"), rows=rows, widths=(94, 2, 2, 2), left=(0, 2, 3))
    (printed,) = (one.extract_text() for one in pypdf.PdfReader(io.BytesIO(draw(narrow))).pages)
    for whole in ("1,000.00", "Dec 10, 2026", "Dec 31"):
        assert whole in printed.replace("\N{NO-BREAK SPACE}", " ")


def test_a_narrow_column_cuts_neither_a_number_from_its_sign_nor_the_bold_name_of_a_group() -> None:
    rows = (("Group of some", "Whenever", "9,999,999.99"), ("name " * 20, "10.09\N{NO-BREAK SPACE}%", "1.00"))
    narrow = TableBlock(head=("What", "b", "c"), rows=rows, widths=(97, 1, 1), left=(0, 1), bold=(0,))
    (printed,) = (one.extract_text() for one in pypdf.PdfReader(io.BytesIO(draw(narrow))).pages)
    for whole in ("Whenever", "10.09\N{NO-BREAK SPACE}%", "9,999,999.99"):
        assert whole.replace("\N{NO-BREAK SPACE}", " ") in printed.replace("\N{NO-BREAK SPACE}", " ")
