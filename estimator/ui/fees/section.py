"""The Fees page: the schedule in force, edited in a table; a file in and out; its versions side by side."""

from dataclasses import replace

import pandas as pd
import streamlit as st
from streamlit.runtime.uploaded_file_manager import UploadedFile

from estimator import files
from estimator.base.problems import InputError
from estimator.files.practice.fee_folder import FeeVersion
from estimator.files.user import fee_versions
from estimator.inputs.fees.schedule import FeeSchedule
from estimator.inputs.fees.versions import write_fees
from estimator.ui.fees.editor import (
    forget_draft,
    get_fee_draft,
    is_new,
    save_version,
    show_editor,
    show_saving,
    start_draft,
)
from estimator.ui.fees.impact import show_differences, show_effect, show_saved_cases
from estimator.ui.shell import session
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.render import show_problems, show_table


def show_fees() -> None:
    """The schedule in force, and the table that edits it or a version chosen here."""
    practice = session.get_practice()
    fees = practice.fees
    invented = " Demo prices, invented." if fees.invented else ""
    st.markdown(f"In force: **{show_plain(fees.file)}**, {len(fees.lines)} lines, {fees.currency}, prices of "
                f"{fees.price_date.isoformat()}.{invented}{_tell_next()}")  # fmt: skip
    schedule = show_editor(practice)
    show_saving(practice, schedule)
    if schedule is not None and is_new(get_fee_draft(practice), schedule):
        show_effect(practice, schedule)
        with st.expander("Line by line"):
            show_differences(get_fee_draft(practice).parent, schedule)
        show_saved_cases(practice, schedule)


def _tell_next() -> str:
    today = session.get_today()
    later = [version for version in fee_versions.list_own_versions() if not version.is_in_force(today)]
    told = (f"**{show_plain(v.file)}** from {v.effective_from.isoformat()}" for v in later if v.effective_from)
    return f" To come: {', '.join(told)}." if later else ""


def show_files() -> None:
    """A file in, a file out."""
    st.header("In and out")
    fees = session.get_practice().fees
    data = write_fees(fees).encode("utf-8-sig")
    st.download_button("Download the schedule in force", data, fees.file, "text/csv", key="fees_out")
    _show_upload()


def _show_upload() -> None:
    """A new schedule is checked whole; it is used only when it has no problems and somebody says so."""
    uploaded = st.file_uploader("A new fee schedule (CSV)", type="csv", key="fees_in")
    if uploaded is None or st.session_state.get("fees_taken") == uploaded.file_id:
        return
    practice = session.get_practice()
    try:
        text = files.decode_text(uploaded.getvalue(), uploaded.name)
        schedule = fee_versions.check_fees_text(text, uploaded.name, practice)
    except InputError as error:
        note = f"Nothing has changed; {practice.fees.file} stays in use. Mend the file and choose it again."
        show_problems(f"{uploaded.name} was not taken", error.problems, note=note)
        return
    st.markdown(f"**{show_plain(uploaded.name)}** has no problems: {len(schedule.lines)} lines, {schedule.currency}, "
                f"prices of {schedule.price_date.isoformat()}.")  # fmt: skip
    changed = get_fee_draft(practice).is_changed
    with st.container(horizontal=True):
        st.button("Use this schedule", on_click=_use, args=(schedule, uploaded), key="use_fees")
        st.button(
            "Put it into the table first", on_click=_put, args=(schedule, uploaded), key="put_fees", disabled=changed,
            help="To see what it changes. Save or begin again first if the table holds changes of yours.",
        )  # fmt: skip


def _use(schedule: FeeSchedule, uploaded: UploadedFile) -> None:
    today = session.get_today()
    if save_version(replace(schedule, effective_from=schedule.effective_from or today)):
        st.session_state.fees_taken = uploaded.file_id


def _put(schedule: FeeSchedule, uploaded: UploadedFile) -> None:
    start_draft(session.get_practice().fees, schedule)
    st.session_state.fees_taken = uploaded.file_id


def show_fee_versions() -> None:
    """All that were ever saved here: which is in force, any two line by line, any one into the table."""
    versions = fee_versions.list_own_versions()
    if not versions:
        return
    st.header("Versions")
    in_force = session.get_practice().fees.file
    show_table(pd.DataFrame([_make_row(version, in_force) for version in reversed(versions)]))
    if len(versions) > 1:
        _compare([version.file for version in versions])


def _compare(names: list[str]) -> None:
    with st.container(horizontal=True, vertical_alignment="bottom"):
        before = st.selectbox("Compare", names, len(names) - 2, key="fees_before", width=320)
        after = st.selectbox("with", names, len(names) - 1, key="fees_after", width=320)
        st.button(
            "Edit the second", on_click=_choose, args=(str(after),), key="fees_choose",
            disabled=get_fee_draft(session.get_practice()).is_changed,
        )  # fmt: skip
    try:
        show_differences(fee_versions.load_version(str(before)), fee_versions.load_version(str(after)))
    except InputError as error:
        show_problems("A version cannot be read", error.problems)


def _make_row(version: FeeVersion, in_force: str) -> dict[str, str]:
    day = version.effective_from.isoformat() if version.effective_from else "not said"
    begun = version.is_in_force(session.get_today())
    state = "in force" if version.file == in_force else "kept" if begun else "to come"
    return {"Version": version.file, "In force from": day, "Now": state}


def _choose(file: str) -> None:
    forget_draft()
    try:
        start_draft(fee_versions.load_version(file))
    except InputError as error:
        st.session_state.fees_problems = error.problems
        return
    st.session_state.fees_chosen = file
