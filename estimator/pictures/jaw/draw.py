"""The stack of one option at every site of a jaw, drawn to scale beside an upright ruler and the measured room."""

from bisect import bisect
from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal
from itertools import groupby, pairwise

from estimator.pictures.base.lettering import LINE, break_words
from estimator.pictures.base.rows import Picture, Sizes
from estimator.pictures.base.ruler import divide_step, format_numeral
from estimator.pictures.base.shapes import Box, Lettering, Mark, Shape, Slant, Stroke
from estimator.pictures.jaw.bar import draw_gaps, find_spots
from estimator.pictures.jaw.board import Board, Scene
from estimator.pictures.jaw.figures import draw_figures
from estimator.pictures.jaw.names import draw_names, find_reach, set_up_board
from estimator.pictures.jaw.parts import JawBar, JawPart, JawSite, JawWords, order_sites, put_in

_PIECE_OVERHANG_MM = 0.5
_POST_WIDTH_MM = 2.2
_APART = 0.92
"""How much of the distance to the next attachment a part on a bar takes at most."""
_DASH, _DASH_GAP = 6.0, 4.0
_EDGES = {"must": "paper", "tooth": "on_rule"}
"""The edge of a part by its fill; of every other it is "must"."""
_LAYERS: tuple[type[Shape], ...] = (Box, Slant, Stroke, Mark, Lettering)


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
    bar: JawBar | None = None,
) -> Picture:
    """Stacks as they usually are, their least and usual levels dashed, the room a thick line in the band of its error.

    A thin dimension says how far the room is from the usual stack; a solid black piece with a thick one is what has no
    room even in the least stack. `scale` is points or pixels a millimetre of height; across, sites stand at their
    places as seen from in front, or evenly where one is not known. Without `implants` (a denture) none are drawn. What
    stands on a `bar` stands where its attachments go, between the implants.
    `sizes.width` is the narrowest the picture will be shown at. Raises ValueError without a part or a site, and for
    what cannot be drawn: a scale of 0 or less, tissue or an error below 0.
    """
    scene = Scene(
        parts=tuple(parts), sites=order_sites(sites), tissue_mm=tissue_mm, error_mm=error_mm or Decimal(0),
        implants=implants, scale=scale, sizes=sizes, words=words, bar=bar,
    )  # fmt: skip
    board = set_up_board(scene)
    top, foot = find_reach(board)
    board = replace(board, zero=sizes.small * 1.7 - top)
    figures, foot = draw_figures(board, top=board.zero + foot + sizes.small * 0.4)
    gaps, foot = draw_gaps(board, top=foot)
    key, foot = _draw_key(board, foot)
    note, foot = _draw_note(board, foot)
    shapes = (
        Lettering(x=board.stage.span[0], y=sizes.small * 0.75, text=words.axis, size=sizes.small, colour="quiet"),
        *_draw_ground(board), *_draw_ruler(board), *_draw_bands(board), *_draw_stacks(board), *_draw_levels(board),
        *_draw_pieces(board), *draw_names(board), *_draw_rooms(board), *figures, *gaps, *key, *note,
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
    """Soft tissue as a band below zero, as thick as over each site, and the heads of the implants under it."""
    scene, left, right, zero = board.scene, board.stage.ruler, board.stage.right, board.y(0)
    shapes: list[Shape] = [Stroke(x0=left, x1=right, y0=zero, y1=zero, width=1.5)]
    for x0, x1, tissue in _list_tissues(board):
        if tissue > 0:
            bone = board.y(-tissue)
            shapes.append(Box(x0=x0, x1=x1, y0=zero, y1=bone, fill="stone"))
            shapes.append(Stroke(x0=x0, x1=x1, y0=bone, y1=bone, colour="line"))
    if scene.implants:
        foot_of_bar = scene.foot_of_bar or 0.0
        for index, tissue in enumerate(scene.tissues):
            shapes.append(_draw_leaning(board, index, -tissue - scene.implant, -tissue, scene.implant_width))
            if foot_of_bar + tissue > 0:
                shapes.append(_draw_leaning(board, index, -tissue, foot_of_bar, _POST_WIDTH_MM))
    return shapes


def _list_tissues(board: Board) -> list[tuple[float, float, float]]:
    """From where to where the tissue is how thick: it changes half way from one site to the next."""
    sites, tissues = board.stage.sites, board.scene.tissues
    parted = [board.stage.ruler, *((a + b) / 2 for a, b in pairwise(sites)), board.stage.right]
    runs = groupby(zip(pairwise(parted), tissues, strict=True), key=lambda one: one[1])
    return [((pieces := [ends for ends, _ in run])[0][0], pieces[-1][1], tissue) for tissue, run in runs]


def _draw_leaning(board: Board, index: int, low: float, high: float, width_mm: float) -> Shape:
    """A piece on the axis of an implant, between two heights [mm]."""
    x, half = board.stage.sites[index], width_mm * board.stage.shrink / 2
    above, below, top, foot = board.lean(index, high), board.lean(index, low), board.y(high), board.y(low)
    if above == below:
        return Box(x0=x - half, x1=x + half, y0=top, y1=foot, fill="usual", edge="must")
    return Slant(x0=x + above - half, x1=x + above + half, y0=top, y1=foot, foot=below - above)


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
    if board.scene.foot_of_bar is not None:
        return _draw_bar(board, find_spots(board))
    return [
        shape
        for index, x in enumerate(board.stage.sites)
        for part, low, high in board.scene.list_layers(index)
        if not (part.runs_through and index)
        for shape in (_draw_part(board, part, (low, high), x, board.stage.shrink),)
    ]


def _draw_bar(board: Board, spots: tuple[float, ...]) -> list[Shape]:
    """The bar from end to end; all other parts stand where its attachments go."""
    widest = max(part.width_mm for part in board.scene.parts)
    shrink = min([board.stage.shrink, *(_APART * (b - a) / widest for a, b in pairwise(spots))])
    return [
        _draw_part(board, part, (low, high), x, shrink)
        for part, low, high in board.scene.list_layers(0)
        for x in (board.stage.sites[:1] if part.runs_through else spots)
    ]


def _draw_part(board: Board, part: JawPart, ends: tuple[float, float], x: float, shrink: float) -> Shape:
    half = part.width_mm * shrink / 2
    if part.runs_through:
        half = part.width_mm * board.stage.shrink / 2
        x0, x1 = board.stage.ends[0] - half, board.stage.ends[1] + half
    else:
        x0, x1 = x - half, x + half
    return Box(x0=x0, x1=x1, y0=board.y(ends[1]), y1=board.y(ends[0]), fill=part.fill,
               edge=_EDGES.get(part.fill or "", "must"), dashed=part.fill is None)  # fmt: skip


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


def _draw_note(board: Board, top: float) -> tuple[list[Shape], float]:
    """Which lengths are to scale, and where that ends."""
    words, size, sites = board.scene.words, board.scene.sizes.small, board.scene.sites
    assumed = ", ".join(site.label for site in sites if site.assumed)
    text = words.to_scale if board.stage.to_scale else words.evenly
    if assumed:
        text = put_in(words.assumed, sites=assumed)
    lines = break_words(text, size=size, width=board.scene.sizes.width)
    shapes: list[Shape] = [
        Lettering(x=board.stage.span[0], y=top + size * (0.85 + LINE * number), text=line, size=size, colour="quiet")
        for number, line in enumerate(lines)
    ]
    return shapes, top + size * (0.4 + LINE * len(lines))
