"""The working copy on disk: begun, taken up, written at the end of each run, followed by the address, swept.

Nothing is written over: each copy has a version, and where another tab has written meanwhile both are kept.
"""

import copy
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

import streamlit as st
import tomli_w

from estimator.files.reading import parse_toml
from estimator.files.user import data_folder
from estimator.inputs.case.writer import Document
from estimator.records.errors import TakenError
from estimator.ui.shell.working_copy import OpenCopy, get_memory

if TYPE_CHECKING:
    from estimator.records.working import WorkingCopy, WorkingStore

_ADDRESS = "d"
_PARTS = data_folder.BESIDE_THE_CASE


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """Another tab has written the same copy: where it differs, theirs and mine; and where mine is put aside."""

    differences: tuple[tuple[str, str, str], ...]
    aside: str = ""


def is_touched() -> bool:
    """Whether anything of the copy was changed since it was begun."""
    opened = get_memory().copy
    if opened is None or not opened.version:
        return False
    return opened.version > 1 or write_document(opened.document) != opened.on_disk[0]


def begin_copy(case: Document, offered: Document | None = None) -> None:
    """A copy of its own for a case that is begun or opened; it is on disk when the run ends."""
    from estimator.records.working import make_copy_id

    document = {"case": copy.deepcopy(case), **{part: copy.deepcopy((offered or {}).get(part, {})) for part in _PARTS}}
    _put_copy(OpenCopy(id=make_copy_id(), document=document, started=take_time()))


def take_up_copy(found: "WorkingCopy") -> None:
    """Put a copy from disk into this tab."""
    _put_copy(
        OpenCopy(
            id=found.id, document=split_document(parse_toml(found.document, "working copy")), started=found.started,
            version=found.version, on_disk=(found.document, found.case_id, found.unsaved),
        )
    )  # fmt: skip


def _put_copy(opened: OpenCopy | None) -> None:
    memory = get_memory()
    memory.copy, memory.generation, memory.held, memory.theirs = opened, memory.generation + 1, {}, None


def split_document(document: Document) -> Document:
    """A document as it is written, in its parts."""
    return {
        "case": {name: value for name, value in document.items() if name not in _PARTS},
        **{part: document.get(part, {}) for part in _PARTS},
    }


def write_document(document: Document) -> str:
    """A document of parts as it is written: the case file, with what is chosen and typed behind it."""
    parts = {part: document[part] for part in _PARTS if document[part]}
    return tomli_w.dumps({**document["case"], **parts})


def name_copy(found: "WorkingCopy") -> tuple[str, str]:
    """Reference and patient's name of a copy, as far as they are typed."""
    document = parse_toml(found.document, "working copy")
    return str(document.get("reference", "")) or "no reference yet", str(document.get("patient", {}).get("name", ""))


def take_time() -> str:
    """Now, as it is kept beside a record: ISO 8601, UTC."""
    return datetime.now(UTC).isoformat(timespec="seconds")


def open_working_store() -> "WorkingStore":
    """The working copies of this user; opened once, because that takes time. Raises RecordsError."""
    return _open_store(data_folder.find_records_url())


@st.cache_resource(show_spinner=False)
def _open_store(url: str) -> "WorkingStore":
    from estimator.records.working import WorkingStore

    return WorkingStore(url)


def follow_address() -> "WorkingCopy | None":
    """The copy that the address asks for, if it is another one than this tab has.

    The one writer of the address. It must run before the navigation: an id that is put back after a page link has
    taken it out makes no entry of its own for the way back then.
    """
    memory = get_memory()
    asked = st.query_params.get(_ADDRESS)
    found = _find_asked(asked) if asked not in (None, memory.address) else None
    wanted = found.id if found else memory.copy.id if memory.copy else None
    if wanted is None and asked is not None:
        del st.query_params[_ADDRESS]
    elif wanted is not None and asked != wanted:
        st.query_params[_ADDRESS] = wanted
    memory.address = wanted
    return found


def _find_asked(asked: str | None) -> "WorkingCopy | None":
    from estimator.records.working import is_copy_id

    opened = get_memory().copy
    if not is_copy_id(asked) or (opened is not None and opened.id == asked):
        return None
    return open_working_store().find(str(asked))


def look_on_disk() -> None:
    """Read what is on disk now, once a run, so that a change by another tab is seen."""
    memory = get_memory()
    memory.theirs = open_working_store().find(memory.copy.id) if memory.copy and memory.copy.version else None


def write_copy(*, case_id: str, unsaved: bool) -> Meeting | None:
    """Write the copy if it has changed; nothing is written over.

    Where another tab has written meanwhile, theirs is put into this tab, mine is put aside as a copy of its own, and
    what differs is returned. Raises RecordsError.
    """
    memory = get_memory()
    opened = memory.copy
    if opened is None:
        return None
    made = (write_document(opened.document), case_id, unsaved)
    if made == opened.on_disk:
        theirs = memory.theirs
        return _meet(theirs) if theirs is not None and theirs.version > opened.version else None
    return _write(opened, made)


def _write(opened: OpenCopy, made: tuple[str, str, bool]) -> Meeting | None:
    from estimator.records.working import WorkingCopy, make_copy_id

    store, (text, case_id, unsaved) = open_working_store(), made
    written = WorkingCopy(
        id=opened.id, case_id=case_id, started=opened.started, changed=take_time(), version=opened.version + 1,
        unsaved=unsaved, document=text,
    )  # fmt: skip
    try:
        if opened.version:
            store.change(written, seen=opened.version)
        else:
            store.begin(written)
    except TakenError:
        theirs = store.find(opened.id)
        if theirs is not None:
            mine = replace(written, id=make_copy_id(), version=1, unsaved=True)
            store.begin(mine)
            return _meet(theirs, mine)
        store.begin(written)  # it was taken out meanwhile; what is typed stays
    opened.version, opened.on_disk = written.version, made
    return None


def _meet(theirs: "WorkingCopy", mine: "WorkingCopy | None" = None) -> Meeting:
    opened = get_memory().copy
    before = mine.document if mine else opened.on_disk[0] if opened else ""
    take_up_copy(theirs)
    return Meeting(differences=list_differences(theirs.document, before), aside=mine.id if mine else "")


def sweep_copies(days: int) -> None:
    """Take out the copies that nobody has changed for so many days; once a tab. Raises RecordsError."""
    memory = get_memory()
    if not memory.swept:
        memory.swept = True
        open_working_store().sweep((datetime.now(UTC) - timedelta(days=days)).isoformat(timespec="seconds"))


def use_instead(mine: "WorkingCopy") -> None:
    """Put what was put aside in place of what this tab has, as a change of its own, and take it out there."""
    opened = get_memory().copy
    if opened is not None:
        document = split_document(parse_toml(mine.document, "working copy"))
        _put_copy(replace(opened, document=document))
        open_working_store().delete(mine.id)


def list_differences(theirs: str, mine: str) -> tuple[tuple[str, str, str], ...]:
    """Field by field where two documents differ: its place, theirs, mine; empty where one has nothing."""
    one, other = (dict(_list_leaves(parse_toml(text, "working copy"), "")) for text in (theirs, mine))
    places = [*one, *(place for place in other if place not in one)]
    return tuple(
        (place, one.get(place, ""), other.get(place, "")) for place in places if one.get(place) != other.get(place)
    )


def _list_leaves(node: Any, place: str) -> list[tuple[str, str]]:
    if isinstance(node, Mapping):
        return [leaf for name, value in node.items() for leaf in _list_leaves(value, f"{place}.{name}".lstrip("."))]
    if isinstance(node, list):
        return [leaf for n, value in enumerate(node, 1) for leaf in _list_leaves(value, f"{place}[{n}]")]
    return [(place, str(node))]
