"""The practice as it stands on paper: name, address and telephone numbers, kept in settings.toml."""

import streamlit as st

from estimator.base.problems import InputError
from estimator.files import user
from estimator.files.settings_file import keep_fields
from estimator.inputs.settings import Settings
from estimator.ui import session
from estimator.ui.show import show_problems

_FIELDS = {
    "name": "Practice",
    "address": "Address",
    "phone": "Telephone",
    "emergency_phone": "Telephone when you are closed",
}
_PROBLEMS = "letterhead_problems"


def show_letterhead(settings: Settings) -> None:
    """A form with what the settings say; the logo is a file."""
    said = {
        "name": settings.practice_name,
        "address": settings.address,
        "phone": settings.phone,
        "emergency_phone": settings.emergency_phone,
    }
    with st.expander("The practice on paper: name, numbers, logo, terms"):
        logo = f"The logo is {settings.logo_file}." if settings.logo_file else "There is no logo."
        st.markdown(
            f"{logo} It is a PNG file in the practice folder, `{user.find_practice_folder()}`, named in settings.toml "
            'as `logo = "logo.png"` under `[practice]`. Your terms if something fails stand there too, under `[terms]`.'
        )
        with st.form("letterhead", border=False):
            for key, label in _FIELDS.items():
                st.text_input(label, said[key], key=f"letterhead_{key}", max_chars=120, width=480)
            st.form_submit_button("Keep", on_click=_keep)
    problems = st.session_state.pop(_PROBLEMS, None)
    if problems:
        show_problems("Nothing was kept", problems, note="The settings are unchanged.")


def _keep() -> None:
    state = st.session_state
    try:
        keep_fields("practice", {key: str(state.get(f"letterhead_{key}", "")).strip() for key in _FIELDS})
    except InputError as error:
        state[_PROBLEMS] = error.problems
        return
    session.reload_practice()
