"""How blocks are laid on pages: what is kept together, where pages end."""

import io
import itertools
from dataclasses import replace
from datetime import date

import page
import pikepdf
import pypdf
import pytest

from estimator.inputs.practice.settings import Paper
from estimator.pdf.draw import draw_sheet
from estimator.pdf.flow import TooTall
from estimator.sheets.base.blocks import (
    Block,
    Bullets,
    FigureBlock,
    Heading,
    KeepTogether,
    NameLine,
    PageBreak,
    Paragraph,
    Sheet,
    TableBlock,
    TextSpan,
)


def draw(*blocks: Block, large: bool = False, paper: Paper = Paper.LETTER) -> bytes:
    sheet = Sheet(
        title="T", number="1", author="A", language="en", created=date(2026, 1, 2), footer="F",
        blocks=(Heading(text="Top", level=1), *blocks),
    )  # fmt: skip
    return draw_sheet(sheet, large=large, paper=paper)


def read_pages(data: bytes) -> list[str]:
    return [p.extract_text() for p in pypdf.PdfReader(io.BytesIO(data)).pages]


def find_pages(data: bytes, text: str) -> list[int]:
    return [number for number, words in enumerate(read_pages(data), start=1) if text in words]


def line(text: str) -> Paragraph:
    return Paragraph(text=(TextSpan(text=text),))


def fill(count: int) -> tuple[Block, ...]:
    """Lines of 19.32 points and 4.9 after each: a Letter page holds about 29 of them below the title."""
    return tuple(line(f"filler {number}.") for number in range(count))


def make_table(rows: int, *, bold_last: bool = False) -> TableBlock:
    body = tuple((f"row {n}.", str(n)) for n in range(rows))
    return TableBlock(head=("Choice", "Trips"), rows=body, widths=(3, 1), bold_last=bold_last)


def make_figure(height: float) -> FigureBlock:
    return FigureBlock(shapes=(), span=(0, 1), height=height, alt="Empty.")


@pytest.mark.parametrize("count", range(22, 31))
def test_a_heading_is_never_left_alone_at_the_page_foot(count: int) -> None:
    data = draw(*fill(count), Heading(text="Kept", level=2), line("first words. " * 20))
    assert find_pages(data, "Kept") == find_pages(data, "first words.")[:1]


@pytest.mark.parametrize("count", range(22, 31))
def test_a_heading_stays_with_the_first_row_of_a_table(count: int) -> None:
    data = draw(*fill(count), Heading(text="Kept", level=2), make_table(3))
    assert find_pages(data, "Kept") == find_pages(data, "row 0.")


@pytest.mark.parametrize("count", range(22, 31))
def test_two_headings_stay_with_the_figure_below_them(count: int) -> None:
    data = draw(
        *fill(count), Heading(text="Upper", level=2), Heading(text="Lower", level=3), make_figure(100), line("after")
    )
    with pikepdf.open(io.BytesIO(data)) as pdf:
        tree = pdf.Root.StructTreeRoot.K
        figure = next(e for e in tree.K if str(e.S) == "/Figure")
        on = next(n for n, p in enumerate(pdf.pages, start=1) if p.obj.objgen == figure.K[0].Pg.objgen)
        assert float(figure.A.BBox[1]) >= 51
    assert find_pages(data, "Upper") == find_pages(data, "Lower") == [on]


@pytest.mark.parametrize("count", range(22, 31))
def test_blocks_held_together_stay_on_one_page(count: int) -> None:
    data = draw(*fill(count), KeepTogether(blocks=(line("one."), line("two."), make_table(2), line("three."))))
    assert find_pages(data, "one.") == find_pages(data, "row 1.") == find_pages(data, "three.")


def test_blocks_held_together_move_only_where_they_must() -> None:
    assert len(read_pages(draw(*fill(10), KeepTogether(blocks=fill(10))))) == 1


def test_blocks_held_together_but_taller_than_a_page_are_all_printed() -> None:
    pages = read_pages(draw(KeepTogether(blocks=fill(80))))
    assert len(pages) == 3
    assert all(any(f"filler {n}." in words for words in pages) for n in range(80))


@pytest.mark.parametrize("count", range(22, 31))
def test_a_paragraph_leaves_no_single_line_on_a_page(count: int) -> None:
    lines = [f"line{n} " + "words and words and words and words and words" for n in range(4)]
    pages = read_pages(draw(*fill(count), line("\n".join(lines))))
    counts = [sum(f"line{n}" in words for n in range(4)) for words in pages]
    assert sum(counts) == 4
    assert 1 not in counts


@pytest.mark.parametrize("count", range(29, 35))
def test_a_last_page_never_holds_a_few_lines_alone(count: int) -> None:
    """Nearer gaps save the page, or it gets what stands before it: each line is 24.2 of the 708 points of a page."""
    pages = read_pages(draw(*fill(count)))
    assert len(pages) == 1 or pages[-1].count("filler") >= 7


@pytest.mark.parametrize("count", range(24, 29))
def test_a_page_with_a_few_lines_before_a_tall_picture_gets_more(count: int) -> None:
    pages = read_pages(draw(*fill(count), Heading(text="Below", level=2), line("few words."), make_figure(690)))
    held = next(words for words in pages if "few words." in words)
    assert held.count("filler") >= 4


def test_rows_held_together_are_let_go_for_a_page_that_would_be_almost_empty() -> None:
    table = KeepTogether(blocks=(Heading(text="Prices", level=2), make_table(24, bold_last=True)))
    pages = read_pages(draw(table, Heading(text="Below", level=2), line("few words."), make_figure(690)))
    held = next(words for words in pages if "few words." in words)
    assert "row 23." in held
    assert "row 22." in held
    assert "row 0." not in held


def test_a_page_break_that_is_asked_for_leaves_a_short_page() -> None:
    pages = read_pages(draw(*fill(20), PageBreak(), line("alone."), PageBreak(), *fill(5)))
    assert [words.count("filler") for words in pages] == [20, 0, 5]


def test_gaps_stay_where_no_page_is_saved() -> None:
    one, two = (draw(*fill(20)), draw(*fill(50)))
    heights = []
    for data in (one, two):
        found: list[float] = []

        def note(text: str, _: object, matrix: list[float], *__: object, found: list[float] = found) -> None:
            if text.startswith("filler"):
                found.append(matrix[5])

        pypdf.PdfReader(io.BytesIO(data)).pages[0].extract_text(visitor_text=note)
        heights.append(found[1] - found[2])
    assert heights[0] == pytest.approx(heights[1])


def test_a_paragraph_over_a_page_end_stays_one_paragraph() -> None:
    data = draw(*fill(22), line("many words " * 120))
    with pikepdf.open(io.BytesIO(data)) as pdf:
        last = pdf.Root.StructTreeRoot.K.K[-1]
        assert len({kid.Pg.objgen for kid in last.K}) == 2
        assert len(pdf.pages) == 2


@pytest.mark.parametrize("count", range(18, 31))
def test_the_last_row_of_a_table_is_never_alone_on_a_page(count: int) -> None:
    data = draw(*fill(count), make_table(5))
    assert find_pages(data, "row 3.") == find_pages(data, "row 4.")


@pytest.mark.parametrize("count", range(18, 31))
def test_a_row_that_begins_a_group_stays_with_the_row_below_it(count: int) -> None:
    data = draw(*fill(count), replace(make_table(7), bold=(0, 2)))
    assert find_pages(data, "row 0.") == find_pages(data, "row 1.")
    assert find_pages(data, "row 2.") == find_pages(data, "row 3.")


def test_a_table_repeats_its_heading_row_on_each_page() -> None:
    data = draw(make_table(60))
    pages = read_pages(data)
    assert len(pages) == 3
    assert all("Choice Trips" in " ".join(words.split()) for words in pages)


def test_a_repeated_heading_row_is_not_read_out_again() -> None:
    with pikepdf.open(io.BytesIO(draw(make_table(60)))) as pdf:
        table = pdf.Root.StructTreeRoot.K.K[-1]
        scopes = [str(cell.A.Scope) for row in table.K for cell in row.K if "/A" in cell]
        assert len(table.K) == 61
        assert scopes.count("/Column") == 2


@pytest.mark.parametrize("profile", ["ua1", "2a"])
def test_a_table_over_pages_passes_the_validator(profile: str) -> None:
    assert page.validate_pdf_bytes(draw(make_table(60)), profile=profile).is_compliant


@pytest.mark.parametrize("count", range(22, 31))
def test_a_row_is_never_split(count: int) -> None:
    tall = TableBlock(head=("a", "b"), rows=(("begin\nmiddle\nfinish", "1"),), widths=(3, 1))
    data = draw(*fill(count), tall)
    assert find_pages(data, "begin") == find_pages(data, "finish")


@pytest.mark.parametrize("count", range(22, 31))
def test_a_bold_last_row_stays_with_the_row_above_it(count: int) -> None:
    data = draw(*fill(count), make_table(4, bold_last=True))
    assert find_pages(data, "row 2.") == find_pages(data, "row 3.")


def test_a_figure_taller_than_a_page_is_refused() -> None:
    with pytest.raises(TooTall, match="900 points high"):
        draw(make_figure(900))


def test_a_page_break_begins_a_new_page() -> None:
    assert find_pages(draw(line("before."), PageBreak(), line("after.")), "after.") == [2]


def test_a_page_break_at_the_very_top_of_a_page_leaves_no_empty_page() -> None:
    assert len(read_pages(draw(line("before."), PageBreak(), PageBreak(), line("after.")))) == 2


def test_a_page_break_at_the_end_leaves_an_empty_page_to_nobody() -> None:
    assert len(read_pages(draw(line("before."), PageBreak()))) == 1


def test_a_break_in_a_text_is_a_new_line() -> None:
    words = read_pages(draw(line("upper\nlower")))[0].splitlines()
    assert [w.strip() for w in words if w.strip() in {"upper", "lower"}] == ["upper", "lower"]


def test_a_word_longer_than_a_line_is_cut_and_not_lost() -> None:
    word = "".join(f"{n:04d}" for n in range(60))
    text = read_pages(draw(line(word)))[0]
    assert word in text.replace("\n", "").replace(" ", "")


def test_a_bold_word_beside_a_comma_is_not_torn_from_it() -> None:
    for width in range(40, 70):
        spans = (
            TextSpan(text="x" * width + " and "),
            TextSpan(text="Studies differ", bold=True),
            TextSpan(text=", so"),
        )
        lines = read_pages(draw(Paragraph(text=spans)))[0].splitlines()
        assert not any(text.startswith(",") for text in lines)


def test_a_long_name_line_wraps_and_keeps_all_parts() -> None:
    block = NameLine(label="For the patient", name="Maria " * 14, note="born on May 2, 1951")
    text = " ".join(read_pages(draw(block))[0].split())
    assert f"For the patient {'Maria ' * 14}born on May 2, 1951" in text


@pytest.mark.parametrize("block", [line(""), NameLine(label="", name=""), Bullets(items=()), KeepTogether(blocks=())])
def test_an_empty_block_prints_nothing_and_passes(block: Block) -> None:
    assert page.validate_pdf_bytes(draw(block, line("after")), profile="ua1").is_compliant


def test_every_mix_of_two_blocks_passes_the_validator() -> None:
    kinds: tuple[Block, ...] = (
        line("words"),
        Heading(text="More", level=2),
        NameLine(label="For", name="Ana"),
        Bullets(items=((TextSpan(text="one"),), ())),
        make_table(2),
        make_figure(30),
    )
    for pair in itertools.permutations(kinds, 2):
        assert page.validate_pdf_bytes(draw(*pair), profile="ua1").is_compliant, pair


def test_large_print_takes_more_room() -> None:
    assert len(read_pages(draw(*fill(25), large=True))) > len(read_pages(draw(*fill(25))))


@pytest.mark.parametrize("rows", range(24, 46))
def test_a_last_row_is_not_alone_where_what_stands_together_is_taller_than_a_page(rows: int) -> None:
    """One of these tables ends with its last row on the next page, unless the row before comes along."""
    data = draw(KeepTogether(blocks=(Heading(text="Part", level=2), make_table(rows, bold_last=True))))
    assert find_pages(data, f"row {rows - 1}.") == find_pages(data, f"row {rows - 2}.")
