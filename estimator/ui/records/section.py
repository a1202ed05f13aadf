"""The Records page: save, reopen, duplicate, delete cases."""

import streamlit as st

from estimator.base.problems import InputError
from estimator.records.cases import HeldError, SavedCase
from estimator.records.database import RecordsError
from estimator.ui.shell import session
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.render import show_problems
from estimator.ui.shell.start import leave_for, list_aside, show_aside, show_leaving, show_save


def show_records() -> None:
    """The open case first, then every saved case as a row."""
    try:
        _show_open_case()
        aside, saved = list_aside(), session.get_store().list_cases()
    except RecordsError as error:
        st.error(f"**The saved cases cannot be reached.** {show_plain(str(error))}")
        return
    show_leaving()
    show_aside(aside)
    st.header("Saved cases")
    if not saved:
        st.markdown("None yet. Save a case here or on the Case page; it is kept on this computer only.")
    failed = st.session_state.pop("record_problems", None)
    if failed:
        show_problems("The saved case was not opened", failed, note="Nothing has changed.")
    if held := st.session_state.pop("record_held", None):
        st.error(f"**The case was not deleted.** {show_plain(held)}")
    for record in saved:
        _show_record(record)


def _show_open_case() -> None:
    case = session.get_case()
    if case is None:
        said = "The open case is not complete yet." if session.get_draft() else "No case is open in this tab."
        st.markdown(said)
        return
    state = "not saved" if session.is_unsaved() else "saved"
    with st.container(horizontal=True, vertical_alignment="center"):
        st.markdown(f"Open in this tab: **{show_plain(case.reference)}**, {state}.")
        show_save("save_record")


def _show_record(record: SavedCase) -> None:
    name = f", {show_plain(record.patient)}" if record.patient else ""
    day = record.saved_at.replace("T", " ")[:16]
    with st.container(horizontal=True, vertical_alignment="center", key=f"record_{record.id}"):
        about = f"{record.summary}, saved {day} UTC"
        st.markdown(f"**{show_plain(record.reference)}**{name}  \n:small[{show_plain(about)}]", width="stretch")
        if st.button("Open", key=f"open_{record.id}"):
            leave_for(record.reference, lambda: _open(record))
        if st.button("Duplicate", key=f"copy_{record.id}"):
            _duplicate(record)
        with st.popover("Delete"):
            st.markdown("This cannot be taken back. Quotes and estimates that were kept of it stay in the database.")
            if st.button("Delete for good", key=f"delete_{record.id}"):
                _delete(record)


def _open(record: SavedCase) -> None:
    try:
        session.reopen_case(record)
    except InputError as error:
        st.session_state.record_problems = error.problems


def _delete(record: SavedCase) -> None:
    try:
        session.delete_case(record)
    except HeldError as error:
        st.session_state.record_held = str(error)
    st.rerun()


def _duplicate(record: SavedCase) -> None:
    try:
        session.duplicate_case(record)
    except InputError as error:
        st.session_state.record_problems = error.problems
    st.rerun()
