"""How a case begins: new, the demo, or a case file; and what a page says that was opened without one."""

import streamlit as st

from estimator import files
from estimator.base.problems import InputError
from estimator.files.user import data_folder
from estimator.ui.shell import session
from estimator.ui.shell.render import show_problems


def _open_demo() -> None:
    case, _ = files.load_demo(today=session.get_today())
    session.open_case(case)


def show_start() -> None:
    """New case, demo case, and save where there is something to save."""
    with st.container(horizontal=True, width="content"):
        st.button("New case", on_click=session.begin_case, key="new_case")
        st.button("Open the demo case", on_click=_open_demo, key="open_demo")
        if session.get_case() is not None:
            st.button("Save", on_click=session.save_case, key="save_case", disabled=not session.is_unsaved())


def ask_for_case(why: str) -> None:
    """What to do on a page that needs a case, and there is none or it has problems."""
    if session.get_draft() is not None:
        st.markdown(f"{why} The case that is open is **not complete yet**: the Case page lists what is missing.")
    else:
        st.markdown(f"{why} There is none open yet.")
        show_start()
    st.page_link(session.find_page("case"), label="Go to the Case page")


def show_case_file() -> None:
    """The case as a file, out and in."""
    case = session.get_case()
    if case is None:
        return
    with st.expander("Case file"):
        st.download_button(
            "Download this case",
            data_folder.write_case_text(case),
            f"case_{case.reference}.toml",
            "application/toml",
            key="case_out",
        )
        show_case_upload()


def show_case_upload() -> None:
    """Open a case file; one with problems changes nothing."""
    uploaded = st.file_uploader("Open a case file (TOML)", type="toml", key="case_in")
    if uploaded is None or st.session_state.get("case_in_done") == uploaded.file_id:
        return
    st.session_state.case_in_done = uploaded.file_id
    try:
        text = files.decode_text(uploaded.getvalue(), uploaded.name)
        session.open_case(data_folder.read_case_text(text, uploaded.name, today=session.get_today()))
    except InputError as error:
        show_problems(f"{uploaded.name} was not taken", error.problems, note="The case that is open is unchanged.")
        return
    st.rerun()
