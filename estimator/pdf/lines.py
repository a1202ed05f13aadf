"""Breaks text into lines that fit a width, and puts the pieces of a line in the order they stand on paper. Points."""

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from fpdf.fonts import TTFFont

from estimator.pdf.fonts import REGULAR, Face, Run, split_runs
from estimator.pdf.tagged import TaggedPDF
from estimator.sheets.base.blocks import Text

_PIECES = re.compile(r"\n| +|[^ \n]+")
_Word = tuple[Run, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TextLine:
    """Runs from left to right and the width of each; a space that ends a line is kept but not counted in `width`."""

    runs: tuple[Run, ...]
    widths: tuple[float, ...]
    width: float


def break_lines(pdf: TaggedPDF, text: Text, *, size: float, width: float) -> tuple[TextLine, ...]:
    """Lines no wider than `width`; a word longer than that is cut. Raises `MissingGlyph`."""
    lines: list[TextLine] = []
    runs = split_runs(text)
    # Most text of a sheet is a cell or a label that fits as it is: then no word is measured by itself.
    if runs and not any("\n" in run.text for run in runs) and _measure_bare(pdf, runs, size) <= width:
        return (_compose(pdf, [runs], size),)
    for part in _split_at_newlines(runs):
        held: list[_Word] = []
        used = 0.0
        for word, bare in _cut_long(pdf, part, size, width):
            if held and used + bare > width:
                lines.append(_compose(pdf, held, size))
                held, used = [], 0.0
            held.append(word)
            used += measure(pdf, word, size) if word[-1].text.endswith(" ") else bare
        lines.append(_compose(pdf, held, size))
    return tuple(lines)


def measure(pdf: TaggedPDF, runs: tuple[Run, ...], size: float) -> float:
    """Width of runs side by side."""
    if len(runs) == 1:
        return _measure_run(pdf, runs[0], size)
    return sum(_measure_run(pdf, run, size) for run in runs)


def set_line(pdf: TaggedPDF, text: Text, size: float) -> TextLine:
    """The text as one line, however long."""
    return _compose(pdf, [split_runs(text)], size)


def _measure_run(pdf: TaggedPDF, run: Run, size: float) -> float:
    """Width of a run; each is measured once a file, because a sheet says the same words many times."""
    key = (run.text, run.face.family, run.face.style, run.shaped, size)
    width = pdf.measured.get(key)
    if width is None:
        font = load_face(pdf, run.face)
        if run.shaped:
            width = font.get_text_width(run.text, size, {"features": {}})[1]
        else:
            width = sum(map(font.cw.__getitem__, map(ord, run.text))) * size * 0.001
        pdf.measured[key] = width
    return width


def load_face(pdf: TaggedPDF, face: Face) -> TTFFont:
    """The face in this file, read from disk when the first text needs it."""
    key = face.family + face.style
    if key not in pdf.fonts:
        pdf.add_font(face.family, face.style, face.path)
    font = pdf.fonts[key]
    if not isinstance(font, TTFFont):
        raise TypeError(f"{key} is a built-in font; expected an embedded one")
    return font


def _measure_bare(pdf: TaggedPDF, word: _Word, size: float) -> float:
    """Width of a word without the space after it."""
    if not word[-1].text.endswith(" "):
        return measure(pdf, word, size)
    return measure(pdf, tuple(run.say(run.text.rstrip(" ")) for run in word), size)


def _split_at_newlines(runs: tuple[Run, ...]) -> Iterator[tuple[_Word, ...]]:
    """Words of each line that the text itself asks for; a word keeps the spaces after it."""
    words: list[_Word] = []
    word: list[Run] = []
    for run in runs:
        for piece in _PIECES.findall(run.text):
            ended = word and word[-1].text.endswith(" ")
            if word and (piece == "\n" or (ended and not piece.startswith(" "))):
                words.append(tuple(word))
                word = []
            if piece == "\n":
                yield tuple(words)
                words = []
            else:
                word.append(run.say(piece))
    if word:
        words.append(tuple(word))
    if words:
        yield tuple(words)


def _cut_long(pdf: TaggedPDF, words: tuple[_Word, ...], size: float, width: float) -> Iterator[tuple[_Word, float]]:
    """Words that fit, each with its width without the space after it."""
    for word in words:
        bare = _measure_bare(pdf, word, size)
        if bare <= width:
            yield word, bare
        else:
            yield from ((piece, _measure_bare(pdf, piece, size)) for piece in _cut(pdf, word, size, width))


def _cut(pdf: TaggedPDF, word: _Word, size: float, width: float) -> Iterator[_Word]:
    held: list[Run] = []
    used = 0.0
    for run in word:
        for cluster in _split_clusters(run):
            wide = _measure_run(pdf, cluster, size)
            if held and used + wide > width and cluster.text.strip():
                yield tuple(_merge(held))
                held, used = [], 0.0
            held.append(cluster)
            used += wide
    yield tuple(_merge(held))


def _split_clusters(run: Run) -> Iterator[Run]:
    """Each letter with its marks and joiners."""
    start = 0
    for place, character in enumerate(run.text):
        if place > start and unicodedata.category(character) not in {"Mn", "Mc", "Me", "Cf"}:
            yield run.say(run.text[start:place])
            start = place
    yield run.say(run.text[start:])


def _compose(pdf: TaggedPDF, words: list[_Word], size: float) -> TextLine:
    runs = tuple(_merge([run for word in words for run in word]))
    if any(run.face.family != REGULAR.family for run in runs):
        runs = tuple(_order(tuple(_free_spaces(iter(runs)))))
    widths = tuple(_measure_run(pdf, run, size) for run in runs)
    bare = sum(widths[:-1]) + _measure_bare(pdf, runs[-1:], size) if runs else 0.0
    return TextLine(runs=runs, widths=widths, width=bare)


def _merge(runs: list[Run]) -> Iterator[Run]:
    for (face, shaped), same in groupby(runs, key=lambda run: (run.face, run.shaped)):
        yield Run(text="".join(run.text for run in same), face=face, shaped=shaped)


def _free_spaces(runs: Iterator[Run]) -> Iterator[Run]:
    """A space after a name in another face belongs to what follows: after a right-to-left one it would print left."""
    for run in runs:
        bare = run.text.rstrip(" ")
        if run.face.family != REGULAR.family and bare != run.text:
            yield run.say(bare)
            yield Run(text=run.text[len(bare) :], face=REGULAR)
        else:
            yield run


def _order(runs: tuple[Run, ...]) -> list[Run]:
    """Logical to visual order: right-to-left runs, and what stands between them, are turned round as a whole."""
    out: list[Run] = []
    turned: list[Run] = []
    waiting: list[Run] = []
    for run in runs:
        if run.face.rtl:
            turned += [*waiting, run]
            waiting = []
        elif turned and not any(unicodedata.bidirectional(c) == "L" for c in run.text):
            waiting.append(run)
        else:
            out += [*map(_turn, reversed(turned)), *waiting, run]
            turned, waiting = [], []
    return [*out, *map(_turn, reversed(turned)), *waiting]


def _turn(run: Run) -> Run:
    """What stood before the run stands after it now, and the other way round."""
    bare = run.text.strip(" ")
    if not bare or run.face.rtl:
        return run
    before, after = run.text.split(bare)
    return run.say(after + bare + before)
