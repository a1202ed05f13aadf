"""Widgets for declared fields: label, limits and help come from the list that the file is read by."""

from typing import Any

from estimator.base.declared import Field


def ask_text(place: Any, field: Field, value: str = "", *, label: str = "", **more: Any) -> str:
    """A line of text, at most as long as the field may be; `label` where the form says more than the list.

    `more` are further arguments of the widget, here and below: its key, or what `hold` gives.
    """
    typed: str = place.text_input(label or field.label, value, max_chars=field.longest, help=field.help or None, **more)
    return typed


def ask_long_text(place: Any, field: Field, value: str = "", **more: Any) -> str:
    """The same over several lines on the screen."""
    typed: str = place.text_area(field.label, value, max_chars=field.longest, help=field.help or None, **more)
    return typed


def ask_flag(place: Any, field: Field, **more: Any) -> bool:
    """A box to tick."""
    ticked: bool = place.checkbox(field.label, help=field.help or None, **more)
    return ticked


def ask_whole(
    place: Any, field: Field, *, label: str = "", help: str = "", within: bool = False, **more: Any
) -> int | None:
    """A whole number, None while empty; `within` holds it in its limits, else the reader says what is wrong with it."""
    limits = {"min_value": int(field.low), "max_value": int(field.high)} if within else {}
    typed = place.number_input(
        label or field.label, value=None, step=1, help=help or field.help or None, **limits, **more
    )
    return None if typed is None else int(typed)
