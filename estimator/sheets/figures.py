"""A picture becomes a figure of a sheet."""

from estimator.pictures.rows import Picture
from estimator.sheets.blocks import Figure


def make_figure(picture: Picture, alt: str, width_mm: float | None = None) -> Figure:
    """The picture with what it says in words, as wide as the text unless a width is given."""
    return Figure(shapes=picture.shapes, span=picture.span, height=picture.height, alt=alt, width_mm=width_mm)
