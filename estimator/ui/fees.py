"""The Fees page: upload, check with all problems listed, use, filter, download."""

import pandas as pd
import streamlit as st
from streamlit.runtime.uploaded_file_manager import UploadedFile

from estimator import files
from estimator.base.problems import InputError
from estimator.files import user
from estimator.inputs.fees import FeeLine
from estimator.ui import session
from estimator.ui.show import show_problems, show_table
from estimator.ui.words import show_plain


def show_upload() -> None:
    """A new schedule is checked whole; it is used only when it has no problems and somebody says so."""
    uploaded = st.file_uploader("A new fee schedule (CSV)", type="csv", key="fees_in")
    if uploaded is None or st.session_state.get("fees_taken") == uploaded.file_id:
        return
    practice = session.get_practice()
    try:
        text = files.decode_text(uploaded.getvalue(), uploaded.name)
        schedule = user.check_fees_text(text, uploaded.name, practice)
    except InputError as error:
        note = f"Nothing has changed; {practice.fees.file} stays in use. Mend the file and choose it again."
        show_problems(f"{uploaded.name} was not taken", error.problems, note=note)
        return
    st.markdown(f"**{show_plain(uploaded.name)}** has no problems: {len(schedule.lines)} lines, {schedule.currency}, "
                f"prices of {schedule.price_date.isoformat()}.")  # fmt: skip
    st.button("Use this schedule", on_click=_use, args=(text, uploaded), key="use_fees")


def _use(text: str, uploaded: UploadedFile) -> None:
    user.keep_fees(text, uploaded.name, today=session.get_today())
    st.session_state.fees_taken = uploaded.file_id
    session.reload_practice()


def show_fees() -> None:
    """The schedule in use, with a filter."""
    practice = session.get_practice()
    fees = practice.fees
    st.header("The schedule in use")
    invented = " Demo prices, invented." if fees.invented else ""
    name, day = show_plain(fees.file), fees.price_date.isoformat()
    st.markdown(f"**{name}**, {len(fees.lines)} lines, {fees.currency}, prices of {day}.{invented}")
    st.download_button("Download a copy", user.read_fees_text(practice), fees.file, "text/csv", key="fees_out")
    wanted = st.text_input("Show lines with", key="fees_filter", placeholder="bar, reline, implant …", width=360)
    lines = [line for line in fees.lines.values() if _matches(line, wanted)]
    if lines:
        show_table(pd.DataFrame([_make_row(line) for line in lines]), {"Fee": "{:,.2f}"})
    st.markdown(
        f":small[{len(lines)} of {len(fees.lines)} lines shown. What a line costs the practice is in the file only.]"
    )


def _matches(line: FeeLine, wanted: str) -> bool:
    text = f"{line.key} {line.label} {line.kind} {line.provider}".lower()
    return all(word in text for word in wanted.lower().split())


def _make_row(line: FeeLine) -> dict[str, str | float]:
    return {
        "Line": line.label,
        "Fee": float(line.fee),
        "Charged per": line.charged_per.value.replace("_", " "),
        "Kind": line.kind.value,
        "Provider": line.provider,
    }
