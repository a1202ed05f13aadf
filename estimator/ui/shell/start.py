"""How a case begins: new, the demo, a case file or one that was put aside; and what is said before one is left."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import streamlit as st

from estimator import files
from estimator.base.problems import InputError
from estimator.files.reading import load_toml
from estimator.files.user import data_folder
from estimator.inputs.case.model import Case
from estimator.inputs.case.writer import Document
from estimator.proposal.model import Proposal
from estimator.records.errors import RecordsError, TakenError
from estimator.ui.shell import copy_on_disk, run, session, working_copy
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.offer import read_held
from estimator.ui.shell.render import show_problems

if TYPE_CHECKING:
    from estimator.records.cases import SavedCase
    from estimator.records.working import WorkingCopy

_LEAVING, _NOTE, _TAKEN, _MET = "leaving", "save_note", "save_taken", "met"


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaving:
    """What somebody wants to go on to: how it is called, and how it is opened."""

    to: str
    go: Callable[[], None]


def show_start() -> None:
    """New case, demo case, and save where there is something to save.

    Call it after the form of the page: what a button does then holds the field that was typed last.
    """
    with st.container(horizontal=True, width="content", vertical_alignment="center"):
        if st.button("New case", key="new_case"):
            leave_for("a new case", _begin_case)
        if st.button("Open the demo case", key="open_demo"):
            leave_for("the demo case", _open_demo)
        if session.get_draft() is not None:
            show_save("save_case")
    show_leaving()


def _begin_case() -> None:
    """A new case to be filled in."""
    draft: Document = {"reference": "C-1", "jaws": [{"arch": "mandible", "implants": 2, "implants_present": False}]}
    session.open_case(files.parse_case(draft, "case", today=session.get_today()), document=draft)


def _open_demo() -> None:
    """The invented case of the demo."""
    case, _ = files.load_demo(today=session.get_today())
    session.open_case(case, document=load_toml(files.DATA / "demo" / "case.toml"))


def show_save(key: str) -> None:
    """Save, never greyed: the click that leaves a field must not land on a button that cannot be pressed yet."""
    if st.button("Save", key=key):
        save()
    said = "Saved." if session.get_case() is not None and not session.is_unsaved() else "Not saved yet."
    st.markdown(f":small[{said}]", width="content")


def save(*, apart: bool = False) -> None:
    """Save the case, or say in the next run why not; nothing is written over."""
    state = st.session_state
    state[_NOTE], state[_TAKEN] = "", False
    if session.get_case() is None:
        state[_NOTE] = "This case is not complete yet, so it was not saved. What you typed is kept all the same."
    else:
        try:
            session.save_case(apart=apart)
        except TakenError as error:
            state[_NOTE], state[_TAKEN] = f"Nothing was saved: {error}.", True
        except RecordsError as error:
            state[_NOTE] = f"Nothing was saved: {error}"
    st.rerun()


def save_or_ask() -> None:
    """Save the case as part of something else. Raises as `session.save_case` does, and then asks how to go on."""
    try:
        session.save_case()
    except TakenError:
        st.session_state[_TAKEN] = True
        raise


def leave_for(to: str, go: Callable[[], None]) -> None:
    """Open another case; where the open one has work that is not saved, ask first."""
    if session.has_work():
        st.session_state[_LEAVING] = Leaving(to=to, go=go)
        st.rerun()
    _go(go)


def _go(go: Callable[[], None]) -> None:
    st.session_state.pop(_LEAVING, None)
    run.write_now()
    go()
    st.rerun()


def show_leaving() -> None:
    """The question before work that is not saved is put aside; nothing while nobody wants to leave."""
    leaving: Leaving | None = st.session_state.get(_LEAVING)
    if leaving is None:
        return
    st.warning(
        f"The open case has changes that are not saved. Go on to {show_plain(leaving.to)}? What you typed is put "
        "aside, not away: you find it on the Records page.",
        icon=None,
    )
    with st.container(horizontal=True):
        if session.get_case() is not None and st.button("Save it and go on", key="leave_saved"):
            _save_and_go(leaving.go)
        if st.button("Put it aside and go on", key="leave_aside"):
            _go(leaving.go)
        if st.button("Stay here", key="leave_not"):
            st.session_state.pop(_LEAVING)
            st.rerun()


def _save_and_go(go: Callable[[], None]) -> None:
    try:
        session.save_case()
    except (TakenError, RecordsError) as error:
        st.session_state[_NOTE] = f"Nothing was saved: {error}"
        st.rerun()
    _go(go)


def show_notices() -> None:
    """What has to be said on any page: another tab has written, or nothing can be written."""
    if why := run.take_note_of_disk():
        st.error(f"**What you type cannot be kept on disk now.** {show_plain(why)}")
    if note := st.session_state.pop(_NOTE, ""):
        st.warning(show_plain(note), icon=None)
    if st.session_state.get(_TAKEN):
        _ask_taken()
    met: copy_on_disk.Meeting | None = st.session_state.get(_MET)
    if met is not None:
        _show_meeting(met)


def _ask_taken() -> None:
    with st.container(horizontal=True):
        if st.button("Save mine as a case of its own", key="save_apart"):
            save(apart=True)
        theirs = session.find_saved()
        if theirs is not None and st.button("Open theirs, and put mine aside", key="save_theirs"):
            st.session_state[_TAKEN] = False
            _open_theirs(theirs)
        if st.button("Leave it unsaved", key="save_not"):
            st.session_state[_TAKEN] = False
            st.rerun()


def _open_theirs(theirs: "SavedCase") -> None:
    try:
        _go(lambda: session.reopen_case(theirs))
    except InputError as error:
        show_problems("What was saved cannot be opened", error.problems, note="What you typed is still there.")


def _show_meeting(met: copy_on_disk.Meeting) -> None:
    """Theirs stands in the page; what differed, and the way to have mine instead."""
    mine = " What you typed here is put aside; nothing of it is lost." if met.aside else ""
    st.warning(f"**This case was changed in another tab, and that is what you see now.**{mine}", icon=None)
    if met.differences:
        places, theirs, own = zip(*met.differences, strict=True)
        st.table(
            {"Field": [*map(show_plain, places)], "There": [*map(show_plain, theirs)], "Here": [*map(show_plain, own)]},
            border="horizontal", hide_index=True,
        )  # fmt: skip
    with st.container(horizontal=True):
        if met.aside and st.button("Use what I typed here", key="met_mine"):
            session.use_mine(met.aside)
            st.session_state.pop(_MET)
            st.rerun()
        if st.button("Go on with this", key="met_theirs"):
            st.session_state.pop(_MET)
            st.rerun()


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
            data_folder.write_proposal_text(_find_offer(case)),
            f"case_{case.reference}.toml",
            "application/toml",
            key="case_out",
        )
        show_case_upload()


def _find_offer(case: Case) -> Proposal:
    """The case with what is chosen for it, as far as that can be read."""
    try:
        return read_held(case)
    except InputError:
        return Proposal(case=case)


def show_case_upload() -> None:
    """Open a case file; one with problems changes nothing."""
    uploaded = st.file_uploader("Open a case file (TOML)", type="toml", key="case_in")
    if uploaded is None or st.session_state.get("case_in_done") == uploaded.file_id:
        return
    st.session_state.case_in_done = uploaded.file_id
    try:
        document = files.parse_toml(files.decode_text(uploaded.getvalue(), uploaded.name), uploaded.name)
        offered = {name: value for name, value in document.items() if name != "typed"}
        case = files.parse_proposal(offered, uploaded.name, today=session.get_today()).case
    except InputError as error:
        show_problems(f"{uploaded.name} was not taken", error.problems, note="The case that is open is unchanged.")
        return
    leave_for(uploaded.name, lambda: session.open_case(case, document=document))


def show_aside(copies: "Sequence[WorkingCopy]") -> None:
    """Work that was put aside, each to be taken up again; what is open in this tab is not among it."""
    if not copies:
        return
    st.header("Put aside, not saved")
    for found in copies:
        _show_copy(found)


def _show_copy(found: "WorkingCopy") -> None:
    reference, patient = copy_on_disk.name_copy(found)
    name = f", {show_plain(patient)}" if patient else ""
    day = found.changed.replace("T", " ")[:16]
    with st.container(horizontal=True, vertical_alignment="center", key=f"aside_{found.id}"):
        st.markdown(f"**{show_plain(reference)}**{name}  \n:small[typed last {show_plain(day)} UTC]", width="stretch")
        if st.button("Take up again", key=f"take_up_{found.id}"):
            leave_for(reference, lambda: session.take_up(found))
        with st.popover("Throw away"):
            st.markdown("This cannot be taken back.")
            if st.button("Throw away for good", key=f"throw_{found.id}"):
                copy_on_disk.open_working_store().delete(found.id)
                st.rerun()


def list_aside() -> "tuple[WorkingCopy, ...]":
    """Working copies that are not saved, without the one of this tab. Raises RecordsError."""
    return tuple(c for c in copy_on_disk.open_working_store().list_unsaved() if c.id != working_copy.get_id())
