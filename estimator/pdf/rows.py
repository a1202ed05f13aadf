"""Tables on paper: hairlines between rows only, the heading row again on every new page. Points.

A table whose words and amounts do not fit side by side is set as stacked rows: none of them is ever cut.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace

from estimator.pdf.flow import Slab
from estimator.pdf.lines import TextLine, set_line
from estimator.pdf.pen import MM, Pen
from estimator.pdf.stacked import make_stacked_slabs
from estimator.pdf.structure import Element
from estimator.sheets.base.blocks import TableBlock, TextSpan

_LINE, _PAD, _GUTTER = 1.3, 1.1 * MM, 3 * MM
# As lines are broken: not at a space that holds a number to its sign.
_WORDS = re.compile(r"[^ \n]+")


class TableError(ValueError):
    """A table whose rows, widths and heading do not go together."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _TableColumn:
    """Where a column begins, how wide its text may be, and whether it stands on the left or the right."""

    x: float
    width: float
    left: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class _TableRow:
    """The lines of each cell and the element of each."""

    cells: tuple[tuple[TextLine, ...], ...]
    elements: tuple[Element, ...]
    height: float
    head: bool


def make_table_slabs(table: TableBlock, pen: Pen, before: float) -> tuple[Slab, ...]:
    """One slab a row, or one a line where rows are stacked; raises `TableError`."""
    _check(table)
    size = pen.edition.small if table.small else pen.edition.body
    # The last row never stands alone on a page: it brings the one before it.
    kept = (*table.bold, len(table.rows) - 2)
    widths = _share_width(table, pen, size)
    if not widths:
        return make_stacked_slabs(table, pen, size, before, kept=kept)
    columns = _set_columns(table, pen, widths)
    parent = pen.pdf.add_element("Table")
    rows = [_make_row(table.head, columns, pen, size, parent, head=True)]
    for number, cells in enumerate(table.rows):
        rows.append(_make_row(cells, columns, pen, size, parent, bold=table.is_bold(number)))
    return _make_slabs(rows, columns, pen, size, before, kept=kept)


def _check(table: TableBlock) -> None:
    for name, cells in (("widths", table.widths), *((f"row {n}", row) for n, row in enumerate(table.rows, start=1))):
        if len(cells) != len(table.head):
            raise TableError(f"{name} of the table {table.head} has {len(cells)} cells; expected {len(table.head)}")
    if not table.head or min(table.widths) <= 0:
        raise TableError(f"the table {table.head} has the widths {table.widths}; expected shares above 0")


def _set_columns(table: TableBlock, pen: Pen, widths: tuple[float, ...]) -> tuple[_TableColumn, ...]:
    """Text on the left keeps off what follows, text on the right off what stands before it."""
    x, columns = pen.left, []
    for index, width in enumerate(widths):
        before, after = _find_gaps(table, index)
        columns.append(_TableColumn(x=x + before, width=width - before - after, left=index in table.left))
        x += width
    return tuple(columns)


def _find_gaps(table: TableBlock, index: int) -> tuple[float, float]:
    """What a column keeps free before and after its text."""
    if index not in table.left:
        return _GUTTER, 0.0
    before = _GUTTER if index and index - 1 not in table.left else 0.0
    return before, 0.0 if index == len(table.head) - 1 else _GUTTER


def _share_width(table: TableBlock, pen: Pen, size: float) -> tuple[float, ...]:
    """The width of each column: its share, but what may not be broken at the least, for which roomy columns give way.

    That is each cell of numbers if all of them have room, else each word; nothing where not even the words have room.
    """
    share = pen.width / sum(table.widths)
    wanted = tuple(width * share for width in table.widths)
    for whole in (True, False):
        least = tuple(
            _measure_widest(table, index, pen, size, whole=whole) + sum(_find_gaps(table, index)) + 0.1
            for index in range(len(table.widths))
        )
        if sum(least) <= pen.width:
            return _give_way(wanted, least, table.left)
    return ()


def _give_way(wanted: tuple[float, ...], least: tuple[float, ...], left: tuple[int, ...]) -> tuple[float, ...]:
    """Names break well over two lines, numbers with their unit do not: columns on the left give way first."""
    lacking = sum(max(0.0, low - width) for low, width in zip(least, wanted, strict=True))
    widths = [max(low, width) for low, width in zip(least, wanted, strict=True)]
    for index in sorted(range(len(widths)), key=lambda index: index not in left):
        given = min(widths[index] - least[index], lacking)
        widths[index], lacking = widths[index] - given, lacking - given
    return tuple(widths)


def _measure_widest(table: TableBlock, index: int, pen: Pen, size: float, *, whole: bool) -> float:
    """The widest word of a column, or the widest cell of numbers where cells stay `whole`."""
    parts = {(word, True) for word in _WORDS.findall(table.head[index])}
    for number, row in enumerate(table.rows):
        cell, bold = row[index], table.is_bold(number)
        parts |= {(part, bold) for part in ((cell,) if whole and index not in table.left else _WORDS.findall(cell))}
    lines = (set_line(pen.pdf, (TextSpan(text=part, bold=bold),), size) for part, bold in parts)
    return max((line.width for line in lines), default=0.0)


def _make_row(
    cells: tuple[str, ...],
    columns: tuple[_TableColumn, ...],
    pen: Pen,
    size: float,
    parent: Element,
    *,
    head: bool = False,
    bold: bool = False,
) -> _TableRow:
    row = pen.pdf.add_element("TR", parent)
    elements = tuple(_add_cell(pen, row, index, head=head) for index in range(len(cells)))
    lines = tuple(
        pen.break_lines((TextSpan(text=text, bold=head or bold),), size, column.width)
        for text, column in zip(cells, columns, strict=True)
    )
    height = max(1, *(len(cell) for cell in lines)) * size * _LINE + 2 * _PAD
    return _TableRow(cells=lines, elements=elements, height=height, head=head)


def _add_cell(pen: Pen, row: Element, index: int, *, head: bool) -> Element:
    if head:
        return pen.pdf.add_element("TH", row, attributes={"Scope": "Column"})
    if index == 0:
        return pen.pdf.add_element("TH", row, attributes={"Scope": "Row"})
    return pen.pdf.add_element("TD", row)


def _make_slabs(
    rows: list[_TableRow],
    columns: tuple[_TableColumn, ...],
    pen: Pen,
    size: float,
    before: float,
    *,
    kept: tuple[int, ...],
) -> tuple[Slab, ...]:
    head = Slab(height=rows[0].height, draw=_draw_again(rows[0], columns, pen, size))
    slabs = []
    for index, row in enumerate(rows):
        keep = index < len(rows) - 1 and (row.head or index - 1 in kept)
        slab = Slab(height=row.height, draw=_draw_row(row, columns, pen, size), keep=keep)
        slabs.append(replace(slab, before=before) if row.head else replace(slab, again=head))
    return tuple(slabs)


def _draw_row(row: _TableRow, columns: tuple[_TableColumn, ...], pen: Pen, size: float) -> Callable[[float], None]:
    def draw(y: float) -> None:
        if not row.head:
            pen.rule(pen.left, pen.left + pen.width, y)
        for cell, element, column in zip(row.cells, row.elements, columns, strict=True):
            if cell:
                with pen.pdf.content(element):
                    _write_cell(cell, column, pen, size, y)

    return draw


def _draw_again(row: _TableRow, columns: tuple[_TableColumn, ...], pen: Pen, size: float) -> Callable[[float], None]:
    def draw(y: float) -> None:
        with pen.pdf.artifact("Pagination"):
            for cell, column in zip(row.cells, columns, strict=True):
                _write_cell(cell, column, pen, size, y)

    return draw


def _write_cell(cell: tuple[TextLine, ...], column: _TableColumn, pen: Pen, size: float, y: float) -> None:
    for number, line in enumerate(cell):
        x = column.x if column.left else column.x + column.width - line.width
        pen.write_in(line, x, y + _PAD + number * size * _LINE, size, size * _LINE)
