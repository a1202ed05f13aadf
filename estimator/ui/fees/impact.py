"""What another version would change: totals of the open case, line by line, and in all saved cases."""

import time
from dataclasses import dataclass, replace

import pandas as pd
import streamlit as st

from estimator import files
from estimator.base.problems import InputError
from estimator.estimate.requote import TotalChange, compare_option_totals
from estimator.files.user import data_folder
from estimator.inputs.case.model import Case
from estimator.inputs.fees.schedule import FeeSchedule
from estimator.inputs.fees.versions import FeeChange, FeeChangeKind, compare_versions, show_line
from estimator.inputs.practice_bundle import Practice
from estimator.inputs.reference.wording import Wording
from estimator.records.cases import SavedCase
from estimator.records.database import RecordsError
from estimator.ui.shell import session
from estimator.ui.shell.markup import say_word, show_plain
from estimator.ui.shell.render import money_format, show_table

_ROUND_S = 0.4
"""How long one round of saved cases may take before the page is shown again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Survey:
    """How far the saved cases have been gone through at the prices of one version."""

    schedule: FeeSchedule
    left: tuple[SavedCase, ...]
    total: int
    found: tuple[tuple[str, TotalChange], ...] = ()
    unread: tuple[str, ...] = ()
    stopped: bool = False

    @property
    def done(self) -> int:
        """How many have been gone through."""
        return self.total - len(self.left)

    def stop(self) -> "Survey":
        """No further; what was found stays."""
        return replace(self, left=(), total=self.done, stopped=True)


def show_effect(practice: Practice, schedule: FeeSchedule) -> None:
    """First cost of each option of the open case, before and after."""
    case = session.get_case()
    if case is None:
        st.markdown("Open a case to see what a change does to its totals.")
        return
    st.header(f"What it does to case {show_plain(case.reference)}")
    if not _is_comparable(practice.fees, schedule):
        return
    changes = compare_option_totals(case, practice, schedule)
    rows = [_make_row(change, practice.fees, jaw=len(case.jaws) > 1) for change in changes]
    show_table(pd.DataFrame(rows), _choose_formats(practice.fees))


def _is_comparable(before: FeeSchedule, after: FeeSchedule) -> bool:
    if before.currency == after.currency:
        return True
    st.markdown(f"Totals in {before.currency} and in {after.currency} cannot be held against each other.")
    return False


def _make_row(change: TotalChange, fees: FeeSchedule, *, jaw: bool) -> dict[str, str | float]:
    arch = {"Jaw": say_word(change.arch)} if jaw else {}
    return {
        **arch,
        "Option": change.name,
        f"Before, {fees.currency}": float(change.before),
        "After": float(change.after),
        "Difference": float(change.difference),
        "Upkeep": "changes" if change.upkeep_changes else "as before",
    }


def _choose_formats(fees: FeeSchedule) -> dict[str, str]:
    plain = money_format(fees.decimals)
    return {f"Before, {fees.currency}": plain, "After": plain, "Difference": money_format(fees.decimals, sign=True)}


def show_differences(before: FeeSchedule, after: FeeSchedule) -> None:
    """Line by line."""
    changes = compare_versions(before, after)
    if before.currency != after.currency:
        st.markdown(f"**Currency:** {before.currency} before, {after.currency} after.")
    if not changes:
        st.markdown("No line differs.")
        return
    wording = files.load_wording()
    counts = {kind.value: sum(change.kind is kind for change in changes) for kind in FeeChangeKind}
    st.markdown(wording.say("words.fee_change.office_counts", **counts))
    show_table(pd.DataFrame([row for change in changes for row in _tell_change(change, wording)]))


def _tell_change(change: FeeChange, wording: Wording) -> list[dict[str, str]]:
    """A row a column that differs; one alone for a line that only one of the versions has."""
    if change.before is None or change.after is None:
        what = wording.get(f"words.fee_change.office_{change.kind}")
        return [{"Line": change.line.label, "What": what, "Before": "", "After": ""}]
    before, after = show_line(change.before), show_line(change.after)
    return [
        {"Line": change.line.label, "What": wording.get(f"words.fee_column.office_{name}"), "Before": before[name],
         "After": after[name]}
        for name in change.columns
    ]  # fmt: skip


def show_saved_cases(practice: Practice, schedule: FeeSchedule) -> None:
    """The saved cases that would cost something else; a long list is gone through in rounds and can be stopped."""
    st.header("Saved cases it would change")
    survey: Survey | None = st.session_state.get("fees_survey")
    if survey is not None and survey.schedule != schedule:
        survey = None
    if survey is None or not survey.left:
        st.button("Go through the saved cases", on_click=_begin, args=(schedule,), key="fees_survey_begin")
    if survey is None or not _is_comparable(practice.fees, schedule):
        return
    if survey.left:
        st.progress(survey.done / survey.total, f"{survey.done} of {survey.total} cases")
        st.button("Stop", on_click=_stop, key="fees_survey_stop")
        st.session_state.fees_survey = continue_repricing(survey, practice, until=time.monotonic() + _ROUND_S)
        st.rerun()
    _show_found(survey, practice)


def _begin(schedule: FeeSchedule) -> None:
    try:
        saved = session.get_store().list_cases()
    except RecordsError as error:
        st.error(f"**The saved cases cannot be reached.** {show_plain(str(error))}")
        return
    st.session_state.fees_survey = Survey(schedule=schedule, left=saved, total=len(saved))


def _stop() -> None:
    st.session_state.fees_survey = st.session_state.fees_survey.stop()


def continue_repricing(survey: Survey, practice: Practice, *, until: float) -> Survey:
    """At least one case further, and as many as can be done until that moment of the monotonic clock [s]."""
    found, unread, number = list(survey.found), list(survey.unread), 0
    while number < len(survey.left) and (number == 0 or time.monotonic() < until):
        record, number = survey.left[number], number + 1
        case = _read(record)
        if case is None:
            unread.append(record.reference)
            continue
        changes = compare_option_totals(case, practice, survey.schedule)
        found += [(record.reference, change) for change in changes if change.is_changed]
    return replace(survey, left=survey.left[number:], found=tuple(found), unread=tuple(unread))


def _read(record: SavedCase) -> Case | None:
    try:
        return data_folder.read_case_text(record.document, record.reference, today=session.get_today())
    except InputError:
        return None


def _show_found(survey: Survey, practice: Practice) -> None:
    changed = len({reference for reference, _ in survey.found})
    stopped = " Stopped before the end." if survey.stopped else ""
    st.markdown(f"**{changed} of {survey.total} saved cases** would change.{stopped}")
    if survey.unread:
        names = ", ".join(survey.unread)
        st.markdown(f"Not read, open them on the Records page to see why: {show_plain(names)}.")
    if survey.found:
        rows = [{"Case": ref, **_make_row(change, practice.fees, jaw=True)} for ref, change in survey.found]
        show_table(pd.DataFrame(rows), _choose_formats(practice.fees))
