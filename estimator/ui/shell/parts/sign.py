"""Something that is kept under a person's name: the name, the button, and what was wrong where nothing was kept."""

from collections.abc import Callable

import streamlit as st

from estimator.ui.shell import session
from estimator.ui.shell.render import show_problems

_LONGEST = 60


def ask_signature(key: str, label: str, button: str, keep: Callable[[str], object]) -> None:
    """Ask for a name; pressed, the button of that key keeps something in the practice folder under it."""
    with st.container(horizontal=True, vertical_alignment="bottom"):
        st.text_input(label, key=_name_field(key), max_chars=_LONGEST, width=360)
        st.button(button, on_click=_sign, args=(key, keep), key=key)


def _sign(key: str, keep: Callable[[str], object]) -> None:
    name = st.session_state.get(_name_field(key), "")
    session.try_to_keep(_name_problems(key), lambda: keep(name))


def show_unsigned(key: str, headline: str, note: str) -> None:
    """Once, what kept the button of that key from keeping anything."""
    if problems := st.session_state.pop(_name_problems(key), None):
        show_problems(headline, problems, note=note)


def _name_field(key: str) -> str:
    return f"{key}_name"


def _name_problems(key: str) -> str:
    return f"{key}_problems"
