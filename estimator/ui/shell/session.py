"""What one browser tab holds: one frozen case, the draft it was read from, the practice, and the estimate made of them.

Nothing here is shared between tabs, and nothing of a patient is cached. The model, the pictures and the database are
loaded where they are first needed, so that the first page does not wait for them.
"""

from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

import streamlit as st

from estimator import files
from estimator.base.problems import InputError, Problem
from estimator.files.user import data_folder, fee_versions
from estimator.inputs.case.model import Case
from estimator.inputs.case.writer import Document, make_document
from estimator.inputs.practice_bundle import Practice
from estimator.ui.shell.navigation import find_pages_folder

if TYPE_CHECKING:
    from estimator.estimate.bands import CostSoFar
    from estimator.estimate.result import CaseEstimate
    from estimator.records.cases import CaseStore, SavedCase
    from estimator.records.quotes import QuoteStore

_TYPED = "typed"
DEFAULT_YEARS = 10


def get_today() -> date:
    """The day on the wall of this practice."""
    return date.today()  # noqa: DTZ011 - ages and dates on paper are counted in local days


def ask_start() -> date:
    """The day of the first visit, asked for here and kept in this tab; today until somebody says otherwise."""
    state = st.session_state
    known: date = state.get("start_day", get_today())
    asked = st.date_input("First visit", known, key="start_day_input", format="YYYY-MM-DD", width=200)
    state.start_day = asked if isinstance(asked, date) else known
    return asked if isinstance(asked, date) else known


def start_run() -> None:
    """Begin a run of any page: a tab that was loaded anew while something was unsaved says so."""
    state = st.session_state
    if "started" not in state:
        state.started = True
        state.lost = st.query_params.get(_TYPED) == "1"
    if state.lost:
        st.warning(
            "This page was loaded anew, and what was typed and not saved is gone. Saved cases are on the Records page.",
            icon=None,
        )


def finish_run() -> None:
    """End a run of any page: leave a mark in the address while something is unsaved."""
    if is_unsaved():
        st.query_params[_TYPED] = "1"
    elif _TYPED in st.query_params:
        del st.query_params[_TYPED]


def get_draft() -> Document | None:
    """The document that the Case page edits, complete or not; None before a case is begun."""
    return st.session_state.get("draft")


def get_generation() -> int:
    """Counts the cases opened in this tab; part of every widget key, so that a new case starts its widgets afresh."""
    return int(st.session_state.get("generation", 0))


def get_case() -> Case | None:
    """The case of this tab; None while there is none, or while its draft has problems."""
    return st.session_state.get("case")


def open_case(case: Case, *, record_id: str | None = None) -> None:
    """Put a whole case into this tab, in place of the one before."""
    state = st.session_state
    state.draft, state.case, state.problems = make_document(case), case, ()
    state.saved = case if record_id else None
    state.record_id = record_id
    state.generation = get_generation() + 1
    state.lost = False


def begin_case() -> None:
    """A new case to be filled in."""
    draft: Document = {"reference": "C-1", "jaws": [{"arch": "mandible", "implants": 2, "implants_present": False}]}
    open_case(files.parse_case(draft, "case", today=get_today()))


def put_draft(draft: Document) -> tuple[Problem, ...]:
    """Keep what was typed; the case is what can be read from it. Returns its problems."""
    state = st.session_state
    state.draft = draft
    try:
        state.case = files.parse_case(draft, "case", today=get_today())
        state.problems = ()
    except InputError as error:
        state.case, state.problems = None, error.problems
    return tuple(state.problems)


def is_unsaved() -> bool:
    """Whether the case of this tab differs from what was saved of it."""
    state = st.session_state
    if state.get("draft") is None:
        return False
    return state.get("case") is None or state.case != state.get("saved")


def get_practice() -> Practice:
    """The practice of this user, read once a tab; the demo practice where it has no fees of its own yet."""
    if "practice" not in st.session_state:
        st.session_state.fees_mark = fee_versions.take_mark()
        st.session_state.practice = data_folder.load_user_practice(today=get_today())
    practice: Practice = st.session_state.practice
    return practice


def get_fees_mark() -> str:
    """What the folder of fee schedules was like when this tab read it."""
    get_practice()
    return str(st.session_state.fees_mark)


def reload_practice() -> None:
    """Read the practice folder again after it changed."""
    st.session_state.pop("practice", None)


def try_to_keep(problems: str, keep: Callable[[], object]) -> bool:
    """Keep something in the practice folder and read it again; or else put aside, under that name, what is wrong."""
    try:
        keep()
    except InputError as error:
        st.session_state[problems] = error.problems
        return False
    reload_practice()
    return True


def get_estimate(years: int = DEFAULT_YEARS, values: Mapping[str, Decimal] | None = None) -> "CaseEstimate | None":
    """The estimate of this tab's case; each look ahead is made once, until case or practice change.

    `values` are other values for some figures, to see what they do; nothing of them is kept.
    """
    case = get_case()
    if case is None:
        return None
    state, practice = st.session_state, get_practice()
    made_of = state.get("made_of")
    if made_of is None or made_of[0] != case or made_of[1] is not practice:
        state.made_of, state.made = (case, practice), {}
    asked = (years, tuple(sorted((values or {}).items())))
    if asked not in state.made:
        from estimator.estimate.result import estimate_case

        used = practice.change_figures(values) if values else practice
        state.made = {key: made for key, made in state.made.items() if not (values and key[1])}
        state.made[asked] = estimate_case(case, used, years=years)
    made: CaseEstimate = state.made[asked]
    return made


def get_costs_so_far(estimate: "CaseEstimate", number: int) -> "tuple[CostSoFar, ...]":
    """Year by year for one jaw."""
    from estimator.estimate.bands import list_costs_so_far

    return list_costs_so_far(estimate, estimate.jaws[number])


def find_page(key: str) -> Path:
    """The script of a page, for links to it."""
    return find_pages_folder() / f"{key}.py"


def get_store() -> "CaseStore":
    """The saved cases of this user."""
    from estimator.records.cases import CaseStore

    return CaseStore(data_folder.find_records_url())


def get_quote_store() -> "QuoteStore":
    """The kept quotes and self-pay estimates of this user."""
    from estimator.records.quotes import QuoteStore

    return QuoteStore(data_folder.find_records_url())


def get_record_id() -> str | None:
    """The id under which this tab's case was saved; None where it never was."""
    return st.session_state.get("record_id")


def take_time() -> str:
    """Now, as it is kept beside a record: ISO 8601, UTC."""
    return datetime.now(UTC).isoformat(timespec="seconds")


def save_case() -> None:
    """Save this tab's case under its id."""
    case = get_case()
    if case is None:
        return
    from estimator.records.cases import make_case_id

    state = st.session_state
    state.record_id = state.get("record_id") or make_case_id()
    get_store().save(_make_record(case, state.record_id))
    state.saved = case


def _make_record(case: Case, case_id: str) -> "SavedCase":
    from estimator.records.cases import SavedCase

    jaws = " and ".join(f"{jaw.arch}, {jaw.implants} implants" for jaw in case.jaws)
    return SavedCase(
        id=case_id,
        reference=case.reference,
        patient=case.patient.name,
        summary=jaws,
        saved_at=take_time(),
        document=data_folder.write_case_text(case),
    )


def reopen_case(record: "SavedCase") -> None:
    """Open a saved case. Raises InputError if what was saved cannot be read any more."""
    open_case(data_folder.read_case_text(record.document, record.reference, today=get_today()), record_id=record.id)


def duplicate_case(record: "SavedCase") -> None:
    """Save a copy under a new id."""
    from estimator.records.cases import make_case_id

    case = data_folder.read_case_text(record.document, record.reference, today=get_today())
    get_store().save(_make_record(case, make_case_id()))


def delete_case(record: "SavedCase") -> None:
    """Delete a saved case; one that is open in this tab stays open, unsaved."""
    get_store().delete(record.id)
    if st.session_state.get("record_id") == record.id:
        st.session_state.record_id, st.session_state.saved = None, None
