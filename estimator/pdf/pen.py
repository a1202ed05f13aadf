"""What every block is written with: the file, the colours, the type scale and the measures of the page, in points."""

from dataclasses import dataclass

from estimator.pdf.fonts import Run
from estimator.pdf.lines import TextLine, break_lines
from estimator.pdf.tagged import TaggedPDF
from estimator.pictures.base.look import Colours
from estimator.sheets.base.blocks import Text

MM = 72 / 25.4
"""Points in a millimetre."""
LINE_HEIGHT = 1.38
HAIRLINE = 0.7


@dataclass(frozen=True, slots=True, kw_only=True)
class TypeSizes:
    """Type sizes [pt]; a heading of level 3 is body size, bold; nothing, in pictures too, is smaller than `small`."""

    body: float
    small: float
    title: float
    section: float


NORMAL = TypeSizes(body=14, small=12, title=25, section=17)
LARGE = TypeSizes(body=18, small=15, title=30, section=22)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """Writes on the page that is open. `left` and `width` bound the text."""

    pdf: TaggedPDF
    colours: Colours
    edition: TypeSizes
    left: float
    width: float

    def break_lines(self, text: Text, size: float, width: float | None = None) -> tuple[TextLine, ...]:
        """Lines of this size that fit the width (the text width if none is given)."""
        return break_lines(self.pdf, text, size=size, width=self.width if width is None else width)

    def write(self, line: TextLine, x: float, baseline: float, size: float, colour: str = "ink") -> None:
        """Write a line from x on; the caller has content or an artifact open."""
        self.pdf.set_text_color(self.colours[colour])
        for run, width in zip(line.runs, line.widths, strict=True):
            self._write_run(run, x, baseline, size, width)
            x += width

    def write_in(self, line: TextLine, x: float, y: float, size: float, height: float, colour: str = "ink") -> None:
        """Write a line in the middle of a strip that begins at y."""
        self.write(line, x, y + height / 2 + size * 0.3, size, colour)

    def rule(self, x0: float, x1: float, y: float) -> None:
        """A hairline from x0 to x1, an artifact."""
        with self.pdf.artifact():
            self.pdf.set_draw_color(self.colours["line"])
            self.pdf.set_line_width(HAIRLINE)
            self.pdf.line(x0, y, x1, y)

    def _write_run(self, run: Run, x: float, baseline: float, size: float, width: float) -> None:
        self.pdf.set_font(run.face.family, run.face.style, size)
        if not run.shaped:
            self.pdf.text(x, baseline, run.text)
            return
        # fpdf2 puts the baseline 0.3 of the size below the middle of a cell.
        self.pdf.set_xy(x, baseline - size * 0.8)
        self.pdf.set_text_shaping(True, direction="rtl" if run.face.rtl else "ltr")
        if run.face.rtl:
            # Readers turn these letters round themselves; some would turn ActualText round as well.
            self.pdf.cell(width, size, run.text)
            return
        with self.pdf.spoken_as(run.text):
            self.pdf.cell(width, size, run.text)
