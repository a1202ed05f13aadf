"""The schedule as a table to edit: checked as one types, saved as a further version when there is nothing wrong."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Any

import pandas as pd
import streamlit as st

from estimator.base.money import MINOR_UNITS
from estimator.base.problems import FieldPath, InputError
from estimator.base.table import CsvRow
from estimator.files.user import fee_versions
from estimator.files.user.fee_versions import SavedMeanwhileError
from estimator.inputs.fees.draft import FeeDraft, begin_draft, find_rows, put_rows
from estimator.inputs.fees.schedule import FeeKind, FeeSchedule, Unit
from estimator.inputs.fees.versions import LINE_COLUMNS, compare_versions, merge_versions
from estimator.inputs.practice_bundle import Practice
from estimator.ui.shell import session
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.render import show_problems

_OFFICE_ONLY = ("practice_cost",)
_LAST = ("provider", "office_code", "benefit_class", "note", "key", "row")


def get_fee_draft(practice: Practice) -> FeeDraft:
    """What this tab has typed; until it has, the schedule in force."""
    state = st.session_state
    draft: FeeDraft | None = state.get("fees_draft")
    if draft is None or (not draft.is_changed and "fees_chosen" not in state and draft.parent != practice.fees):
        start_draft(practice.fees)
    found: FeeDraft = state.fees_draft
    return found


def start_draft(parent: FeeSchedule, lines: FeeSchedule | None = None) -> None:
    """Begin with the lines of a version, or with other lines on top of it."""
    state = st.session_state
    own = fee_versions.is_own(parent)
    state.fees_draft = begin_draft(parent, own=own, today=session.get_today(), lines=lines)
    state.fees_round = state.get("fees_round", 0) + 1


def show_editor(practice: Practice) -> FeeSchedule | None:
    """The table and what is wrong in it. Gives back what it holds, None while there is anything wrong."""
    draft = _show_head(get_fee_draft(practice))
    draft = st.session_state.fees_draft = _show_table(draft)
    try:
        return fee_versions.check_fees_table(draft.make_table(), practice, draft.parent)
    except InputError as error:
        note = "Nothing is saved while anything is listed here; what is typed stays in the table."
        show_problems("The table cannot be used yet", error.problems, note=note, labels=_name_lines(draft))
        return None


def _show_head(draft: FeeDraft) -> FeeDraft:
    """What holds for all lines."""
    number = st.session_state.get("fees_round", 0)
    with st.container(horizontal=True, vertical_alignment="bottom"):
        st.text_input("Show lines with", key="fees_filter", placeholder="bar, reline, implant …", width=300)
        codes = sorted(MINOR_UNITS)
        index = codes.index(draft.currency)
        currency = st.selectbox("Currency", codes, index, key=f"fees_currency_{number}", width=110)
        prices = _ask_day("Prices of", draft.price_date, f"fees_price_date_{number}")
        effective = _ask_day("In force from", draft.effective_from, f"fees_effective_{number}")
        st.toggle("Office only: cost", key="fees_cost", help="What each line costs the practice; off by default.")
    return replace(draft, currency=str(currency), price_date=prices, effective_from=effective)


def _ask_day(label: str, day: date, key: str) -> date:
    chosen = st.date_input(label, day, key=key, format="YYYY-MM-DD", width=150)
    return chosen if isinstance(chosen, date) else day


def _show_table(draft: FeeDraft) -> FeeDraft:
    """The editor keeps its changes apart from the rows it began with; both are put together when the filter changes."""
    state = st.session_state
    wanted, cost = state.get("fees_filter", ""), bool(state.get("fees_cost"))
    key = f"fees_table_{state.get('fees_round', 0)}_{cost}_{wanted}"
    if key not in state or "fees_base" not in state:
        state.fees_base = draft
    base: FeeDraft = state.fees_base
    shown = find_rows(base, wanted)
    edited = st.data_editor(
        _make_frame(shown), key=key, num_rows="dynamic", hide_index=True, height=430, width="stretch",
        column_config=_describe_columns(), column_order=_order_columns(cost),
    )  # fmt: skip
    st.markdown(f":small[{len(shown)} of {len(base.rows)} lines shown. Fee 0 prints as included; a fee may "
                "be a range, 400.00 to 600.00. The last row adds a line.]")  # fmt: skip
    return replace(draft, rows=put_rows(base, shown, _read_frame(edited)).rows)


def _make_frame(rows: Sequence[CsvRow]) -> pd.DataFrame:
    cells = [{"row": str(row.number), **row.cells} for row in rows]
    return pd.DataFrame(cells, columns=["row", *LINE_COLUMNS], dtype="object")


def _read_frame(frame: pd.DataFrame) -> list[tuple[int | None, dict[str, str]]]:
    found = []
    for record in frame.to_dict("records"):
        number = _read_cell(record["row"])
        cells = {name: _read_cell(record[name]) for name in LINE_COLUMNS}
        found.append((int(number) if number else None, cells))
    return found


def _read_cell(value: Any) -> str:
    return "" if value is None or value != value else str(value).strip()


def _describe_columns() -> dict[str, Any]:
    text, choice = st.column_config.TextColumn, st.column_config.SelectboxColumn
    return {
        "label": text("Line", width=250),
        "fee": text("Fee", width=130),
        "charged_per": choice("Charged per", options=[unit.value for unit in Unit], width=135),
        "kind": choice("Kind", options=[kind.value for kind in FeeKind], width=115),
        "practice_cost": text("Cost", width=95),
        "minutes": text("Minutes", width=105),
        "provider": text("Provider", width=110),
        "office_code": text("Own code", width=115),
        "benefit_class": text("Benefit class", width=155),
        "note": text("Note", width=110),
        "key": text("Key", width=200, help="By this name the options charge a line."),
        "row": text("Row", disabled=True, width=75),
    }


def _order_columns(cost: bool) -> list[str]:
    return ["label", "fee", "charged_per", "kind", *(_OFFICE_ONLY if cost else ()), "minutes", *_LAST]


def _name_lines(draft: FeeDraft) -> dict[FieldPath, str]:
    """A row is easier found by the name of its line."""
    names = {row.number: row.cells["label"] or row.cells["key"] for row in draft.rows}
    return {(number,): name for number, name in names.items() if name}


def is_new(draft: FeeDraft, schedule: FeeSchedule) -> bool:
    """Whether there is anything to save: an amount written another way is the same amount."""
    return draft.currency != draft.parent.currency or bool(compare_versions(draft.parent, schedule))


def show_saving(practice: Practice, schedule: FeeSchedule | None) -> None:
    """Save as a further version, or begin again; what went wrong the last time stands beside it."""
    draft = get_fee_draft(practice)
    with st.container(horizontal=True):
        st.button(
            "Save as a new version", on_click=_save, args=(schedule,), key="fees_save",
            disabled=schedule is None or not is_new(draft, schedule), type="primary",
        )  # fmt: skip
        st.button("Begin again", on_click=_discard, key="fees_discard", disabled=not draft.is_changed)
    problems, conflict = st.session_state.pop("fees_problems", None), st.session_state.pop("fees_conflict", False)
    if problems:
        show_problems("Nothing was saved", problems, note="What you have typed is still in the table.")
    if conflict:
        st.button("Put my changes on top of theirs", on_click=_merge, args=(schedule,), key="fees_merge")
    _tell_done()


def _tell_done() -> None:
    state = st.session_state
    saved, both = state.pop("fees_saved", None), state.pop("fees_both", None)
    if saved:
        st.success(f"Saved as **{show_plain(saved)}**. The versions before it are kept.")
    if both is not None:
        names = f" Lines that both have changed, yours stands: {show_plain(', '.join(both))}." if both else ""
        st.info(f"Your changes are on top of theirs now; save when it is as you want it.{names}")


def _save(schedule: FeeSchedule | None) -> None:
    if schedule is not None and save_version(schedule):
        forget_draft()


def save_version(schedule: FeeSchedule) -> bool:
    """Keep a version; where that fails, the next run says why."""
    state = st.session_state
    try:
        path = fee_versions.keep_version(schedule, mark=session.get_fees_mark(), today=session.get_today())
    except InputError as error:
        state.fees_problems = error.problems
        state.fees_conflict = isinstance(error, SavedMeanwhileError)
        return False
    state.fees_saved = path.name
    session.reload_practice()
    return True


def forget_draft() -> None:
    """The table begins with the schedule in force again."""
    for name in ("fees_draft", "fees_base", "fees_chosen"):
        st.session_state.pop(name, None)


def _discard() -> None:
    forget_draft()
    session.reload_practice()


def _merge(mine: FeeSchedule | None) -> None:
    state = st.session_state
    if mine is None:
        return
    parent = state.fees_draft.parent
    session.reload_practice()
    theirs = session.get_practice().fees
    merged = merge_versions(parent, mine, theirs)
    start_draft(theirs, merged.schedule)
    state.fees_both = merged.both
