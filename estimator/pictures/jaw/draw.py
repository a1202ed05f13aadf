"""The stack of one option at every site of a jaw, drawn to scale beside an upright ruler and the measured room."""

from bisect import bisect
from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

from estimator.pictures.base.rows import Picture, Sizes
from estimator.pictures.base.ruler import divide_step, format_numeral
from estimator.pictures.base.shapes import Box, Lettering, Mark, Shape, Stroke
from estimator.pictures.jaw.board import Board, Scene
from estimator.pictures.jaw.figures import draw_figures
from estimator.pictures.jaw.names import draw_level_words, draw_names, find_reach, set_up_board
from estimator.pictures.jaw.parts import JawPart, JawSite, JawWords, order_sites

_PIECE_OVERHANG_MM = 0.5
_DASH, _DASH_GAP = 6.0, 4.0
_EDGES = {"must": "paper", "tooth": "on_rule"}
"""The edge of a part by its fill; of every other it is "must"."""
_LAYERS: tuple[type[Shape], ...] = (Box, Stroke, Mark, Lettering)


def draw_jaw(
    parts: Sequence[JawPart],
    sites: Sequence[JawSite],
    *,
    tissue_mm: Decimal,
    error_mm: Decimal | None,
    scale: float,
    sizes: Sizes,
    words: JawWords,
    implants: bool = True,
) -> Picture:
    """Stacks as they usually are, their least and usual levels dashed, the room a thick line in the band of its error.

    A thin dimension says how far the room is from the usual stack; a solid black piece with a thick one is what has no
    room even in the least stack. `scale` is points or pixels a millimetre of height; across, sites stand at their
    places as seen from in front, or evenly where one is not known. Without `implants` (a denture) none are drawn.
    `sizes.width` is the narrowest the picture will be shown at. Raises ValueError without a part or a site, and for
    what cannot be drawn: a scale of 0 or less, tissue or an error below 0.
    """
    scene = Scene(
        parts=tuple(parts), sites=order_sites(sites), tissue_mm=tissue_mm, error_mm=error_mm or Decimal(0),
        implants=implants, scale=scale, sizes=sizes, words=words,
    )  # fmt: skip
    board = set_up_board(scene)
    top, foot = find_reach(board)
    board = replace(board, zero=sizes.small * 1.7 - top)
    figures, foot = draw_figures(board, top=board.zero + foot + sizes.small * 0.4)
    key, foot = _draw_key(board, foot)
    shapes = (
        Lettering(x=board.stage.span[0], y=sizes.small * 0.75, text=words.axis, size=sizes.small, colour="quiet"),
        *_draw_ground(board), *_draw_ruler(board), *_draw_bands(board), *_draw_stacks(board), *_draw_levels(board),
        *_draw_pieces(board), *draw_names(board), *draw_level_words(board), *_draw_rooms(board), *figures, *key,
    )  # fmt: skip
    return Picture(shapes=_put_in_layers(shapes), span=board.stage.span, height=foot + sizes.small * 0.3)


def fit_scale(
    parts: Sequence[JawPart],
    sites: Sequence[JawSite],
    *,
    tissue_mm: Decimal,
    error_mm: Decimal | None,
    height: float,
    most: float,
) -> float:
    """The scale at which all heights together take `height` points or pixels at most; never above `most`."""
    scene = Scene(
        parts=tuple(parts), sites=tuple(sites), tissue_mm=tissue_mm, error_mm=error_mm or Decimal(0), implants=True,
        scale=most, sizes=Sizes(), words=JawWords(),
    )  # fmt: skip
    return min(most, height / (scene.top + scene.below))


def _put_in_layers(shapes: Iterable[Shape]) -> tuple[Shape, ...]:
    """Boxes, lines, marks, words: the order a screen draws them in, so that paper covers the same things."""
    return tuple(sorted(shapes, key=lambda shape: _LAYERS.index(type(shape))))


def _draw_ground(board: Board) -> list[Shape]:
    """Soft tissue as a band below zero, and the heads of the implants under it."""
    scene, left, right = board.scene, board.stage.ruler, board.stage.right
    zero, bone, foot = board.y(0), board.y(-scene.tissue), board.y(-scene.tissue - scene.implant)
    shapes: list[Shape] = [Stroke(x0=left, x1=right, y0=zero, y1=zero, width=1.5)]
    if scene.tissue > 0:
        shapes.append(Box(x0=left, x1=right, y0=zero, y1=bone, fill="stone"))
        shapes.append(Stroke(x0=left, x1=right, y0=bone, y1=bone, colour="line"))
    if scene.implants:
        half = scene.implant_width * board.stage.shrink / 2
        shapes += [
            Box(x0=x - half, x1=x + half, y0=bone, y1=foot, fill="usual", edge="must") for x in board.stage.sites
        ]
    return shapes


def _draw_ruler(board: Board) -> list[Shape]:
    """The boxwood ruler stood upright: ticks at its right edge, the edge that measures."""
    left, right, size = board.stage.span[0], board.stage.ruler, board.scene.sizes.small
    wide, scale, top = right - left, board.scene.scale, board.scene.top
    numeral = next(step for step in (1, 2, 5, 10, 20, 50, 100, 200) if step * scale >= size * 1.3 or step == 200)
    tick = divide_step(numeral, least=0.5)
    per_numeral = round(numeral / tick)
    shapes: list[Shape] = [Box(x0=left, x1=right, y0=board.y(top), y1=board.y(0), fill="rule", edge="rule_edge")]
    for count in range(1, int(top / tick - 1e-9) + 1):
        value, whole = count * tick, count % per_numeral == 0
        y, depth = board.y(value), wide * (0.34 if whole else 0.2)
        shapes.append(Stroke(x0=right - depth, x1=right, y0=y, y1=y, colour="on_rule"))
        if whole and (top - value) * scale >= size * 0.55:
            text = format_numeral(value, ",")
            shapes.append(Lettering(x=right - wide * 0.42, y=y, text=text, size=size, align="right", colour="on_rule"))
    return shapes


def _draw_bands(board: Board) -> list[Shape]:
    """The error of measuring round the room of each site."""
    half, error = board.stage.half_mm, board.scene.error
    return [
        Box(x0=x - half, x1=x + half, y0=board.y(room + error), y1=board.y(room - error), fill="pale", edge="line",
            dashed=True)
        for _, x, room in board.rooms
        if error > 0
    ]  # fmt: skip


def _draw_stacks(board: Board) -> list[Shape]:
    """Every part at its usual height, at each site or through all of them."""
    shapes: list[Shape] = []
    first, last = board.stage.sites[0], board.stage.sites[-1]
    for index, x in enumerate(board.stage.sites):
        for part, low, high in board.scene.list_layers(index):
            if part.runs_through and index:
                continue
            half = part.width_mm * board.stage.shrink / 2
            x0, x1 = (first - half, last + half) if part.runs_through else (x - half, x + half)
            shapes.append(
                Box(x0=x0, x1=x1, y0=board.y(high), y1=board.y(low), fill=part.fill,
                    edge=_EDGES.get(part.fill or "", "must"), dashed=part.fill is None)
            )  # fmt: skip
    return shapes


def _draw_levels(board: Board) -> list[Shape]:
    """The usual level and, darker, the least one, as dashes from the ruler past the last site.

    Where sites have levels of their own they part half way from one site to the next.
    """
    dash, step = board.stage.across(_DASH), board.stage.across(_DASH + _DASH_GAP)
    left, right, sites = board.stage.ruler, board.stage.right, board.stage.sites
    parted = [left, *((a + b) / 2 for a, b in pairwise(sites)), right]
    shapes: list[Shape] = []
    for levels, colour in ((board.scene.usual, "line"), (board.scene.least, "ink")):
        for x in (left + index * step for index in range(int((right - left) / step) + 1)):
            y = board.y(levels[min(bisect(parted, x), len(sites)) - 1])
            if x < right:
                shapes.append(Stroke(x0=x, x1=min(x + dash, right), y0=y, y1=y, colour=colour))
    return shapes


def _draw_pieces(board: Board) -> list[Shape]:
    """What has no room even in the least stack, from the room up to it, a little wider than the part on top."""
    least, wide = board.scene.least, board.scene.parts[-1].width_mm + 2 * _PIECE_OVERHANG_MM
    half = wide * board.stage.shrink / 2
    # Black on white teeth in every theme; the edge sets it off from dark parts and from dark paper.
    return [
        Box(x0=x - half, x1=x + half, y0=board.y(least[index]), y1=board.y(room), fill="on_rule", edge="tooth")
        for index, x, room in board.rooms
        if room < least[index]
    ]


def _draw_rooms(board: Board) -> list[Shape]:
    """The line of each room and its dimension."""
    half, shapes = board.stage.half_mm, list[Shape]()
    for index, x, room in board.rooms:
        y, usual, least = board.y(room), board.scene.usual[index], board.scene.least[index]
        shapes += _draw_halo(board, index, x, room)
        shapes.append(Stroke(x0=x - half, x1=x + half, y0=y, y1=y, width=2.5))
        level = least if room < least else usual
        shapes += _draw_dimension(board, x + half * 0.86, room, level, short=room < least)
    return shapes


def _draw_halo(board: Board, index: int, x: float, room: float) -> list[Shape]:
    """A pale line behind the line of a room where it crosses a part, so that it shows on dark ones."""
    layers, usual = board.scene.list_layers(index), board.scene.usual[index]
    crossed = [part for part, low, high in layers if low <= room <= high and room < usual]
    if not crossed:
        return []
    half = max(part.width_mm for part in crossed) * board.stage.shrink / 2
    if any(part.runs_through for part in crossed):
        half = board.stage.half_mm
    return [Stroke(x0=x - half, x1=x + half, y0=board.y(room), y1=board.y(room), width=6, colour="paper")]


def _draw_dimension(board: Board, x: float, room: float, level: float, *, short: bool) -> list[Shape]:
    """A line with ends from the room to a level; thick where the level has no room."""
    if room == level:
        return []
    end = board.stage.half_mm * 0.14
    width = 3.0 if short else 1.25
    ends = [Stroke(x0=x - end, x1=x + end, y0=board.y(at), y1=board.y(at), width=1.5) for at in (room, level)]
    return [Stroke(x0=x, x1=x, y0=board.y(room), y1=board.y(level), width=width), *ends]


def _draw_key(board: Board, top: float) -> tuple[list[Shape], float]:
    """What the black piece means, where there is one, and where the key ends."""
    if not _draw_pieces(board):
        return [], top
    left, size, text = board.stage.span[0], board.scene.sizes.small, board.scene.words.no_room
    y = top + size * 0.85
    return [
        Mark(x=left, y=y, sign="square", size=size, fill="on_rule", edge="tooth", dx=size * 0.5),
        Lettering(x=left, y=y, text=text, size=size, colour="quiet", dx=size * 1.45),
    ], top + size * 1.7
