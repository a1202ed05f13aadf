"""Widgets for declared fields: label, limits and help come from the list that the file is read by."""

from typing import Any

from estimator.base.declared import Field


def ask_text(place: Any, field: Field, key: str, value: str = "", *, label: str = "", **more: Any) -> str:
    """A line of text, at most as long as the field may be; `label` where the form says more than the list."""
    typed: str = place.text_input(
        label or field.label, value, key=key, max_chars=field.longest, help=field.help or None, **more
    )
    return typed


def ask_long_text(place: Any, field: Field, key: str, value: str = "", *, height: int) -> str:
    """The same over several lines on the screen."""
    typed: str = place.text_area(
        field.label, value, key=key, max_chars=field.longest, height=height, help=field.help or None
    )
    return typed


def ask_flag(place: Any, field: Field, key: str) -> bool:
    """A box to tick."""
    ticked: bool = place.checkbox(field.label, key=key, help=field.help or None)
    return ticked


def ask_whole(
    place: Any, field: Field, key: str, *, label: str = "", help: str = "", within: bool = False
) -> int | None:
    """A whole number, None while empty; `within` holds it in its limits, else the reader says what is wrong with it."""
    limits = {"min_value": int(field.low), "max_value": int(field.high)} if within else {}
    typed = place.number_input(
        label or field.label, value=None, step=1, key=key, help=help or field.help or None, **limits
    )
    return None if typed is None else int(typed)
