"""A run of any page: it begins with the copy that the address asks for and ends with what was typed on disk."""

from collections.abc import Callable
from typing import TypeVar

import streamlit as st

from estimator.records.errors import RecordsError
from estimator.ui.shell import copy_on_disk, session
from estimator.ui.shell.working_copy import get_document

Found = TypeVar("Found")


def start_run() -> None:
    """Begin a run of any page, above the navigation: the copy that the address asks for, as it is on disk now."""
    from_disk = _try_on_disk(copy_on_disk.follow_address)
    if from_disk is not None:
        session.take_up(from_disk)
    _try_on_disk(copy_on_disk.look_on_disk)
    draft = session.get_draft()
    if draft is not None and draft != st.session_state.get("read_from"):
        session.put_draft(draft)


def finish_run() -> bool:
    """End a run of any page: what was typed goes to disk. Returns whether the page has to be shown anew."""
    met = _try_on_disk(_write_copy)
    if met is None:
        return False
    session.read_copy(st.session_state.get("record_id"))
    st.session_state.met = met
    return True


def write_now() -> None:
    """Put what this run has typed on disk before another case takes its place in this tab."""
    _try_on_disk(_write_copy)


def _write_copy() -> copy_on_disk.Meeting | None:
    if get_document() is None:
        return None
    met = copy_on_disk.write_copy(case_id=session.get_record_id() or "", unsaved=session.has_work())
    if "practice" in st.session_state:  # the first page does not wait for it
        copy_on_disk.sweep_copies(session.get_practice().settings.working_copy_days)
    return met


def _try_on_disk(do: Callable[[], Found]) -> Found | None:
    """Do something with the database; where it cannot be reached, that is said once a run, and work goes on."""
    try:
        return do()
    except RecordsError as error:
        st.session_state.not_on_disk = str(error)
        return None


def take_note_of_disk() -> str:
    """Why what was typed could not be kept on disk, once; empty where it could."""
    return str(st.session_state.pop("not_on_disk", ""))
