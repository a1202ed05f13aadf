"""Keys of the case file in the trade's plain words, for office screens."""

from decimal import Decimal
from typing import Any

from estimator.base.evidence import Figure, Points
from estimator.inputs.reference.published_minima import Minimum

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
    "cone_beam_ct_radiopaque": "cone-beam CT with a radiopaque denture",
    "ruler": "the mouth, with a ruler",
    "clip": "clips over the bar",
    "screwed_in": "attachments screwed into the bar",
    "mounted_casts": "mounted casts, with a caliper",
    "platform": "implant platform",
    "bone_crest": "bone crest",
    "soft_tissue_crest": "soft tissue crest",
    "cancer_dose_antiresorptives": "antiresorptives in cancer dose",
    "oral_antiresorptives": "oral antiresorptives",
    "needs_lip_support": "lip needs support",
    "needs_help_cleaning": "cleaning needs help",
    "cognitive_decline": "memory or understanding failing",
}


def show_plain(text: str) -> str:
    """Text from a file or a person for a place that reads Markdown: it shows as it was written, and loads nothing."""
    return text.translate(_MARKS)


def say_how_sure(figure: Figure) -> str:
    """How sure a figure is, and whether a clinician has confirmed it, in one phrase."""
    sure = "own" if figure.own else figure.how_sure.value
    if figure.confirmed_on is not None:
        return f"{sure}, confirmed by {figure.confirmed_by} on {figure.confirmed_on.isoformat()}"
    if figure.confirmation is not None:
        was, said = show_points(figure.confirmation.points), figure.confirmation
        return f"{sure}, assumption: {was} was confirmed by {said.confirmed_by} on {said.confirmed_on.isoformat()}"
    return f"{sure}, assumption" if figure.assumption else sure


def show_points(points: Points) -> str:
    """A value with its low and high, where they differ."""
    low, value, high = points
    return f"{value:f}" if low == high else f"{value:f} ({low:f} to {high:f})"


def say_word(key: str) -> str:
    """A key in words; keys without an entry only lose their underscores."""
    return _WORDS.get(key, key.replace("_", " "))


def say_minimum(minimum: Minimum) -> str:
    """A published least height as it stands in its source: 12 to 15 mm, from the implant platform."""
    low, high = (f"{length.normalize():f}" for length in (minimum.low_mm, minimum.high_mm))
    mark = "landmark not stated" if minimum.landmark is None else f"from the {say_word(minimum.landmark)}"
    return f"{low if low == high else f'{low} to {high}'} mm, {mark}"


def to_float(number: Decimal | None) -> float | None:
    """A number for a table or a widget."""
    return None if number is None else float(number)


def to_decimal(number: Any) -> Decimal | None:
    """A number of a widget as Decimal with at most three decimals; None and NaN are nothing."""
    if number is None or number != number:
        return None
    return Decimal(str(round(float(number), 3)))
