"""What a tooth is called: files hold ISO 3950, a practice may read US numbers."""

from enum import StrEnum


class ToothNumbers(StrEnum):
    """Two ways to number teeth: two digits with the quadrant first, or 1 to 32 from the upper right."""

    ISO = "iso"
    US = "us"


def name_tooth(tooth: str, numbers: ToothNumbers) -> str:
    """The number of a tooth, given in ISO 3950, as a practice reads it."""
    return _NUMBERED.get(tooth, tooth) if numbers is ToothNumbers.US else tooth


_CLOCKWISE = tuple(
    f"{quadrant}{place}"
    for quadrant, places in ((1, range(8, 0, -1)), (2, range(1, 9)), (3, range(8, 0, -1)), (4, range(1, 9)))
    for place in places
)
_NUMBERED = {tooth: str(number) for number, tooth in enumerate(_CLOCKWISE, 1)}
