"""Signing off assumptions on the Sources page: a clinician's name, today's date, and the values as they were shown."""

from collections.abc import Mapping, Sequence

import streamlit as st

from estimator.base.evidence import Figure
from estimator.files.user import own
from estimator.ui.shell import session
from estimator.ui.shell.markup import show_plain, show_points
from estimator.ui.shell.parts.sign import ask_signature, show_unsigned

_FIGURES = "confirm_figures"


def show_sign_off(assumed: Sequence[Figure]) -> None:
    """Choose figures, type a name, confirm: from then on each says who confirmed it, until its value changes."""
    if not assumed:
        return
    figures = {figure.key: figure for figure in assumed}
    # What was chosen in this tab and is no assumption any more cannot be chosen.
    st.session_state[_FIGURES] = [key for key in st.session_state.get(_FIGURES, []) if key in figures]
    with st.container(key="sign_off"):
        st.multiselect(
            "Figures that your clinician confirms as they stand", list(figures), key=_FIGURES,
            format_func=lambda key: _name_figure(figures[key]), placeholder="Choose one or several",
        )  # fmt: skip
        ask_signature("confirm", "Name of the clinician", "Confirm", lambda name: _confirm(figures, name))
    show_unsigned("confirm", "Nothing was confirmed", note="The list is unchanged.")


def _name_figure(figure: Figure) -> str:
    return show_plain(f"{figure.name}: {show_points(figure.points)} {figure.unit}")


def _confirm(figures: Mapping[str, Figure], name: str) -> None:
    chosen = [figures[key] for key in st.session_state.get(_FIGURES, [])]
    own.keep_confirmations(chosen, name, today=session.get_today())
    st.session_state[_FIGURES] = []
