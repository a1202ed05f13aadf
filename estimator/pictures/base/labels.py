"""The words above a row of marks: a label at the left and a note at the right, in as many lines as they need."""

from estimator.pictures.base.lettering import LINE, break_words, estimate_width
from estimator.pictures.base.rows import Extent, Sizes
from estimator.pictures.base.shapes import Lettering, Shape, Stroke

_NOTE_SHARE = 0.5
"""A note that takes more of the width than this stands below its label, not beside it."""


def draw_label(
    label: str, note: str, sizes: Sizes, *, span: Extent, top: float, bold_note: bool = False
) -> tuple[list[Shape], float]:
    """The label, the note at the right end of its first line or, too long for that, under it; and where both end."""
    size, width = sizes.small, sizes.width
    taken = estimate_width(note, size=size, bold=bold_note) + size if note else 0.0
    beside = taken <= width * _NOTE_SHARE
    labels = break_words(label, size=size, width=width - taken if beside else width)
    notes = break_words(note, size=size, width=width, bold=bold_note)
    first = top + size * LINE / 2
    below = first if beside else first + len(labels) * size * LINE
    shapes: list[Shape] = [
        Lettering(x=span[0], y=first + line * size * LINE, text=text, size=size) for line, text in enumerate(labels)
    ]
    shapes += [
        Lettering(x=span[1], y=below + line * size * LINE, text=text, size=size, bold=bold_note, align="right")
        for line, text in enumerate(notes)
    ]
    lines = max(len(labels), len(notes)) if beside else len(labels) + len(notes)
    return shapes, top + lines * size * LINE


def draw_hairline(span: Extent, y: float) -> Shape:
    """The line between two rows."""
    return Stroke(x0=span[0], x1=span[1], y0=y, y1=y, colour="line", width=0.7)
