"""Keys of the case file in the trade's plain words, for office screens."""

from decimal import Decimal
from typing import Any

JAWS = {
    "Lower jaw": ("mandible",),
    "Upper jaw": ("maxilla",),
    "Both jaws": ("mandible", "maxilla"),
}
"""What the Case page offers, and the arches each means."""

_MARKS = str.maketrans({mark: f"\\{mark}" for mark in "\\`*_[]<>$~:|#!"})

_WORDS = {
    "mandible": "lower jaw (mandible)",
    "maxilla": "upper jaw (maxilla)",
    "none": "nothing",
    "fixed": "fixed teeth or bridge",
    "new": "a new denture",
    "convert": "attachments fitted into the present denture",
    "guided": "with a guide",
    "freehand": "freehand",
    "cone_beam_ct": "cone-beam CT",
    "mounted_casts": "mounted casts, with a caliper",
    "platform": "implant platform",
    "bone_crest": "bone crest",
    "soft_tissue_crest": "soft tissue crest",
    "cancer_dose_antiresorptives": "antiresorptives in cancer dose",
    "oral_antiresorptives": "oral antiresorptives",
}


def show_plain(text: str) -> str:
    """Text from a file or a person for a place that reads Markdown: it shows as it was written, and loads nothing."""
    return text.translate(_MARKS)


def say_word(key: str) -> str:
    """A key in words; keys without an entry only lose their underscores."""
    return _WORDS.get(key, key.replace("_", " "))


def to_float(number: Decimal | None) -> float | None:
    """A number for a table or a widget."""
    return None if number is None else float(number)


def to_decimal(number: Any) -> Decimal | None:
    """A number of a widget as Decimal with at most three decimals; None and NaN are nothing."""
    if number is None or number != number:
        return None
    return Decimal(str(round(float(number), 3)))
