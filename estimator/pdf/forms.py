"""What is filled in by hand: boxes to tick, lines to write on, lines to sign. Points."""

from collections.abc import Iterator
from dataclasses import replace

from estimator.pdf.flow import Slab
from estimator.pdf.lines import TextLine
from estimator.pdf.pen import LINE_HEIGHT, MM, Pen
from estimator.pdf.structure import Element
from estimator.sheets.base.blocks import SignLine, TextSpan, Tick, Ticks, WriteLine

_BOX = "\N{BALLOT BOX}"
"""What is read out for a box; on paper it is drawn, so that no further font has to be put into the file."""
_BOX_SIDE, _BOX_EDGE = 0.85, 0.9
_INDENT, _APART = 1.75, 0.3
_LEAST_LINE = 40 * MM
_ABOVE_SIGNATURE = 12 * MM
_GUTTER = 5 * MM


def make_form_slabs(block: Ticks | WriteLine | SignLine, pen: Pen, gap: float) -> tuple[Slab, ...]:
    """Slabs of a block to fill in, `gap` below what stands before it; raises `MissingGlyph`."""
    match block:
        case Ticks():
            return tuple(_make_ticks(block, pen, gap))
        case WriteLine():
            return (_make_write_line(block, pen, gap),)
        case SignLine():
            return (_make_sign_line(block, pen, gap),)


def _make_ticks(block: Ticks, pen: Pen, gap: float) -> Iterator[Slab]:
    parent = pen.pdf.add_element("L", attributes={"ListNumbering": "None"})
    for number, item in enumerate(block.items):
        yield _make_tick(item, parent, pen, gap if number == 0 else pen.edition.body * _APART)


def _make_tick(tick: Tick, parent: Element, pen: Pen, gap: float) -> Slab:
    """One item, whole: a box, its text, and the line to write on where it has one."""
    size = pen.edition.body
    high, indent = size * LINE_HEIGHT, size * _INDENT
    item = pen.pdf.add_element("LI", parent)
    label, body = pen.pdf.add_element("Lbl", item, spoken=_BOX), pen.pdf.add_element("LBody", item)
    shifted = replace(pen, left=pen.left + indent, width=pen.width - indent)
    lines = shifted.break_lines(tick.text, size)
    own_line = tick.line and not _has_room(lines, shifted)

    def draw(y: float) -> None:
        with pen.pdf.content(label):
            _draw_box(pen, y + (high - size * _BOX_SIDE) / 2, size * _BOX_SIDE)
        end = _write_lines(lines, body, shifted, y, size)
        if tick.line:
            _rule_after(lines, shifted, end, high, own_line=own_line)

    return Slab(height=high * (len(lines) + own_line), draw=draw, before=gap)


def _draw_box(pen: Pen, y: float, side: float) -> None:
    pen.pdf.set_dash_pattern()
    pen.pdf.set_draw_color(pen.colours["ink"])
    pen.pdf.set_line_width(_BOX_EDGE)
    pen.pdf.rect(pen.left + _BOX_EDGE / 2, y, side, side)


def _make_write_line(block: WriteLine, pen: Pen, gap: float) -> Slab:
    size = pen.edition.body
    # A hand needs more height than type does.
    high = size * LINE_HEIGHT * 1.3
    element = pen.pdf.add_element("P")
    lines = pen.break_lines((TextSpan(text=block.label),), size)
    own_line = not _has_room(lines, pen)

    def draw(y: float) -> None:
        top = y + high - size * LINE_HEIGHT
        end = _write_lines(lines, element, pen, top, size)
        _rule_after(lines, pen, end, high, own_line=own_line)
        for number in range(1, block.more + 1):
            base = end + size * (LINE_HEIGHT - 0.15) + high * (own_line + number)
            pen.rule(pen.left, pen.left + pen.width, base)

    text = size * LINE_HEIGHT * (len(lines) - 1)
    return Slab(height=text + high * (1 + own_line + block.more), draw=draw, before=gap)


def _make_sign_line(block: SignLine, pen: Pen, gap: float) -> Slab:
    """Room for a hand, the lines, the labels below them: one piece."""
    size = pen.edition.small
    columns = tuple(_set_columns(block, pen))
    elements = tuple(pen.pdf.add_element("P") for _ in block.labels)
    labels = tuple(
        pen.break_lines((TextSpan(text=label),), size, width)
        for label, (_, width) in zip(block.labels, columns, strict=True)
    )
    high = size * 1.3

    def draw(y: float) -> None:
        base = y + _ABOVE_SIGNATURE
        for (x, width), lines, element in zip(columns, labels, elements, strict=True):
            pen.rule(x, x + width, base)
            with pen.pdf.content(element):
                for number, line in enumerate(lines):
                    pen.write_in(line, x, base + 1 + number * high, size, high, "quiet")

    return Slab(height=_ABOVE_SIGNATURE + 1 + high * max(map(len, labels)), draw=draw, before=gap)


def _set_columns(block: SignLine, pen: Pen) -> Iterator[tuple[float, float]]:
    """Where each line begins and how long it is."""
    share = (pen.width - _GUTTER * (len(block.widths) - 1)) / sum(block.widths)
    x = pen.left
    for width in block.widths:
        yield x, width * share
        x += width * share + _GUTTER


def _has_room(lines: tuple[TextLine, ...], pen: Pen) -> bool:
    """Whether a line to write on fits after the last word."""
    return bool(lines) and lines[-1].width + _LEAST_LINE <= pen.width


def _write_lines(lines: tuple[TextLine, ...], element: Element, pen: Pen, y: float, size: float) -> float:
    """Write lines from y down; gives the top of the last one."""
    high = size * LINE_HEIGHT
    with pen.pdf.content(element):
        for number, line in enumerate(lines):
            pen.write_in(line, pen.left, y + number * high, size, high)
    return y + max(0, len(lines) - 1) * high


def _rule_after(lines: tuple[TextLine, ...], pen: Pen, y: float, high: float, *, own_line: bool) -> None:
    """The line to write on: after the last word where it fits, else on a line of its own."""
    size = pen.edition.body
    start = pen.left if own_line else pen.left + lines[-1].width + size * 0.5
    base = y + size * LINE_HEIGHT - size * 0.15
    pen.rule(start, pen.left + pen.width, base + high * own_line)
