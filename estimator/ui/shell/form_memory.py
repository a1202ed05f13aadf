"""What was typed in a section stays in its tab while other pages are looked at, until another case is opened."""

from datetime import date
from typing import Any

import streamlit as st

from estimator.ui.shell import session


def keep(name: str, start: Any) -> str:
    """The key of a widget of the open case, whose value is what it was before, or else `start`."""
    state, key = st.session_state, f"{name}_{session.get_generation()}"
    kept = _get_kept()
    if key in state:
        kept[key] = state[key]
    else:
        state[key] = kept.get(key, start)
    return key


def keep_one_of(name: str, options: list[str], start: str) -> str:
    """The same for a choice; what is no longer offered gives way to `start`."""
    state, key = st.session_state, keep(name, start)
    if state[key] not in options:
        state[key] = start
    return key


def keep_some_of(name: str, options: list[str]) -> str:
    """The same for several choices, at first none; those that are no longer offered fall away."""
    state, key = st.session_state, keep(name, [])
    if any(chosen not in options for chosen in state[key]):
        state[key] = [chosen for chosen in state[key] if chosen in options]
    return key


def get_note(name: str) -> Any:
    """What was put aside under that name for the open case; None if nothing."""
    return _get_kept().get(name)


def put_note(name: str, value: Any) -> None:
    """Put something aside for the open case, such as the text of a file that was opened."""
    _get_kept()[name] = value


def _get_kept() -> dict[str, Any]:
    state, generation = st.session_state, session.get_generation()
    if state.get("kept_of") != generation:
        state.kept_of, state.kept = generation, {}
    kept: dict[str, Any] = state.kept
    return kept


def ask_amount(place: Any, label: str, name: str, decimals: int, *, note: str | None = None) -> float | None:
    """An amount of money, empty where there is none."""
    step = float(10 ** (2 - decimals)) if decimals else 100.0
    amount: float | None = place.number_input(
        label, value=None, step=step, format=f"%.{decimals}f", key=keep(name, None), help=note
    )
    return amount


def ask_day(place: Any, label: str, name: str, *, start: date | None = None, note: str | None = None) -> date | None:
    """A day, empty where it is not known; days of the past are not held back to the last ten years."""
    day: date | None = place.date_input(
        label, value=None, min_value=date(1900, 1, 1), max_value=date(2200, 1, 1), key=keep(name, start), help=note,
        format="YYYY-MM-DD",
    )  # fmt: skip
    return day
