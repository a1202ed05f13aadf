"""A picture taller than a page in parts: each has the ruler on top and some of the rows, the last one the key."""

from dataclasses import replace

from estimator.pictures.base.rows import Picture
from estimator.pictures.base.shapes import Box, Lettering, Mark, Shape, Slant, Stroke


def split_picture(picture: Picture, most: float) -> tuple[Picture, ...]:
    """The picture in parts at most so high [pixels or points], parted between rows; whole where it cannot be parted."""
    if picture.height <= most or len(picture.cuts) < 2:
        return (picture,)
    head, starts = picture.cuts[0], [picture.cuts[0]]
    for row, end in zip(picture.cuts[1:], (*picture.cuts[2:], picture.height), strict=True):
        if head + end - starts[-1] > most:
            starts.append(row)
    ends = (*starts[1:], picture.height)
    return tuple(_take(picture, start, end) for start, end in zip(starts, ends, strict=True))


def _take(picture: Picture, start: float, end: float) -> Picture:
    """The ruler and what stands from `start` to `end`, moved up below it."""
    head = picture.cuts[0]
    kept = [shape for shape in picture.shapes if _find_middle(shape) < head]
    rows = (shape for shape in picture.shapes if max(head, start) <= _find_middle(shape) < end)
    shapes = (*kept, *(_move(shape, start - head) for shape in rows))
    return Picture(shapes=shapes, span=picture.span, height=head + end - start)


def _find_middle(shape: Shape) -> float:
    return shape.y if isinstance(shape, Lettering | Mark) else (shape.y0 + shape.y1) / 2


def _move(shape: Shape, up: float) -> Shape:
    match shape:
        case Box() | Slant() | Stroke():
            return replace(shape, y0=shape.y0 - up, y1=shape.y1 - up)
        case Lettering() | Mark():
            return replace(shape, y=shape.y - up)
