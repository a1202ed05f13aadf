"""Headings, paragraphs, names and lists on paper, a slab a line. Points."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from estimator.pdf.flow import Slab
from estimator.pdf.fonts import find_face
from estimator.pdf.lines import TextLine
from estimator.pdf.pen import LINE_HEIGHT, Pen
from estimator.pdf.structure import Element
from estimator.sheets.base.blocks import Bullets, Heading, NameLine, Paragraph, Text, TextSpan

_HEADING_LINE = 1.25
_DOT = "·  "
Draw = Callable[[float], None]


def make_prose_slabs(block: Heading | Paragraph | NameLine | Bullets, pen: Pen, gap: float) -> tuple[Slab, ...]:
    """Slabs of a block of text, `gap` below what stands before it; raises `MissingGlyph`."""
    match block:
        case Heading():
            return _make_heading(block, pen, gap)
        case Paragraph():
            return _make_paragraph(block, pen, gap)
        case NameLine():
            return _make_name_line(block, pen, gap)
        case Bullets():
            return tuple(_make_bullets(block, pen, gap))


def size_heading(heading: Heading, pen: Pen) -> float:
    """Type size of a heading [pt]."""
    sizes = {1: pen.edition.title, 2: pen.edition.section, 3: pen.edition.body}
    if heading.level not in sizes:
        raise ValueError(f"'level' of {heading.text!r} must be 1, 2 or 3 (got {heading.level})")
    return sizes[heading.level]


def _make_heading(heading: Heading, pen: Pen, gap: float) -> tuple[Slab, ...]:
    size = size_heading(heading, pen)
    element = pen.pdf.add_element(f"H{heading.level}")
    lines = pen.break_lines((TextSpan(text=heading.text, bold=True),), size)
    slabs = _stack(_write_lines(lines, element, pen, size, size * _HEADING_LINE), size * _HEADING_LINE, gap)
    return tuple(replace(slab, keep=True) for slab in slabs)


def _make_paragraph(paragraph: Paragraph, pen: Pen, gap: float) -> tuple[Slab, ...]:
    size = pen.edition.small if paragraph.small else pen.edition.body
    element = pen.pdf.add_element("P")
    lines = pen.break_lines(paragraph.text, size)
    draws = _write_lines(lines, element, pen, size, size * LINE_HEIGHT, "quiet" if paragraph.small else "ink")
    return _stack(draws, size * LINE_HEIGHT, gap)


def _stack(draws: Iterator[Draw], height: float, gap: float) -> tuple[Slab, ...]:
    """A slab a line; neither the first nor the last line of several stands alone on a page."""
    slabs = [Slab(height=height, draw=draw) for draw in draws]
    if not slabs:
        return ()
    slabs[0] = replace(slabs[0], before=gap)
    alone = {0, len(slabs) - 2} - {len(slabs) - 1}
    return tuple(replace(slab, keep=True) if index in alone else slab for index, slab in enumerate(slabs))


def _write_lines(
    lines: tuple[TextLine, ...], element: Element, pen: Pen, size: float, height: float, colour: str = "ink"
) -> Iterator[Draw]:
    for line in lines:

        def draw(y: float, line: TextLine = line) -> None:
            with pen.pdf.content(element):
                pen.write_in(line, pen.left, y, size, height, colour)

        yield draw


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cell:
    """A line of a name line: where it stands and whose it is."""

    x: float
    line: TextLine
    element: Element
    colour: str


def _make_name_line(block: NameLine, pen: Pen, gap: float) -> tuple[Slab, ...]:
    """Label, name and note in cells of their own, so that none can change the order of another's letters."""
    size = pen.edition.small
    parent = pen.pdf.add_element("P")
    face = find_face(block.name)
    parts = ((block.label, "quiet", ""), (block.name, "ink", face.language), (block.note, "quiet", ""))
    rows: list[list[_Cell]] = []
    x = 0.0
    for text, colour, language in parts:
        if not text:
            continue
        element = pen.pdf.add_element(
            "Span", parent, language=language, spoken=text if text == block.name and face.rtl else ""
        )
        for line in _break_part(text, pen, pen.width - x):
            # A part that does not fit beside the one before begins a line; so does each further line of a long part.
            if not rows or rows[-1][-1].element is element or x + line.width > pen.width:
                rows.append([])
                x = 0.0
            rows[-1].append(_Cell(x=pen.left + x, line=line, element=element, colour=colour))
            x += sum(line.widths)
    slabs = _stack((_write_cells(row, pen, size) for row in rows), size * LINE_HEIGHT, gap)
    return tuple(replace(slab, keep=slab is not slabs[-1]) for slab in slabs)


def _break_part(text: str, pen: Pen, room: float) -> tuple[TextLine, ...]:
    """Lines of a part; a dot that parts it from the one before is left out where it begins a line."""
    beside = pen.break_lines((TextSpan(text=f"{text} "),), pen.edition.small)
    if len(beside) == 1 and beside[0].width <= room:
        return beside
    return pen.break_lines((TextSpan(text=f"{text.removeprefix(_DOT)} "),), pen.edition.small)


def _write_cells(cells: list[_Cell], pen: Pen, size: float) -> Draw:
    def draw(y: float) -> None:
        for cell in cells:
            with pen.pdf.content(cell.element):
                pen.write_in(cell.line, cell.x, y, size, size * LINE_HEIGHT, cell.colour)

    return draw


def _make_bullets(block: Bullets, pen: Pen, gap: float) -> Iterator[Slab]:
    parent = pen.pdf.add_element("L", attributes={"ListNumbering": "Disc"})
    for number, text in enumerate(block.items):
        yield from _make_item(text, parent, pen, gap if number == 0 else pen.edition.body * 0.15)


def _make_item(text: Text, parent: Element, pen: Pen, gap: float) -> tuple[Slab, ...]:
    size = pen.edition.body
    high, indent = size * LINE_HEIGHT, size * 1.2
    item = pen.pdf.add_element("LI", parent)
    label, body = pen.pdf.add_element("Lbl", item), pen.pdf.add_element("LBody", item)
    shifted = replace(pen, left=pen.left + indent, width=pen.width - indent)
    marks = tuple(_write_lines(pen.break_lines((TextSpan(text="•"),), size), label, pen, size, high))
    lines = tuple(_write_lines(shifted.break_lines(text, size), body, shifted, size, high))

    def draw_first(y: float) -> None:
        for draw in (*marks, *lines[:1]):
            draw(y)

    return _stack(iter((draw_first, *lines[1:])), high, gap)
