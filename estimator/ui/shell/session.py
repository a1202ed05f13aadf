"""What one browser tab holds: one frozen case, the working copy it is read from, the practice, and the estimate.

Nothing here is shared between tabs, and nothing of a patient is cached. The model, the pictures and the database are
loaded where they are first needed, so that the first page does not wait for them.
"""

import copy
from collections.abc import Callable, Mapping
from datetime import date
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
from estimator.records.errors import RecordsError
from estimator.ui.shell import copy_on_disk, working_copy
from estimator.ui.shell.copy_on_disk import take_time
from estimator.ui.shell.navigation import find_pages_folder
from estimator.ui.shell.working_copy import get_generation

if TYPE_CHECKING:
    from estimator.estimate.result import CaseEstimate
    from estimator.records.cases import CaseStore, SavedCase
    from estimator.records.quotes import QuoteStore
    from estimator.records.working import WorkingCopy

__all__ = ["get_generation", "take_time"]

DEFAULT_YEARS = 10


def get_today() -> date:
    """The day on the wall of this practice."""
    return date.today()  # noqa: DTZ011 - ages and dates on paper are counted in local days


# The case of this tab


def get_draft() -> Document | None:
    """The document that the Case page edits, complete or not; None before a case is begun."""
    document = working_copy.get_document()
    return None if document is None else document["case"]


def get_case() -> Case | None:
    """The case of this tab; None while there is none, or while its draft has problems."""
    return st.session_state.get("case")


def put_draft(draft: Document) -> tuple[Problem, ...]:
    """Keep what was typed; the case is what can be read from it. Returns its problems.

    A draft that says the same in another way is not kept: nothing was typed.
    """
    state, document = st.session_state, working_copy.get_document()
    if document is None:
        return ()
    if not _says_the_same(draft, document["case"]):
        document["case"] = draft
    state.read_from = copy.deepcopy(document["case"])
    try:
        state.case = files.parse_case(draft, "case", today=get_today())
        state.problems = ()
    except InputError as error:
        state.case, state.problems = None, error.problems
    return tuple(state.problems)


def _says_the_same(draft: Document, before: Document) -> bool:
    """Whether both are the same case with the same fields of its sites left empty."""
    if draft == before:
        return True
    try:
        one, other = (files.parse_case(document, "case", today=get_today()) for document in (draft, before))
    except InputError:
        return False
    return one == other and _list_filled(draft) == _list_filled(before)


def _list_filled(draft: Document) -> list[list[set[str]]]:
    return [[set(site) for site in jaw.get("sites", [])] for jaw in draft["jaws"]]


def open_case(case: Case, *, document: Document | None = None) -> None:
    """Put a whole case into this tab, in a working copy of its own; `document` is what it was read from, if known.

    What this tab had before stays on disk as it was.
    """
    parts = copy_on_disk.split_document(document or make_document(case))
    copy_on_disk.begin_copy(parts["case"], parts)
    read_copy(None)


def take_up(found: "WorkingCopy") -> None:
    """Go on with a working copy where it was left."""
    copy_on_disk.take_up_copy(found)
    read_copy(found.case_id or None)


def use_mine(copy_id: str) -> None:
    """Put what was put aside when another tab wrote in place of theirs, as a change of its own. Raises RecordsError."""
    found = copy_on_disk.open_working_store().find(copy_id)
    if found is not None:
        copy_on_disk.use_instead(found)
        read_copy(get_record_id())


def read_copy(record_id: str | None) -> None:
    """The case of the copy that was just put into this tab, and the saved case it belongs to."""
    state, draft = st.session_state, get_draft()
    state.saved, state.saved_beside, state.record_id, state.saved_text = None, None, None, None
    if record_id is not None:
        _read_saved(record_id)
    if draft is not None:
        put_draft(draft)


def _read_saved(record_id: str) -> None:
    """What is saved of the open case; one that was deleted or cannot be read is not saved any more."""
    try:
        record = get_store().get(record_id)
        document = files.parse_toml(record.document, record.reference)
        case = files.parse_case(copy_on_disk.split_document(document)["case"], record.reference, today=get_today())
    except (KeyError, InputError):
        return
    _note_saved(record, case, document)


def _note_saved(record: "SavedCase", case: Case, document: Document) -> None:
    state, parts = st.session_state, copy_on_disk.split_document(document)
    state.record_id, state.saved, state.saved_text = record.id, case, record.document
    state.saved_beside = (parts["proposal"], parts["typed"])


def is_unsaved() -> bool:
    """Whether the case of this tab, or what was chosen and typed for it, differs from what was saved of it."""
    state, document = st.session_state, working_copy.get_document()
    if document is None:
        return False
    beside = (document["proposal"], document["typed"])
    return state.get("case") is None or state.case != state.get("saved") or beside != state.get("saved_beside")


def has_work() -> bool:
    """Whether something was typed that would be missed: it is not saved, and it is not just as it was begun."""
    return is_unsaved() and copy_on_disk.is_touched()


def get_years() -> int:
    """How far ahead is looked, the same on every page."""
    return int(working_copy.get_value(("proposal", "years")) or DEFAULT_YEARS)


# The practice and the estimate


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


def get_estimate(values: Mapping[str, Decimal] | None = None) -> "CaseEstimate | None":
    """The estimate of this tab's case over its years; each look ahead is made once, until case or practice change.

    `values` are other values for some figures, to see what they do; nothing of them is kept.
    """
    case = get_case()
    if case is None:
        return None
    state, practice = st.session_state, get_practice()
    made_of = state.get("made_of")
    if made_of is None or made_of[0] != case or made_of[1] is not practice:
        state.made_of, state.made = (case, practice), {}
    asked = (get_years(), tuple(sorted((values or {}).items())))
    if asked not in state.made:
        from estimator.estimate.result import estimate_case

        used = practice.change_figures(values) if values else practice
        state.made = {key: made for key, made in state.made.items() if not (values and key[1])}
        state.made[asked] = estimate_case(case, used, years=get_years())
    made: CaseEstimate = state.made[asked]
    return made


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


def find_saved() -> "SavedCase | None":
    """The case of this tab as it is saved now, perhaps by another tab; None where it is not, or cannot be reached."""
    try:
        return get_store().get(get_record_id() or "")
    except (KeyError, RecordsError):
        return None


def save_case(*, apart: bool = False) -> None:
    """Save this tab's case under its id with what was chosen for it; `apart` as a case of its own, beside the other.

    Raises TakenError where another tab saved or deleted it meanwhile, RecordsError where nothing can be written.
    """
    case, document = get_case(), working_copy.get_document()
    if case is None or document is None:
        return
    from estimator.records.cases import make_case_id

    state = st.session_state
    known = None if apart else state.get("record_id")
    record = _make_record(case, known or make_case_id(), copy_on_disk.write_document(document))
    get_store().save(record, seen=state.get("saved_text") if known else None)
    _note_saved(
        record, case, copy.deepcopy(document["case"] | {part: document[part] for part in ("proposal", "typed")})
    )


def _make_record(case: Case, case_id: str, text: str) -> "SavedCase":
    from estimator.records.cases import SavedCase

    jaws = " and ".join(f"{jaw.arch}, {jaw.implants or 'no'} implants" for jaw in case.jaws)
    return SavedCase(
        id=case_id,
        reference=case.reference,
        patient=case.patient.name,
        summary=jaws,
        saved_at=take_time(),
        document=text,
    )


def reopen_case(record: "SavedCase") -> None:
    """Open a saved case with what was chosen for it. Raises InputError if what was saved cannot be read any more."""
    document = files.parse_toml(record.document, record.reference)
    case = files.parse_case(copy_on_disk.split_document(document)["case"], record.reference, today=get_today())
    open_case(case, document=document)
    _note_saved(record, case, document)


def duplicate_case(record: "SavedCase") -> None:
    """Save a copy under a new id."""
    from estimator.records.cases import make_case_id

    case = data_folder.read_case_text(record.document, record.reference, today=get_today())
    get_store().save(_make_record(case, make_case_id(), record.document))


def delete_case(record: "SavedCase") -> None:
    """Delete a saved case; one that is open in this tab stays open, unsaved."""
    get_store().delete(record.id)
    if st.session_state.get("record_id") == record.id:
        read_copy(None)
