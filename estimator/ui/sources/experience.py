"""Own experience on the Sources page: what the practice has counted, and how far it moves the published rates."""

from datetime import date
from decimal import Decimal

import pandas as pd
import streamlit as st
from streamlit.runtime.uploaded_file_manager import UploadedFile

from estimator import files
from estimator.base.problems import InputError
from estimator.estimate.own_rates import RateRow, list_own_rates
from estimator.files.user import own
from estimator.inputs.options.model import Option, Per, UpkeepItem
from estimator.inputs.practice.experience import Observation, Period
from estimator.inputs.practice_bundle import Practice
from estimator.ui.shell import session
from estimator.ui.shell.markup import say_word, show_plain
from estimator.ui.shell.render import show_problems, show_table

_FORMATS = {"Published": "{:.4f}", "Own": "{:.4f}", "Blended": "{:.4f}", "Weight of own": "{:.0%}"}


def show_experience(practice: Practice) -> None:
    """Published, own and blended rates side by side; the log in and out; one row by hand."""
    st.header("Own experience")
    rows = [_make_row(row) for row in list_own_rates(practice.options)]
    if rows:
        st.markdown(
            "Times a year, for one jaw or one implant. The estimate uses the **blended** rate: the published and the "
            "own one by their weights. First year and later move together."
        )
        show_table(pd.DataFrame(rows), _FORMATS)
    else:
        st.markdown("Nothing counted yet: the estimate uses the published rates and starting values alone.")
    _show_file(practice)
    with st.expander("Add a row"):
        _show_form(practice)


def _make_row(row: RateRow) -> dict[str, str | float | None]:
    years = f"{row.seen.years_at_risk.normalize():f}"
    return {
        "Option": row.option.name,
        "What": _name_item(row.item),
        "Period": say_word(row.period),
        "Counted": f"{row.seen.events} in {years} years",
        "Published": row.published.value,
        "Own": row.own,
        "Blended": row.blended.value,
        "Weight of own": row.own_weight,
    }


def _name_item(item: UpkeepItem) -> str:
    """An item whose rate is known for some jaws only is told apart by its figure."""
    return item.later.name if item.arch else item.label


def _show_file(practice: Practice) -> None:
    today = session.get_today()
    text = own.write_experience_text(practice, today=today)
    label = "Download the log" if practice.experience else "Download a log to fill in"
    st.download_button(label, text, "experience.csv", "text/csv", key="experience_out")
    uploaded = st.file_uploader("A log of the practice's own (CSV, without names)", type="csv", key="experience_in")
    if uploaded is None or st.session_state.get("experience_taken") == uploaded.file_id:
        return
    try:
        text = files.decode_text(uploaded.getvalue(), uploaded.name)
        log = own.check_experience_text(text, uploaded.name, practice, today=today)
    except InputError as error:
        note = "Nothing has changed. Mend the file and choose it again."
        show_problems(f"{uploaded.name} was not taken", error.problems, note=note)
        return
    counted = sum(bool(row.years_at_risk) for row in log)
    st.markdown(f"**{show_plain(uploaded.name)}** has no problems: {len(log)} rows, {counted} with years at risk.")
    if st.button("Use this log", key="use_experience"):
        _use(log, uploaded)


def _use(log: tuple[Observation, ...], uploaded: UploadedFile) -> None:
    try:
        own.replace_experience(log, today=session.get_today())
    except InputError as error:
        show_problems("The log was not kept", error.problems, note="Nothing has changed.")
        return
    st.session_state.experience_taken = uploaded.file_id
    session.reload_practice()
    st.rerun()


def _show_form(practice: Practice) -> None:
    """One row; its items are those of the option chosen."""
    first, second, third = st.columns([2, 3, 2], gap="medium")
    options = {option.key: option for option in practice.options if option.upkeep}
    key = first.selectbox("Option", list(options), key="own_option", format_func=lambda k: options[k].name)
    option: Option = options[key]
    items = {item.key: item for item in option.upkeep}
    chosen = second.selectbox(
        "What needed doing", list(items), key=f"own_item_{key}", format_func=lambda k: _name_item(items[k])
    )
    item: UpkeepItem = items[chosen]
    period = third.selectbox("In", list(Period), key="own_period", format_func=say_word)
    new = _ask_counts(option, item, Period(str(period)))
    if st.button("Add this row", key="own_add"):
        _add(new)


def _ask_counts(option: Option, item: UpkeepItem, period: Period) -> Observation:
    what = "jaws" if item.per is Per.JAW else "implants"
    first, second, third, fourth = st.columns(4, gap="medium")
    last = session.get_today().year - 1
    start = first.date_input("Counted from", date(last, 1, 1), key="own_from", format="YYYY-MM-DD")
    end = second.date_input("to", date(last, 12, 31), key="own_to", format="YYYY-MM-DD")
    years = third.number_input(
        "Years at risk", 0.0, None, 0.0, 0.5, key="own_years", format="%.2f",
        help=f"The years of all {what} together: 20 {what} over half a year are 10 years at risk.",
    )  # fmt: skip
    events = fourth.number_input("How many times", 0, None, 0, 1, key="own_events")
    note = st.text_input("Note, without names", key="own_note", max_chars=120)
    return Observation(
        option=option.key, item=item.key, period=period, counted_per=item.per, years_at_risk=Decimal(f"{years:.2f}"),
        events=int(events), start=start, end=end, note=note.strip(),
    )  # fmt: skip


def _add(new: Observation) -> None:
    try:
        own.add_observation(new, today=session.get_today())
    except InputError as error:
        show_problems("The row was not added", error.problems, note="Nothing has changed.")
        return
    session.reload_practice()
    st.rerun()
