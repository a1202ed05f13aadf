"""What is typed on the Quote page outlives a look elsewhere: a widget that is not drawn forgets its value."""

import streamlit as st

from estimator.ui import session

_SHOWN = "typed_shown"
_GENERATION = "typed_generation"
_TABLES = ("_discounts",)
"""Ends of the keys of tables, which nobody but the browser may fill; `pay_form` keeps what is in them."""


def mark_shown() -> None:
    """The widgets of the Quote page are drawn in this run."""
    st.session_state[_SHOWN] = True
    st.session_state[_GENERATION] = session.get_generation()


def keep_typed() -> None:
    """Hold on to the values of the Quote page's widgets in a run that has not drawn them; a new case starts afresh."""
    state, generation = st.session_state, session.get_generation()
    if state.pop(_SHOWN, False) or state.get(_GENERATION) != generation:
        return
    prefixes = ("quote_", f"pay_{generation}_", f"self_{generation}_")
    for key in [str(key) for key in state]:
        if key.startswith(prefixes) and not key.endswith(_TABLES):
            state[key] = state[key]
