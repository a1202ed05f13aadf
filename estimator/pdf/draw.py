"""Draws a sheet as a tagged PDF: every file passes PDF/UA-1 and PDF/A-2a as `page-validation` checks them."""

from dataclasses import replace

from estimator.inputs.practice.settings import Paper
from estimator.pdf.figure import draw_figure, find_width
from estimator.pdf.flow import Slab, place_slabs
from estimator.pdf.forms import make_form_slabs
from estimator.pdf.letterhead import make_letterhead
from estimator.pdf.lines import TextLine
from estimator.pdf.pen import LARGE, MM, NORMAL, Pen
from estimator.pdf.prose import make_prose_slabs, size_heading
from estimator.pdf.rows import make_table_slabs
from estimator.pdf.structure import About
from estimator.pdf.tagged import TaggedPDF
from estimator.pictures.base.look import GREY, PRINT
from estimator.sheets.base.blocks import (
    Block,
    Bullets,
    FigureBlock,
    Heading,
    KeepTogether,
    Letterhead,
    NameLine,
    PageBreak,
    Paragraph,
    Sheet,
    SignLine,
    TableBlock,
    TextSpan,
    Ticks,
    WriteLine,
)

_SIDE, _TOP, _FOOT, _FOOTER = 25.4 * MM, 15 * MM, 18 * MM, 9 * MM
_FOOTER_LINE, _HEADING_LINE = 1.25, 1.25
_AFTER = 0.35
_MANY_PAGES = 99


def draw_sheet(sheet: Sheet, *, paper: Paper = Paper.LETTER, grey: bool = False, large: bool = False) -> bytes:
    """The sheet as PDF; equal sheets give equal bytes.

    Raises `MissingGlyph` for a character no shipped font has, `FigureError`, `TableError` or `TooTall` for a block
    that cannot be printed, `TaggingError` for headings that leave out a level.
    """
    about = About(title=sheet.title, author=sheet.author, language=sheet.language, created=sheet.created)
    with TaggedPDF(paper=paper.value, about=about) as pdf:
        edition, colours = LARGE if large else NORMAL, GREY if grey else PRINT
        pen = Pen(pdf=pdf, colours=colours, edition=edition, left=_SIDE, width=pdf.w - 2 * _SIDE)
        bottom = pdf.h - _FOOT - _measure_extra_footer(sheet, pen)
        slabs = _make_slabs(sheet.blocks, pen)
        pdf.add_page()
        place_slabs(slabs, top=_TOP, bottom=bottom, turn_page=pdf.add_page)
        _write_footers(sheet, pen)
        return pdf.finish()


def _measure_extra_footer(sheet: Sheet, pen: Pen) -> float:
    """Height of the footer lines above the one that the margin has room for [pt]."""
    lines = _break_footer(sheet, pen, _MANY_PAGES, _MANY_PAGES)
    return (len(lines) - 1) * pen.edition.small * _FOOTER_LINE


def _break_footer(sheet: Sheet, pen: Pen, page: int, pages: int) -> tuple[TextLine, ...]:
    """One line if it fits, else the page number on a line of its own where that takes no further line."""
    size, number = pen.edition.small, f"{page} {sheet.of_word} {pages}"
    if not sheet.footer:
        return pen.break_lines((TextSpan(text=number),), size)
    lines = pen.break_lines((TextSpan(text=f"{sheet.footer}  ·  {number}"),), size)
    if len(lines) == 1:
        return lines
    apart = pen.break_lines((TextSpan(text=f"{sheet.footer}\n{number}"),), size)
    return apart if len(apart) == len(lines) else lines


def _write_footers(sheet: Sheet, pen: Pen) -> None:
    size, pages = pen.edition.small, pen.pdf.pages_count
    high = size * _FOOTER_LINE
    for page in range(1, pages + 1):
        pen.pdf.page = page
        # The end of an older page has its own font and colour; say both again there.
        pen.pdf.current_font_is_set_on_page = False
        pen.pdf.set_fill_color(pen.colours["paper"])
        lines = _break_footer(sheet, pen, page, pages)
        with pen.pdf.artifact("Pagination"):
            for number, line in enumerate(lines):
                y = pen.pdf.h - _FOOTER - high * (len(lines) - number)
                pen.write_in(line, pen.left, y, size, high, "quiet")


def _make_slabs(blocks: tuple[Block, ...], pen: Pen) -> tuple[Slab, ...]:
    slabs: list[Slab] = []
    before: Block | None = None
    for block in blocks:
        slabs += _make_block_slabs(block, pen, _find_gap(before, block, pen))
        before = block
    return tuple(slabs)


def _find_gap(before: Block | None, block: Block, pen: Pen) -> float:
    """Space between two blocks: what the upper one wants below it and the lower one above it, added up [pt]."""
    before, block = _open(before, -1), _open(block, 0) or block
    if isinstance(before, NameLine) or (isinstance(block, NameLine) and _is_small(before)):
        return 0.0 if _is_small(block) else pen.edition.small * _AFTER
    body = pen.edition.body
    match before:
        case None:
            below = 0.0
        case Heading():
            below = size_heading(before, pen) * 0.12
        case _:
            below = (pen.edition.small if _is_small(before) else body) * _AFTER
    above = size_heading(block, pen) * 0.5 if isinstance(block, Heading) and before else 0.0
    return below + above


def _open(block: Block | None, place: int) -> Block | None:
    """The first (0) or last (-1) block of several that stay together; any other block itself."""
    while isinstance(block, KeepTogether) and block.blocks:
        block = block.blocks[place]
    return block


def _is_small(block: Block | None) -> bool:
    return isinstance(block, NameLine | Letterhead) or (isinstance(block, Paragraph) and block.small)


def _make_block_slabs(block: Block, pen: Pen, gap: float) -> tuple[Slab, ...]:
    match block:
        case Heading() | Paragraph() | NameLine() | Bullets():
            return make_prose_slabs(block, pen, gap)
        case Letterhead():
            return (make_letterhead(block, pen, gap),)
        case Ticks() | WriteLine() | SignLine():
            return make_form_slabs(block, pen, gap)
        case TableBlock():
            return make_table_slabs(block, pen, gap)
        case FigureBlock():
            return (_make_figure(block, pen, gap),)
        case PageBreak():
            return (Slab(height=0, draw=lambda _: None, turn=True),)
        case KeepTogether():
            return _make_together(block, pen, gap)


def _make_together(block: KeepTogether, pen: Pen, gap: float) -> tuple[Slab, ...]:
    slabs = _make_slabs(block.blocks, pen)
    if not slabs:
        return ()
    glued = [replace(slab, keep=True, loose=slab.loose or not slab.keep) for slab in slabs[:-1]] + [slabs[-1]]
    return (replace(glued[0], before=glued[0].before + gap), *glued[1:])


def _make_figure(figure: FigureBlock, pen: Pen, gap: float) -> Slab:
    width = find_width(figure, pen)
    element = pen.pdf.add_element("Figure", alt=figure.alt)

    def draw(y: float) -> None:
        base = pen.pdf.h - y - figure.height
        element.box = (pen.left, base, pen.left + width, base + figure.height)
        with pen.pdf.content(element):
            draw_figure(figure, pen, y)

    return Slab(height=figure.height, draw=draw, before=gap)
