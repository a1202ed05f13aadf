"""Fields of a jaw: each begins with what the draft says of it, and is written back to its place there."""

from collections.abc import Callable
from enum import StrEnum
from typing import Any

import streamlit as st

from estimator.inputs.case.writer import Document
from estimator.ui.shell.markup import say_word, to_float
from estimator.ui.shell.working_copy import Place, hold_as

NOWHERE: Place = ("case", "jaws", "", "")
"""The place of a choice that the rest of the draft tells already, such as which jaws there are."""


def hold_field(
    jaw: Document, name: str, value: Any, *, place: Place = (), write: Callable[[Any], Any] | None = None
) -> dict[str, Any]:
    """The arguments of a widget for one field of a jaw; `place` within the jaw where it is not just the name."""
    arch = str(jaw["arch"])
    return hold_as(f"case_{arch}_{name}", value, ("case", "jaws", arch, *(place or (name,))), write=write)


def edit_whole(
    label: str, jaw: Document, field: str, low: int, high: int, *, default: int,
    write: Callable[[Any], Any] | None = None,
) -> int:  # fmt: skip
    """A whole number."""
    held = hold_field(jaw, field, int(jaw.get(field, default)), write=write)
    return int(st.number_input(label, low, high, step=1, **held))


def edit_choice(label: str, jaw: Document, field: str, kind: type[StrEnum]) -> str:
    """One of the words of a StrEnum, shown in plain words."""
    words = [word.value for word in kind]
    start = str(jaw.get(field, words[0]))
    held = hold_field(jaw, field, start if start in words else words[0])
    return str(st.selectbox(label, words, format_func=say_word, **held))


def edit_number(
    label: str, jaw: Document, name: str, known: Document, bounds: tuple[float, float], step: float, *,
    place: Place = (), **more: Any,
) -> float | None:  # fmt: skip
    """A length or a lean, empty where it is not known. `known` is the table that may hold it, the last of `place`."""
    field = str(place[-1]) if place else name
    held = hold_field(jaw, name, to_float(known.get(field)), place=place)
    low, high = bounds
    number: float | None = st.number_input(label, low, high, None, step, **held, **more)
    return number
