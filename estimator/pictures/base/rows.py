"""Options as rows: one frame for every picture, so that the rows of pictures side by side meet.

A row has four lines: name, finding, bar, foot. Shapes cannot wrap: `find_misfits` says which words would be cut.
As a rule of thumb on screen, at a width of 280 pixels a name or a finding holds about 30 signs, a bold one about 27.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from estimator.pictures.base.lettering import break_words, estimate_width
from estimator.pictures.base.shapes import Lettering, Mark, Shape, Stroke

Extent = tuple[float, float]
LINE = 1.35
"""Height of a line of words in its size."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where one row stands: middles of its name, finding and foot, top and foot of its bar, the hairline above."""

    hairline: float
    name: float
    finding: float
    bar_top: float
    bar_foot: float
    foot: float

    @property
    def middle(self) -> float:
        """Middle of the bar."""
        return (self.bar_top + self.bar_foot) / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes:
    """Type, bar and width of a picture, in pixels on screen and points on paper.

    `wide` puts the foot beside the finding, at the right end. `width` is the narrowest the picture will be shown at:
    what is laid out for it has room at any larger width. A wide row has lines for long words: `names` and `findings`
    at least one each, `feet` below the finding where there is no room beside it (see `fit_headings`).
    """

    small: float = 13
    body: float = 15
    bar: float = 24
    wide: bool = False
    width: float = 280
    names: int = 1
    findings: int = 1
    feet: int = 0

    @property
    def head(self) -> float:
        """Height of the ruler and the line of words above it."""
        return self.small * 3.9

    @property
    def row(self) -> float:
        """Height of one row."""
        return self.words + self.bar + self.small * (1.5 if self.wide else 2.9)

    @property
    def words(self) -> float:
        """Height of the words above the bar of a row."""
        return self.body * (0.5 + LINE * (self.names + self.findings + self.feet))

    @property
    def key_line(self) -> float:
        """Height of one line of the key."""
        return self.small * 1.7

    def place_row(self, index: int) -> Place:
        """The lines of row `index`, counted from 0."""
        top = self.head + index * self.row + self.small * 0.7
        bar = top + self.words
        return Place(
            hairline=top - self.small * 0.35,
            name=top + self.body * 0.65,
            finding=top + self.body * (0.65 + LINE * self.names),
            bar_top=bar,
            bar_foot=bar + self.bar,
            foot=bar + self.bar + self.small * 1.1,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """Shapes with the range of x they stand on (mm, weeks or money) and the height of the whole (pixels or points).

    `cuts` are where a row begins, the first below the ruler: the picture may be parted there.
    """

    shapes: tuple[Shape, ...]
    span: Extent
    height: float
    cuts: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyWords:
    """The words of rulers and keys, as an office reads them; a sheet for a patient brings its own.

    `{mm}` stands for the measured room in `room`, for the error of measuring in `error`.
    """

    room_axis: str = "mm from the soft tissue"
    room: str = "room {mm}"
    least: str = "least"
    usual: str = "usual"
    left_over: str = "left over"
    error: str = "error ± {mm}"
    time_axis: str = "weeks from the first visit"
    trip: str = "a trip"
    teeth: str = "final teeth"
    first: str = "first cost"
    upkeep: str = "upkeep"
    chances: str = "range, 8 chances in 10"
    decimal: str = "."
    thousands: str = ","
    short_numbers: bool = False
    """11.5 instead of 11.50."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RowHeading:
    """Name, finding and foot of a row, and how they look."""

    name: str
    finding: str
    foot: str = ""
    alone: bool = True
    """The name leads, where a picture stands alone or first; otherwise the finding does."""
    set_aside: bool = False
    indent: float = 0.0
    """Room kept free before the finding, for a sign."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyItem:
    """One sign of a picture and what it means."""

    sign: str
    text: str
    fill: str | None
    edge: str | None
    share: float = 1.0
    """Size of the sign in that of its words."""


def fit_headings(headings: Sequence[RowHeading], sizes: Sizes) -> Sizes:
    """Sizes with as many lines a row as the longest words need; a picture that is not wide keeps one line each."""
    if not sizes.wide or not headings:
        return sizes
    below = any(_measure_beside(heading, sizes) > sizes.width for heading in headings)
    rows = [_break_heading(heading, replace(sizes, feet=1 if below else 0)) for heading in headings]
    names, findings, feet = (max(map(len, lines)) for lines in zip(*rows, strict=True))
    return replace(sizes, names=max(1, names), findings=max(1, findings), feet=feet)


def _measure_beside(heading: RowHeading, sizes: Sizes) -> float:
    """Width of a finding with its foot beside it, and a gap; 0 without a foot."""
    if not heading.foot:
        return 0.0
    bold = not (heading.alone or heading.set_aside)
    finding = estimate_width(heading.finding, size=sizes.body, bold=bold)
    return heading.indent + finding + sizes.body * 0.6 + estimate_width(heading.foot, size=sizes.body)


def _break_heading(heading: RowHeading, sizes: Sizes) -> tuple[tuple[str, ...], ...]:
    """Lines of the name, of the finding, and of a foot below it."""
    if not sizes.wide:
        return (heading.name,), (heading.finding,), ()
    bold, body = not (heading.alone or heading.set_aside), sizes.body
    beside = estimate_width(heading.foot, size=body) + body * 0.6 if heading.foot and not sizes.feet else 0.0
    name = break_words(heading.name, size=body, width=sizes.width, bold=heading.alone)
    finding = break_words(heading.finding, size=body, width=sizes.width - heading.indent - beside, bold=bold)
    return name, finding, break_words(heading.foot, size=body, width=sizes.width) if sizes.feet else ()


def draw_heading(heading: RowHeading, sizes: Sizes, index: int, span: Extent) -> list[Shape]:
    """The hairline above a row, except above the first, and the words of the row."""
    place, left, plain = sizes.place_row(index), span[0], heading.alone or heading.set_aside
    name_hue, finding_hue = "ink" if heading.alone else "quiet", "quiet" if heading.set_aside else "ink"
    rule = Stroke(x0=left, x1=span[1], y0=place.hairline, y1=place.hairline, colour="line", width=0.7)
    shapes: list[Shape] = [rule] if index else []
    names, findings, feet = _break_heading(heading, sizes)
    step, below = sizes.body * LINE, place.finding + sizes.body * LINE * len(findings)
    shapes += [
        Lettering(x=left, y=place.name + step * line, text=text, size=sizes.body, bold=heading.alone, colour=name_hue)
        for line, text in enumerate(names)
    ]
    shapes += [
        Lettering(x=left, y=place.finding + step * line, text=text, size=sizes.body, bold=not plain, colour=finding_hue,
              dx=heading.indent)
        for line, text in enumerate(findings)
    ]  # fmt: skip
    shapes += [
        Lettering(x=left, y=below + step * line, text=text, size=sizes.body, colour=finding_hue)
        for line, text in enumerate(feet)
    ]
    if not heading.foot or feet:
        return shapes
    if sizes.wide:
        foot = Lettering(
            x=span[1], y=place.finding, text=heading.foot, size=sizes.body, align="right", colour=finding_hue
        )
    else:
        foot = Lettering(x=left, y=place.foot, text=heading.foot, size=sizes.small, colour="quiet")
    return [*shapes, foot]


def finish_picture(shapes: Iterable[Shape], key: tuple[KeyItem, ...], sizes: Sizes, rows: int, span: Extent) -> Picture:
    """Puts the key under the rows; it keeps one line in a wide picture and two in others, so that heights agree."""
    tops = tuple(sizes.head + index * sizes.row for index in range(rows + 1))
    picture = add_key(shapes, key, sizes, top=tops[-1], span=span, least_lines=1 if sizes.wide else 2)
    return replace(picture, cuts=tops[:-1])


def add_key(
    shapes: Iterable[Shape], key: tuple[KeyItem, ...], sizes: Sizes, *, top: float, span: Extent, least_lines: int = 0
) -> Picture:
    """Puts the key at `top`, in as few lines as it needs, and keeps room for at least so many."""
    lines = _break_key(key, sizes)
    marks = _draw_key(lines, sizes, top + sizes.small, span[0])
    height = top + max(len(lines), least_lines) * sizes.key_line + sizes.small * 0.3
    return Picture(shapes=(*shapes, *marks), span=span, height=height)


def find_misfits(picture: Picture, width: float) -> tuple[str, ...]:
    """Words that would be cut or would run into other words at this width [pixels or points], by a careful estimate."""
    words = [shape for shape in picture.shapes if isinstance(shape, Lettering) and shape.text]
    ranges = [(shape, *_measure_words(shape, picture.span, width)) for shape in words]
    cut = [shape.text for shape, left, right in ranges if left < -0.5 or right > width + 0.5]
    met = [
        f"{a.text} | {b.text}"
        for i, (a, a_left, a_right) in enumerate(ranges)
        for b, b_left, b_right in ranges[i + 1 :]
        if abs(a.y - b.y) < min(a.size, b.size) / 2 and a_left < b_right and b_left < a_right
    ]
    return (*cut, *met)


def _measure_words(words: Lettering, span: Extent, width: float) -> tuple[float, float]:
    """Left and right end of words in a picture of this width."""
    at = (words.x - span[0]) / (span[1] - span[0]) * width + words.dx
    wide = estimate_width(words.text, size=words.size, bold=words.bold)
    left = at - {"left": 0.0, "center": wide / 2, "right": wide}[words.align]
    return left, left + wide


def _key_width(item: KeyItem, sizes: Sizes) -> float:
    """Width of a sign and its words, with the gap after them."""
    return sizes.small * 2.45 + estimate_width(item.text, size=sizes.small)


def _break_key(key: tuple[KeyItem, ...], sizes: Sizes) -> list[tuple[KeyItem, ...]]:
    """The key in lines of as many items as have room in columns: up to two, in a wide picture all."""
    for columns in range(len(key) if sizes.wide else min(2, len(key)), 1, -1):
        lines = [key[i : i + columns] for i in range(0, len(key), columns)]
        starts = _place_columns(lines, sizes)
        ends = (starts[len(line) - 1] + _key_width(line[-1], sizes) for line in lines)
        if max(ends) - sizes.small <= sizes.width:
            return lines
    return [(item,) for item in key]


def _place_columns(lines: list[tuple[KeyItem, ...]], sizes: Sizes) -> list[float]:
    """Where each column of the key starts; the last item of a line may be longer than its column."""
    starts = [0.0]
    for column in range(max(map(len, lines), default=1) - 1):
        widest = max(_key_width(line[column], sizes) for line in lines if len(line) > column + 1)
        starts.append(starts[-1] + widest)
    return starts


def _draw_key(lines: list[tuple[KeyItem, ...]], sizes: Sizes, top: float, left: float) -> list[Shape]:
    shapes: list[Shape] = []
    starts = _place_columns(lines, sizes)
    for number, line in enumerate(lines):
        y = top + number * sizes.key_line
        for start, item in zip(starts, line, strict=False):
            shapes += [
                Mark(x=left, y=y, sign=item.sign, size=sizes.small * item.share, fill=item.fill, edge=item.edge,
                     dx=start + sizes.small * 0.5),
                Lettering(x=left, y=y, text=item.text, size=sizes.small, dx=start + sizes.small * 1.45, colour="quiet"),
            ]  # fmt: skip
    return shapes
