"""A table too wide for the page, as a list: a block a row, its name bold, below it a line a cell. Points."""

from collections.abc import Callable, Iterator
from dataclasses import replace

from estimator.pdf.flow import Slab
from estimator.pdf.lines import TextLine
from estimator.pdf.pen import MM, Pen
from estimator.pdf.structure import Element
from estimator.sheets.base.blocks import TableBlock, TextSpan

_LINE, _PAD, _INDENT = 1.3, 1.3 * MM, 5 * MM
_NOTHING = ("", "\N{EN DASH}")
"""Cells that keep their place in a row; of a block they need no line."""


def make_stacked_slabs(
    table: TableBlock, pen: Pen, size: float, before: float, *, kept: tuple[int, ...]
) -> tuple[Slab, ...]:
    """A slab a line; no block is split, and those whose numbers are `kept` stay with the next one.

    It is tagged as a list whose labels are the names, because a reader hears the heading of every cell beside it.
    """
    parent = pen.pdf.add_element("L")
    slabs: list[Slab] = []
    for number, cells in enumerate(table.rows):
        block = [*_make_block(table.head, cells, pen, size, parent, bold=table.is_bold(number))]
        slabs += (replace(slab, keep=True) for slab in block[:-1])
        slabs.append(replace(block[-1], keep=number in kept))
    return (replace(slabs[0], before=before), *slabs[1:]) if slabs else ()


def _make_block(
    head: tuple[str, ...], cells: tuple[str, ...], pen: Pen, size: float, parent: Element, *, bold: bool
) -> Iterator[Slab]:
    item = pen.pdf.add_element("LI", parent)
    said = [(title, cell) for title, cell in zip(head[1:], cells[1:], strict=True) if cell not in _NOTHING]
    label = pen.pdf.add_element("Lbl" if said else "LBody", item)
    lines = [(line, label, 0.0) for line in pen.break_lines((TextSpan(text=cells[0], bold=True),), size)]
    body = pen.pdf.add_element("LBody", item) if said else label
    for title, cell in said:
        element = pen.pdf.add_element("P", body)
        text = (TextSpan(text=f"{title}: {cell}", bold=bold),)
        lines += ((line, element, _INDENT) for line in pen.break_lines(text, size, pen.width - _INDENT))
    for number, (line, element, indent) in enumerate(lines):
        first, last = number == 0, number == len(lines) - 1
        height = size * _LINE + _PAD * (first + last)
        yield Slab(height=height, draw=_draw_line(line, element, indent, pen, size, first=first))


def _draw_line(
    line: TextLine, element: Element, indent: float, pen: Pen, size: float, *, first: bool
) -> Callable[[float], None]:
    def draw(y: float) -> None:
        if first:
            pen.rule(pen.left, pen.left + pen.width, y)
        with pen.pdf.content(element):
            pen.write_in(line, pen.left + indent, y + (_PAD if first else 0.0), size, size * _LINE)

    return draw
