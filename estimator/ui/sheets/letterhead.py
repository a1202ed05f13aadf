"""The practice as it stands on paper: name, address, telephone numbers and logo, kept in its folder."""

import streamlit as st

from estimator.files.user import data_folder
from estimator.files.user.letterhead import keep_logo, leave_out_logo
from estimator.files.user.settings import keep_fields
from estimator.inputs.practice.settings import PRACTICE, Settings
from estimator.ui.shell import session
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.parts.declared_widgets import ask_text
from estimator.ui.shell.render import show_problems

_FIELDS = tuple(PRACTICE.get_field(key) for key in ("name", "address", "phone", "emergency_phone"))
_PROBLEMS = "letterhead_problems"


def show_letterhead(settings: Settings) -> None:
    """A form with what the settings say; the logo is a file."""
    with st.expander("The practice on paper: name, numbers, logo"):
        with st.form("letterhead", border=False):
            for field in _FIELDS:
                ask_text(st, field, getattr(settings, field.path), key=f"letterhead_{field.key}", width=480)
            st.form_submit_button("Keep", on_click=_keep)
        _show_logo(settings)
    problems = st.session_state.pop(_PROBLEMS, None)
    if problems:
        show_problems("Nothing was kept", problems, note="The settings are unchanged.")


def _show_logo(settings: Settings) -> None:
    """The logo in use, another in its place, or none."""
    folder = show_plain(str(data_folder.find_practice_folder()))
    in_use = f"The logo is {show_plain(settings.logo_file)}" if settings.logo_file else "There is no logo"
    st.markdown(f"{in_use}. All of this is kept in the practice folder, {folder}.")
    uploaded = st.file_uploader("A logo (PNG)", type="png", key="logo_in", max_upload_size=1)
    with st.container(horizontal=True):
        if uploaded is not None:
            picture = (uploaded.getvalue(), uploaded.name)
            st.button("Use this logo", on_click=_use_logo, args=picture, key="use_logo")
        if settings.logo_file:
            st.button("Print without a logo", on_click=_leave_out_logo, key="no_logo")


def _keep() -> None:
    typed = {field.key: str(st.session_state.get(f"letterhead_{field.key}", "")).strip() for field in _FIELDS}
    session.try_to_keep(_PROBLEMS, lambda: keep_fields("practice", typed))


def _use_logo(data: bytes, file: str) -> None:
    session.try_to_keep(_PROBLEMS, lambda: keep_logo(data, file))


def _leave_out_logo() -> None:
    session.try_to_keep(_PROBLEMS, leave_out_logo)
