"""The head of a sheet on paper: small lines at the left, the logo beside them at the right. Points."""

from collections.abc import Iterator
from dataclasses import dataclass

from PIL import Image

from estimator.inputs.practice.logo import LOGO_HEIGHT_PX, LOGO_WIDTH_PX, Logo
from estimator.pdf.flow import Slab
from estimator.pdf.lines import TextLine, set_line
from estimator.pdf.pen import LINE_HEIGHT, MM, Pen
from estimator.pdf.structure import Element
from estimator.pictures.base.look import GREY
from estimator.sheets.base.blocks import Letterhead, TextSpan

_HEIGHT = 12 * MM
_WIDTH = _HEIGHT * LOGO_WIDTH_PX / LOGO_HEIGHT_PX
_GUTTER = 5 * MM
_BETWEEN = "  \N{MIDDLE DOT}  "


@dataclass(frozen=True, slots=True, kw_only=True)
class _HeadRow:
    line: TextLine
    element: Element


def make_letterhead(head: Letterhead, pen: Pen, gap: float) -> Slab:
    """One slab, never split; raises `MissingGlyph`."""
    size = pen.edition.small
    wide, high = _measure(head.logo) if head.logo else (0.0, 0.0)
    figure = pen.pdf.add_element("Figure", alt=head.alt) if head.logo else None
    rows = tuple(_break(head, pen, pen.width - wide - _GUTTER if wide else pen.width))

    def draw(y: float) -> None:
        if head.logo and figure:
            x, base = pen.left + pen.width - wide, pen.pdf.h - y - high
            figure.box = (x, base, x + wide, base + high)
            with pen.pdf.content(figure):
                pen.pdf.image(_open(head.logo, pen), x, y, wide, high)
        for number, row in enumerate(rows):
            with pen.pdf.content(row.element):
                pen.write_in(row.line, pen.left, y + number * size * LINE_HEIGHT, size, size * LINE_HEIGHT, "quiet")

    return Slab(height=max(high, len(rows) * size * LINE_HEIGHT), draw=draw, before=gap)


def _measure(logo: Logo) -> tuple[float, float]:
    """As large as its place allows, in its own proportions."""
    scale = min(_WIDTH / logo.width_px, _HEIGHT / logo.height_px)
    return logo.width_px * scale, logo.height_px * scale


def _fill_lines(parts: tuple[str, ...], pen: Pen, width: float) -> Iterator[str]:
    """As many parts a line as fit: a telephone number or a day is not torn apart."""
    held = ""
    for part in parts:
        longer = f"{held}{_BETWEEN}{part}" if held else part
        if held and set_line(pen.pdf, (TextSpan(text=longer),), pen.edition.small).width > width:
            yield held
            longer = part
        held = longer
    if held:
        yield held


def _break(head: Letterhead, pen: Pen, width: float) -> Iterator[_HeadRow]:
    for text in _fill_lines(head.parts, pen, width):
        element = pen.pdf.add_element("P")
        lines = pen.break_lines((TextSpan(text=text),), pen.edition.small, width)
        yield from (_HeadRow(line=line, element=element) for line in lines)


def _open(logo: Logo, pen: Pen) -> Image.Image:
    """The pixels as fpdf2 takes them; on a grey sheet as shades."""
    image = Image.frombytes("RGB", (logo.width_px, logo.height_px), logo.pixels)
    return image.convert("L") if pen.colours is GREY else image
