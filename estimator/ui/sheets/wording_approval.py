"""Who in the practice has approved the words of its sheets, and the way to do it."""

import streamlit as st

from estimator.base.formats import format_day
from estimator.files.user import data_folder
from estimator.files.user import wording_approval as kept
from estimator.inputs.practice_bundle import Practice
from estimator.inputs.reference.wording import Wording
from estimator.sheets.base.wording_approval import Approval, find_approval, mark_wording
from estimator.ui.shell import session
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.parts.sign import ask_signature, show_unsigned


def show_approval(practice: Practice, wording: Wording) -> None:
    """Who approved the words as they stand, or a form to approve them."""
    settings = practice.settings
    if find_approval(practice, wording) is Approval.HOLDS and settings.approved_on:
        day = format_day(settings.approved_on, settings.locale)
        st.markdown(f"The words are approved by {show_plain(settings.approved_by)}, {day}.")
        return
    _show_form(mark_wording(practice, wording))


def _show_form(mark: str) -> None:
    with st.expander("Approve the words of all sheets for patients"):
        st.markdown(
            f"Mark of the words as they stand: **{mark}**. An approval holds for these words only. It is kept in "
            f"settings.toml of the practice folder, `{data_folder.find_practice_folder()}`, with the practice's name, "
            "its paper and its terms."
        )
        ask_signature(
            "approve",
            "Name of who approves them",
            "Approve",
            lambda name: kept.keep_approval(name, mark, today=session.get_today()),
        )
    show_unsigned("approve", "Nothing was approved", note="The settings are unchanged.")
