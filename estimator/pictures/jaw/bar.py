"""The bar in the drawing of the jaw: its attachments where they go, the gaps between implants, and places as dots."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from estimator.pictures.base.lettering import LINE, break_words, estimate_width
from estimator.pictures.base.shapes import DOT_STEP, Lettering, Shape, Stroke, list_dots
from estimator.pictures.jaw.board import Board
from estimator.pictures.jaw.parts import say_bar_places, say_gap

_LEADING, _INDENT = 1.75, 0.7


@dataclass(frozen=True, slots=True, kw_only=True)
class _Told:
    """One gap: between which sites, what is said of it, and where it stands."""

    sites: str
    text: str
    x0: float
    x1: float


def draw_gaps(board: Board, *, top: float) -> tuple[list[Shape], float]:
    """Under each gap its length and places, or a line for each where they have no room; then the dots of the bar."""
    bar, size = board.scene.bar, board.scene.sizes.small
    if bar is None or not bar.gaps:
        return [], top
    told = _list_told(board)
    lines = [_break(one, board) for one in told]
    if all(lines):
        shapes, foot = _draw_under(board, told, lines, top)
    else:
        shapes, foot = _draw_listed(board, told, top)
    text = say_bar_places(bar, board.scene.words)
    if bar.places is None or not text:
        return shapes, foot
    left, y = board.stage.span[0], foot + size * _LEADING / 2
    dots = list_dots(bar.places, bar.planned, x=left, y=y, size=size)
    words = Lettering(x=left, y=y, text=text, size=size, bold=True, dx=size * (DOT_STEP * bar.planned + 0.4))
    return [*shapes, *dots, words], foot + size * _LEADING


def _list_told(board: Board) -> list[_Told]:
    bar, scene = board.scene.bar, board.scene
    gaps = bar.gaps if bar else ()
    ends = zip(pairwise(scene.sites), pairwise(board.stage.sites), strict=True)
    told = [
        _Told(sites=f"{a.label} \N{EN DASH} {b.label}", text=say_gap(gap, scene.words), x0=x0, x1=x1)
        for gap, ((a, b), (x0, x1)) in zip(gaps, ends, strict=True)
    ]
    return [one for one in told if one.text]


def _break(told: _Told, board: Board) -> tuple[str, ...]:
    """What is said of a gap in the lines that stand under it; none where a word has no room."""
    size = board.scene.sizes.small
    width = (told.x1 - told.x0) * board.stage.per_mm - size * 0.5
    if any(estimate_width(word, size=size) > width for word in told.text.split()):
        return ()
    return break_words(told.text, size=size, width=width)


def _draw_under(
    board: Board, told: Sequence[_Told], lines: Sequence[tuple[str, ...]], top: float
) -> tuple[list[Shape], float]:
    """A line with ends from implant to implant, the words below it."""
    size = board.scene.sizes.small
    y, tick = top + size * 0.7, size * 0.35
    shapes: list[Shape] = []
    for one, texts in zip(told, lines, strict=True):
        shapes.append(Stroke(x0=one.x0, x1=one.x1, y0=y, y1=y, width=1.25))
        shapes += [Stroke(x0=x, x1=x, y0=y - tick, y1=y + tick, width=1.25) for x in (one.x0, one.x1)]
        shapes += [
            Lettering(
                x=(one.x0 + one.x1) / 2, y=y + size * (0.6 + LINE * (number + 0.5)), text=text, size=size,
                align="center",
            )
            for number, text in enumerate(texts)
        ]  # fmt: skip
    return shapes, y + size * (0.8 + LINE * max((len(texts) for texts in lines), default=0))


def _draw_listed(board: Board, told: Sequence[_Told], top: float) -> tuple[list[Shape], float]:
    size, left, width = board.scene.sizes.small, board.stage.span[0], board.scene.sizes.width
    shapes: list[Shape] = []
    y = top + size * _LEADING / 2
    for one in told:
        for number, text in enumerate(break_words(f"{one.sites}: {one.text}", size=size, width=width - size)):
            shapes.append(Lettering(x=left, y=y, text=text, size=size, dx=size * _INDENT if number else 0.0))
            y += size * LINE
    return shapes, y


def find_spots(board: Board) -> tuple[float, ...]:
    """Where attachments stand on the bar, from left to right: evenly within their gap, or on an extension."""
    bar, sites, ends = board.scene.bar, board.stage.sites, board.stage.ends
    if bar is None:
        return ()
    inner = [
        a + (b - a) * (number + 1) / (gap.attachments + 1)
        for gap, (a, b) in zip(bar.gaps, pairwise(sites), strict=False)
        for number in range(gap.attachments)
    ]
    left = [(ends[0] + sites[0]) / 2] if bar.left_holds else []
    right = [(ends[1] + sites[-1]) / 2] if bar.right_holds else []
    return (*left, *inner, *right)
