"""The practice's logo as a value: opaque pixels, ready to print, read from its file by an edge."""

from dataclasses import dataclass, field

LOGO_WIDTH_PX, LOGO_HEIGHT_PX = 600, 144
"""A logo holds no more pixels than its place on paper can show: 50 by 12 mm at 300 to the inch."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Logo:
    """Rows of pixels from the top, three bytes each: red, green, blue of sRGB, on white."""

    width_px: int
    height_px: int
    pixels: bytes = field(repr=False)

    def __post_init__(self) -> None:
        expected = self.width_px * self.height_px * 3
        if len(self.pixels) != expected or not expected:
            raise ValueError(f"'pixels' must have {expected} bytes and at least one pixel (got {len(self.pixels)})")
