"""The words beside the drawing of the jaw: parts at the right with hairlines, the two levels at the left."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from estimator.pictures.base.lettering import LINE, break_words, estimate_width
from estimator.pictures.base.shapes import Lettering, Shape, Stroke
from estimator.pictures.jaw.bar import find_spots
from estimator.pictures.jaw.board import Board, Scene
from estimator.pictures.jaw.layout import Margins, lay_stage, spread_apart
from estimator.pictures.jaw.parts import add_least, add_usual, put_in, show_mm, show_tissue

_SHARE = 0.3
"""The largest share of the width that the words at one side may take."""
_RULER, _LEAD, _GAP = 2.3, 1.5, 0.4
"""Width of the ruler, of the slanted end of a hairline, and of a gap beside words, in the size of small text."""
_BESIDE = 0.28
"""How much of the distance to the next implant half a line of room takes beside the attachments of a bar."""
_PITCH = 1.8
"""How near sites may stand together, in the size of small text."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Name:
    """What stands at `level_mm` of site `site`, and how wide it is [mm]; without a width no hairline leads to it.

    What stands `on_bar` is found at the last attachment of a bar instead.
    """

    text: str
    level_mm: float
    width_mm: float | None = None
    site: int = -1
    on_bar: bool = False
    colour: str = "ink"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Block:
    """Lines of words and the y of their middle."""

    lines: tuple[str, ...]
    middle: float

    def list_lines(self, size: float) -> list[tuple[str, float]]:
        """Each line with its y."""
        first = self.middle - (len(self.lines) - 1) / 2 * size * LINE
        return [(text, first + index * size * LINE) for index, text in enumerate(self.lines)]

    def measure(self, size: float) -> float:
        """Height."""
        return len(self.lines) * size * LINE


def set_up_board(scene: Scene) -> Board:
    """The sites between the ruler on the left and the names on the right; a bar may run on past the end sites."""
    size, known = scene.sizes.small, [site.position_mm for site in scene.sites if site.position_mm is not None]
    ruler = size * _RULER
    margins = Margins(
        ruler=ruler,
        left=ruler + size * 2 * _GAP,
        right=size * (_LEAD + _GAP) + _measure_widest([name.text for name in _list_names(scene)], scene),
    )
    # Seen from in front, the patient's right stands on the left.
    places = [-float(place) for place in known] if len(known) == len(scene.sites) else []
    left, right = (scene.bar.left_mm, scene.bar.right_mm) if scene.bar and places else (0.0, 0.0)
    ends = [*([places[0] - left] if left else []), *places, *([places[-1] + right] if right else [])]
    stage = lay_stage(
        ends or None, len(ends) or len(scene.sites), widest_mm=scene.widest, scale=scene.scale, pitch=size * _PITCH,
        width=scene.sizes.width, margins=margins,
    )  # fmt: skip
    inner = stage.sites[1 if left else 0 : -1 if right else None]
    half = min([stage.half_mm, *(_BESIDE * (b - a) for a, b in pairwise(inner) if scene.bar)])
    return Board(scene=scene, stage=replace(stage, sites=inner, half_mm=half))


def _break(text: str, scene: Scene) -> tuple[str, ...]:
    return break_words(text, size=scene.sizes.small, width=scene.sizes.width * _SHARE)


def _measure_widest(texts: Sequence[str], scene: Scene) -> float:
    """Width of the widest line [points or pixels]."""
    lines = (line for text in texts for line in _break(text, scene))
    return max(estimate_width(line, size=scene.sizes.small) for line in lines)


def _name_levels(scene: Scene) -> list[_Name]:
    """The usual and the least level, as they are at the last site."""
    words, parts = scene.words, scene.list_parts(-1)
    levels = ((words.usual, add_usual(parts)), (words.least, add_least(parts)))
    return [
        _Name(text=put_in(text, mm=show_mm(mm, words)), level_mm=float(mm), width_mm=float("inf"), colour="quiet")
        for text, mm in levels
    ]


def _list_names(scene: Scene) -> list[_Name]:
    """Everything that has a name, from above downwards."""
    words = scene.words
    names = [
        _Name(
            text=put_in(words.part, name=part.name, mm=show_mm(part.usual_mm, words)), level_mm=(low + high) / 2,
            width_mm=part.width_mm, on_bar=not part.runs_through,
        )
        for part, low, high in reversed(scene.list_layers(-1))
    ]  # fmt: skip
    names += [*_name_levels(scene), *_name_room(scene), *_name_ground(scene)]
    return sorted(names, key=lambda name: -name.level_mm)


def _name_room(scene: Scene) -> list[_Name]:
    """The room is named at the last site where it was measured."""
    words, measured = scene.words, [i for i, site in enumerate(scene.sites) if site.room_mm is not None]
    if not measured:
        return []
    text = put_in(words.room_error, mm=show_mm(scene.error_mm, words)) if scene.error else words.room
    return [_Name(text=text, level_mm=scene.rooms[-1], width_mm=scene.widest, site=measured[-1])]


def _name_ground(scene: Scene) -> list[_Name]:
    words, tissue = scene.words, scene.tissues[-1]
    text = put_in(words.soft_tissue, mm=show_tissue(scene.sites, scene.tissue_mm, words))
    names = [_Name(text=text, level_mm=-tissue / 2, width_mm=float("inf"))] if tissue > 0 else []
    names.append(_Name(text=words.bone, level_mm=-tissue - scene.implant * 0.3))
    if scene.implants:
        names.append(_Name(text=words.implant, level_mm=-tissue - scene.implant * 0.75, width_mm=scene.implant_width))
    return names


def _place_names(board: Board) -> list[tuple[_Name, _Block]]:
    """Every name as near to its level as names can stand apart."""
    names, size = _list_names(board.scene), board.scene.sizes.small
    lines = [_break(name.text, board.scene) for name in names]
    heights = [len(block) * size * LINE + size * _GAP / 2 for block in lines]
    middles = spread_apart([board.y(name.level_mm) for name in names], heights)
    return [
        (name, _Block(lines=block, middle=middle)) for name, block, middle in zip(names, lines, middles, strict=True)
    ]


def find_reach(board: Board) -> tuple[float, float]:
    """Where the drawing with all its words begins and ends [y]: names may need more height than what they name."""
    size = board.scene.sizes.small
    blocks = [block for _, block in _place_names(board)]
    tops = (block.middle - block.measure(size) / 2 for block in blocks)
    feet = (block.middle + block.measure(size) / 2 for block in blocks)
    return min(board.y(board.scene.top), *tops), max(board.y(-board.scene.below), *feet)


def draw_names(board: Board) -> list[Shape]:
    """Each name once, with a hairline to what it names at the last site."""
    size, stage = board.scene.sizes.small, board.stage
    turn, end, spots = stage.right, stage.right + stage.across(size * _LEAD), find_spots(board)
    shapes: list[Shape] = []
    for name, block in _place_names(board):
        shapes += [
            Lettering(x=end, y=y, text=text, size=size, dx=size * _GAP, colour=name.colour)
            for text, y in block.list_lines(size)
        ]
        if name.width_mm is None:
            continue
        stands = spots[-1] if name.on_bar and spots else stage.sites[name.site]
        start = min(stands + name.width_mm * stage.shrink / 2, turn)
        y = board.y(name.level_mm)
        shapes += [
            Stroke(x0=start, x1=turn, y0=y, y1=y, colour="line", width=0.8),
            Stroke(x0=turn, x1=end, y0=y, y1=block.middle, colour="line", width=0.8),
        ]
    return shapes
