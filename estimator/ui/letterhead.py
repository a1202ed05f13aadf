"""The practice as it stands on paper: name, address, telephone numbers and logo, kept in its folder."""

from collections.abc import Callable

import streamlit as st

from estimator.base.problems import InputError
from estimator.files import user
from estimator.files.settings_file import keep_fields
from estimator.files.user_letterhead import keep_logo, leave_out_logo
from estimator.inputs.settings import Settings
from estimator.ui import session
from estimator.ui.show import show_problems
from estimator.ui.words import show_plain

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
    with st.expander("The practice on paper: name, numbers, logo"):
        with st.form("letterhead", border=False):
            for key, label in _FIELDS.items():
                st.text_input(label, said[key], key=f"letterhead_{key}", max_chars=120, width=480)
            st.form_submit_button("Keep", on_click=_keep)
        _show_logo(settings)
    problems = st.session_state.pop(_PROBLEMS, None)
    if problems:
        show_problems("Nothing was kept", problems, note="The settings are unchanged.")


def _show_logo(settings: Settings) -> None:
    """The logo in use, another in its place, or none."""
    folder = show_plain(str(user.find_practice_folder()))
    in_use = f"The logo is {show_plain(settings.logo_file)}" if settings.logo_file else "There is no logo"
    st.markdown(f"{in_use}. All of this is kept in the practice folder, {folder}.")
    uploaded = st.file_uploader("A logo (PNG)", type="png", key="logo_in", max_upload_size=1)
    with st.container(horizontal=True):
        if uploaded is not None:
            st.button(
                "Use this logo", on_click=_try, args=(keep_logo, uploaded.getvalue(), uploaded.name), key="use_logo"
            )
        if settings.logo_file:
            st.button("Print without a logo", on_click=_try, args=(leave_out_logo,), key="no_logo")


def _keep() -> None:
    state = st.session_state
    _try(keep_fields, "practice", {key: str(state.get(f"letterhead_{key}", "")).strip() for key in _FIELDS})


def _try(keep: Callable[..., object], *values: object) -> None:
    """Keep something in the practice folder, and read the folder again; or else say what is wrong with it."""
    try:
        keep(*values)
    except InputError as error:
        st.session_state[_PROBLEMS] = error.problems
        return
    session.reload_practice()
