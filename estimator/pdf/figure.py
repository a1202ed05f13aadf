"""Draws the shapes of a picture on paper: x by its ruler, y and sizes in points."""

from collections.abc import Callable
from dataclasses import dataclass

from fpdf.enums import RenderStyle

from estimator.pdf.lines import set_line
from estimator.pdf.pen import MM, Pen
from estimator.pictures.base.shapes import SIGNS, Box, Lettering, Mark, Shape, Slant, Stroke
from estimator.sheets.base.blocks import FigureBlock, TextSpan

_EDGE = 0.85
_DASH, _GAP = 4.0, 3.1


class FigureError(ValueError):
    """A figure that cannot be printed; the message says which and what was expected."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    """Where a figure lies: ruler units to points across, points down from its top edge."""

    left: float
    top: float
    start: float
    scale: float

    def across(self, x: float) -> float:
        return self.left + (x - self.start) * self.scale

    def down(self, y: float) -> float:
        return self.top + y


def find_width(figure: FigureBlock, pen: Pen) -> float:
    """Printed width [pt]; raises `FigureError` for one that does not fit the text width or has no span."""
    width = pen.width if figure.width_mm is None else figure.width_mm * MM
    if width > pen.width + 0.01:
        raise FigureError(
            f"the figure {figure.alt!r} is {width / MM:.1f} mm wide; expected at most {pen.width / MM:.1f} mm"
        )
    if figure.span[1] <= figure.span[0]:
        raise FigureError(f"the figure {figure.alt!r} has the span {figure.span}; expected the end after the start")
    return width


def draw_figure(figure: FigureBlock, pen: Pen, top: float) -> None:
    """Draw all shapes; line width, dashes and colours are as before afterwards. The caller has content open."""
    scale = find_width(figure, pen) / (figure.span[1] - figure.span[0])
    place = _Place(left=pen.left, top=top, start=figure.span[0], scale=scale)
    with pen.pdf.local_context():
        for shape in figure.shapes:
            _draw(shape, place, pen)


def _draw(shape: Shape, place: _Place, pen: Pen) -> None:
    match shape:
        case Box():
            _draw_box(shape, place, pen)
        case Slant():
            _draw_slant(shape, place, pen)
        case Stroke():
            pen.pdf.set_dash_pattern()
            pen.pdf.set_draw_color(pen.colours[shape.colour])
            pen.pdf.set_line_width(shape.width)
            x0, x1 = place.across(shape.x0), place.across(shape.x1)
            pen.pdf.line(x0, place.down(shape.y0), x1, place.down(shape.y1))
        case Lettering():
            _draw_words(shape, place, pen)
        case Mark():
            _draw_mark(shape, place, pen)


def _draw_box(box: Box, place: _Place, pen: Pen) -> None:
    style = _choose(pen, box.fill, box.edge)
    if style is None:
        return
    pen.pdf.set_dash_pattern(_DASH, _GAP) if box.dashed else pen.pdf.set_dash_pattern()
    x, y = place.across(box.x0), place.down(box.y0)
    pen.pdf.rect(x, y, place.across(box.x1) - x, place.down(box.y1) - y, style=style)


def _draw_slant(slant: Slant, place: _Place, pen: Pen) -> None:
    style = _choose(pen, slant.fill, slant.edge)
    pen.pdf.set_dash_pattern()
    corners = (
        (slant.x0, slant.y0),
        (slant.x1, slant.y0),
        (slant.x1 + slant.foot, slant.y1),
        (slant.x0 + slant.foot, slant.y1),
    )
    pen.pdf.polygon([(place.across(x), place.down(y)) for x, y in corners], style=style)


def _draw_words(words: Lettering, place: _Place, pen: Pen) -> None:
    if words.size < pen.edition.small:
        raise FigureError(f"{words.text!r} is {words.size} points; expected {pen.edition.small:.0f} or more on paper")
    if "\n" in words.text:
        raise FigureError(f"{words.text!r} has a line break; expected one line")
    # The space keeps what stands beside it apart when the text is read out; it does not count in the width.
    line = set_line(pen.pdf, (TextSpan(text=f"{words.text} ", bold=words.bold),), words.size)
    back = {"left": 0.0, "center": 0.5, "right": 1.0}[words.align] * line.width
    baseline = place.down(words.y) + words.size * 0.36
    pen.write(line, place.across(words.x) + words.dx - back, baseline, words.size, words.colour)


def _draw_mark(mark: Mark, place: _Place, pen: Pen) -> None:
    style = _choose(pen, mark.fill, mark.edge)
    if style is None:
        return
    pen.pdf.set_dash_pattern()
    x, y, half = place.across(mark.x) + mark.dx, place.down(mark.y), mark.size / 2
    if mark.sign == "circle":
        pen.pdf.circle(x, y, half, style=style)
        return
    if mark.sign not in SIGNS:
        raise FigureError(f"the sign {mark.sign!r} is not known; expected circle or one of {sorted(SIGNS)}")
    for points in SIGNS[mark.sign]:
        pen.pdf.polygon([(x + a * half, y + b * half) for a, b in points], style=style)


def _choose(pen: Pen, fill: str | None, edge: str | None) -> RenderStyle | None:
    """Set the colours and give the way to paint; None where nothing is to be painted."""
    setters: tuple[tuple[str | None, Callable[[str], None]], ...] = (
        (fill, pen.pdf.set_fill_color),
        (edge, pen.pdf.set_draw_color),
    )
    for role, use in setters:
        if role:
            use(pen.colours[role])
    pen.pdf.set_line_width(_EDGE)
    return {(True, True): RenderStyle.DF, (True, False): RenderStyle.F, (False, True): RenderStyle.D}.get(
        (bool(fill), bool(edge))
    )
