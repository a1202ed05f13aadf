"""The figures under the drawing of the jaw: a column under each site, or a row for each where columns have no room."""

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.pictures.base.lettering import estimate_width
from estimator.pictures.base.rows import Sizes
from estimator.pictures.base.shapes import Lettering, Shape
from estimator.pictures.jaw.board import Board
from estimator.pictures.jaw.layout import Stage, shorten, spread_apart
from estimator.pictures.jaw.parts import add_least, add_usual, find_tightest, rank_site, show_mm

_LEADING = 1.75
_GAP = 0.45
_LEAD, _HEAD_GAP = 1.5, 0.4
"""How far right of the sites the heads stand, as the names above them do, in the size of small text."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _FigureColumn:
    """The figures of one site: its label, room, and what is over the usual and over the least stack."""

    texts: tuple[str, ...]
    bold: bool

    def measure(self, size: float) -> float:
        """Width of the widest figure."""
        return max(estimate_width(text, size=size, bold=self.bold) for text in self.texts)


def draw_figures(board: Board, *, top: float) -> tuple[list[Shape], float]:
    """The figures from `top` downwards, those of the tightest site bold, and where they end."""
    words, stage, sizes = board.scene.words, board.stage, board.scene.sizes
    columns = _list_columns(board)
    heads = (words.site, words.room, words.over_usual, words.over_least)
    draw = _draw_columns if _has_room(columns, heads, stage, sizes) else _draw_rows
    return draw(columns, heads, stage, sizes, top)


def _list_columns(board: Board) -> list[_FigureColumn]:
    sites, parts, words = board.scene.sites, board.scene.parts, board.scene.words
    tightest = find_tightest(sites, parts)
    columns: list[_FigureColumn] = []
    for site in sites:
        room = site.room_mm
        stack = site.parts or parts
        over = [None if room is None else room - level for level in (add_usual(stack), add_least(stack))]
        texts = (site.label, show_mm(room, words), *(show_mm(mm, words, sign=True) for mm in over))
        columns.append(_FigureColumn(texts=texts, bold=room is not None and rank_site(site, parts) == tightest))
    return columns


def _has_room(columns: Sequence[_FigureColumn], heads: tuple[str, ...], stage: Stage, sizes: Sizes) -> bool:
    """Whether every column can stand under its site without touching the next, the heads beside them or the end."""
    size, end = sizes.small, -sizes.small * _GAP
    for x, column in zip(stage.sites, columns, strict=True):
        half = column.measure(size) / 2
        if stage.place(x) - half < end + size * _GAP:
            return False
        end = stage.place(x) + half
    start = stage.place(stage.right) + size * (_LEAD + _HEAD_GAP)
    return end + size * _GAP <= start and start + max(estimate_width(head, size=size) for head in heads) <= sizes.width


def _draw_columns(
    columns: Sequence[_FigureColumn], heads: tuple[str, ...], stage: Stage, sizes: Sizes, top: float
) -> tuple[list[Shape], float]:
    """Figures under their sites, what they are at the right, below the names of the parts."""
    size, right = sizes.small, stage.right + stage.across(sizes.small * _LEAD)
    lines = [top + size * _LEADING * (index + 0.5) for index in range(len(heads))]
    shapes: list[Shape] = [
        Lettering(x=right, y=y, text=head, size=size, colour="quiet", dx=size * _HEAD_GAP)
        for y, head in zip(lines, heads, strict=True)
    ]
    shapes += [
        Lettering(x=x, y=y, text=text, size=size, bold=column.bold, align="center")
        for x, column in zip(stage.sites, columns, strict=True)
        for y, text in zip(lines, column.texts, strict=True)
    ]
    return shapes, lines[-1] + size * _LEADING / 2


def _draw_rows(
    columns: Sequence[_FigureColumn], heads: tuple[str, ...], stage: Stage, sizes: Sizes, top: float
) -> tuple[list[Shape], float]:
    """Labels under the sites, then a row for each site, figures right aligned under their heads."""
    size, left = sizes.small, stage.span[0]
    gap = size * _GAP
    wide = [
        max(estimate_width(head, size=size), *(estimate_width(c.texts[i], size=size, bold=c.bold) for c in columns))
        for i, head in enumerate(heads)
    ]
    wide[0] = min(wide[0], sizes.width - sum(wide[1:]) - 3 * 2 * gap)
    ends = [wide[0] + sum(wide[1 : i + 1]) + i * 2 * gap for i in range(len(heads))]
    shapes = _label_sites(columns, stage, sizes, top + size * _LEADING / 2)
    rows = [(heads, False), *((column.texts, column.bold) for column in columns)]
    for number, (texts, bold) in enumerate(rows):
        y = top + size * _LEADING * (number + 1.8)
        hue = "ink" if number else "quiet"
        label = shorten(texts[0], size=size, width=wide[0], bold=bold)
        shapes.append(Lettering(x=left, y=y, text=label, size=size, bold=bold, colour=hue))
        shapes += [
            Lettering(x=left, y=y, text=text, size=size, bold=bold, align="right", colour=hue, dx=end)
            for text, end in zip(texts[1:], ends[1:], strict=True)
        ]
    return shapes, top + size * _LEADING * (len(rows) + 1.3)


def _label_sites(columns: Sequence[_FigureColumn], stage: Stage, sizes: Sizes, y: float) -> list[Shape]:
    """The label of each site as near under it as labels can stand apart."""
    size, gap = sizes.small, sizes.small * _GAP / 2
    most = sizes.width / len(columns) - gap
    labels = [shorten(c.texts[0], size=size, width=most, bold=c.bold) for c in columns]
    wide = [estimate_width(label, size=size, bold=c.bold) + gap for label, c in zip(labels, columns, strict=True)]
    middles = spread_apart([stage.place(x) for x in stage.sites], wide, low=0.0, high=sizes.width)
    return [
        Lettering(x=x, y=y, text=label, size=size, bold=column.bold, align="center", dx=middle - stage.place(x))
        for x, label, column, middle in zip(stage.sites, labels, columns, middles, strict=True)
    ]
