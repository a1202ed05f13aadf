"""So many of a whole as a field of cells: dark, half dark, empty; told apart in grey as in colour."""

from estimator.pictures.base.rows import Picture, Sizes
from estimator.pictures.base.shapes import Box, Lettering, Shape, Stroke

_COLUMNS = {100: 25, 1000: 50}
_INSET, _KEY_LINE = 0.14, 1.5


def draw_icon_array(count: int, high: int, whole: int, sizes: Sizes, *, words: tuple[str, str, str]) -> Picture:
    """`count` of `whole` cells filled, those up to `high` half dark, and the key to the three below.

    `words` name filled, perhaps filled and empty cells.
    """
    if whole not in _COLUMNS:
        raise ValueError(f"'whole' must be one of {sorted(_COLUMNS)} (got {whole})")
    if not 0 <= count <= high <= whole:
        raise ValueError(f"'count' and 'high' must rise from 0 to {whole} (got {count} and {high})")
    columns = _COLUMNS[whole]
    cell = sizes.width / columns
    rows = whole // columns
    shapes: list[Shape] = [*_draw_grid(columns, rows, cell)]
    shapes += [_fill(n, columns, cell, "must" if n < count else "usual") for n in range(high)]
    key, height = _draw_key(columns, rows * cell, sizes, words)
    return Picture(shapes=(*shapes, *key), span=(0.0, float(columns)), height=height)


def _draw_grid(columns: int, rows: int, cell: float) -> list[Shape]:
    """Lines, not a box for each cell: a thousand boxes would make a large file."""
    bottom = rows * cell
    down: list[Shape] = [
        Stroke(x0=x, x1=x, y0=0, y1=bottom, colour="line", width=0.6) for x in map(float, range(columns + 1))
    ]
    return [
        *down,
        *(Stroke(x0=0, x1=columns, y0=y * cell, y1=y * cell, colour="line", width=0.6) for y in range(rows + 1)),
    ]


def _fill(number: int, columns: int, cell: float, colour: str) -> Box:
    row, column = divmod(number, columns)
    return Box(
        x0=column + _INSET, x1=column + 1 - _INSET, y0=(row + _INSET) * cell, y1=(row + 1 - _INSET) * cell, fill=colour,
        edge="must",
    )  # fmt: skip


def _draw_key(columns: int, top: float, sizes: Sizes, words: tuple[str, str, str]) -> tuple[list[Shape], float]:
    size = sizes.small
    unit = columns / sizes.width
    shapes: list[Shape] = []
    y = top + size * _KEY_LINE
    for word, fill, edge in zip(words, ("must", "usual", None), ("must", "must", "line"), strict=True):
        half = size * 0.4
        shapes.append(Box(x0=0, x1=2 * half * unit, y0=y - half, y1=y + half, fill=fill, edge=edge))
        shapes.append(Lettering(x=size * 1.4 * unit, y=y, text=word, size=size))
        y += size * 1.35
    return shapes, y - size * 0.35
