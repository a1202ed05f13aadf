"""What the practice owes a patient if something fails: its own terms by option, kept in settings.toml."""

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from estimator.base.declared import Field
from estimator.files.user.letterhead import keep_terms
from estimator.inputs.practice.guarantees import GUARANTEE, REMAKE, TERMS
from estimator.inputs.practice_bundle import Practice
from estimator.ui.shell import session
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.parts.declared_widgets import ask_long_text
from estimator.ui.shell.render import show_problems

_PROBLEMS = "terms_problems"


def show_terms(practice: Practice) -> None:
    """A form with the terms as they stand; the consent record leaves a line for what is empty."""
    terms = practice.settings.terms
    with st.expander("Your terms if something fails"):
        st.markdown(
            "In your own words, as the patient reads them on the consent record, which leaves a line to write on for "
            "what is empty here. The law may give the patient more. A change asks for the words to be approved anew."
        )
        with st.form("terms", border=False):
            for option in practice.options:
                st.markdown(f"**{show_plain(option.name)}**")
                first, second = st.columns(2, gap="medium")
                _ask(first, GUARANTEE, f"guarantee_{option.key}", terms.find_guarantee(option.key))
                _ask(second, REMAKE, f"remake_{option.key}", terms.find_remake(option.key))
            st.markdown("**All of them**")
            first, second = st.columns(2, gap="medium")
            _ask(first, TERMS.get_field("void"), "void", terms.void)
            _ask(second, TERMS.get_field("implant_fails"), "implant_fails", terms.implant_fails)
            keys = tuple(option.key for option in practice.options)
            st.form_submit_button("Keep these terms", on_click=_keep, args=(keys,))
    problems = st.session_state.pop(_PROBLEMS, None)
    if problems:
        show_problems("No term was kept", problems, note="The settings are unchanged.")


def _ask(place: DeltaGenerator, field: Field, name: str, said: str) -> None:
    ask_long_text(place, field, said, key=f"terms_{name}", height=80)


def _read(name: str) -> str:
    """What was typed, on one line."""
    return " ".join(str(st.session_state.get(f"terms_{name}", "")).split())


def _keep(options: tuple[str, ...]) -> None:
    guarantee = {key: _read(f"guarantee_{key}") for key in options}
    remake = {key: _read(f"remake_{key}") for key in options}
    void, implant_fails = _read("void"), _read("implant_fails")
    session.try_to_keep(_PROBLEMS, lambda: keep_terms(guarantee, remake, void=void, implant_fails=implant_fails))
