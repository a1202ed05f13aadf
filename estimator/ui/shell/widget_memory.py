"""What is typed on the Quote page outlives a look elsewhere: a widget that is not drawn forgets its value."""

import streamlit as st

from estimator.ui.shell import session

_SHOWN = "typed_shown"
_AWAY = "typed_away"
_GENERATION = "typed_generation"
_TABLES = ("_discounts",)
"""Ends of the keys of tables, which nobody but the browser may fill; `pay_form` keeps what is in them."""


def mark_shown() -> None:
    """The widgets of the Quote page are drawn in this run; called before them.

    After a run without them their values are set anew, so that the browser, too, shows what was typed and no default.
    """
    state, generation = st.session_state, session.get_generation()
    if state.pop(_AWAY, False) and state.get(_GENERATION) == generation:
        _set_anew(generation)
    state[_SHOWN], state[_GENERATION] = True, generation


def keep_typed() -> None:
    """Hold on to the values of the Quote page's widgets in a run that has not drawn them; a new case starts afresh."""
    state, generation = st.session_state, session.get_generation()
    if state.pop(_SHOWN, False) or state.get(_GENERATION) != generation:
        return
    state[_AWAY] = True
    _set_anew(generation)


def _set_anew(generation: int) -> None:
    state = st.session_state
    prefixes = ("quote_", f"pay_{generation}_", f"self_{generation}_")
    for key in [str(key) for key in state]:
        if key.startswith(prefixes) and not key.endswith(_TABLES):
            state[key] = state[key]
