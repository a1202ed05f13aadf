"""Fields of several forms, each held in the working copy: an amount, a day, the option of a jaw, the first visit."""

from datetime import date
from typing import Any

import streamlit as st

from estimator.inputs.case.model import Arch
from estimator.ui.shell import session
from estimator.ui.shell.working_copy import Place, get_value, hold, hold_as, offer_only


def ask_amount(place: Any, label: str, name: str, decimals: int, *, note: str | None = None) -> float | None:
    """An amount of money, empty where there is none."""
    step = float(10 ** (2 - decimals)) if decimals else 100.0
    amount: float | None = place.number_input(
        label, value=None, step=step, format=f"%.{decimals}f", help=note, **hold(name)
    )
    return amount


def ask_day(place: Any, label: str, name: str, *, start: date | None = None, note: str | None = None) -> date | None:
    """A day, empty where it is not known; days of the past are not held back to the last ten years."""
    day: date | None = place.date_input(
        label, value=None, min_value=date(1900, 1, 1), max_value=date(2200, 1, 1), help=note, format="YYYY-MM-DD",
        **hold(name, start),
    )  # fmt: skip
    return day


def hold_option(name: str, arch: Arch, options: list[str], start: str) -> dict[str, Any]:
    """The arguments of a widget for the option of a jaw: one choice on every page, `start` while it is open."""
    value = get_value(find_option_place(arch))
    held = hold_as(name, value if value in options else start, find_option_place(arch), write=_leave_open)
    return offer_only(held, options, start)


def _leave_open(option: str) -> str | None:
    return option or None


def find_option_place(arch: Arch) -> Place:
    """Where the option that is chosen for a jaw stands in the working copy."""
    return ("proposal", "chosen", arch.value)


def ask_start() -> date:
    """The day of the first visit, asked for here and held for the case; today until somebody says otherwise."""
    held = hold("start_day", session.get_today(), place=("proposal", "start_on"))
    asked = st.date_input("First visit", format="YYYY-MM-DD", width=200, **held)
    return asked if isinstance(asked, date) else session.get_today()
