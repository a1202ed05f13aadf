"""Pictures become figures of a sheet: one, or several where one would be taller than a page."""

from typing import TYPE_CHECKING

from estimator.pictures.base.rows import Picture
from estimator.pictures.base.split import split_picture
from estimator.sheets.base.blocks import FigureBlock

if TYPE_CHECKING:
    from estimator.sheets.base.context import SheetJob

_MOST = 600.0
"""What a page of either paper holds beside its foot, in large print too [pt]."""


def make_figures(
    job: "SheetJob", picture: Picture, alt: str, *, width_mm: float | None = None
) -> tuple[FigureBlock, ...]:
    """The figures of a picture; the first says all of it in words, the others that they belong to it."""
    parts = split_picture(picture, _MOST)
    alts = (alt, *[job.say("picture_goes_on")] * (len(parts) - 1))
    return tuple(
        FigureBlock(shapes=part.shapes, span=part.span, height=part.height, alt=told, width_mm=width_mm)
        for part, told in zip(parts, alts, strict=True)
    )
