"""The one memory of what is typed: a document on disk that widgets start from and write back to.

A working copy is the case file as it stands, complete or not, with two tables more: `proposal` for what is chosen for
this patient, and `typed` for what is half typed or belongs to one page only. Its opaque id stands in the address, so
that a reload, the way back, another tab or a server started again find it. Streamlit forgets a widget that is not
drawn; the widget starts from the document when it is drawn again.
"""

import copy
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from enum import Enum
from functools import partial
from typing import TYPE_CHECKING, Any

import streamlit as st

from estimator.inputs.case.writer import Document
from estimator.ui.shell.markup import to_decimal

if TYPE_CHECKING:
    from estimator.records.working import WorkingCopy

Place = tuple[str | int, ...]
"""Where a value stands in the document: ("case", "jaws", "mandible", "implants"); a jaw is found by its arch."""

_CLEARED = ""
"""What stands for a field that was emptied although it starts with something; TOML has no word for nothing."""


@dataclass(slots=True)
class OpenCopy:
    """The working copy of one tab. `version` and `on_disk` (text, saved case, unsaved or not) are as last written."""

    id: str
    document: Document
    started: str
    version: int = 0
    on_disk: tuple[str, str, bool] = ("", "", False)


@dataclass(slots=True)
class _HeldWidget:
    """Where a widget's value belongs, what it was when it was last looked at, and how it is written."""

    place: Place
    start: Any
    value: Any
    write: Callable[[Any], Any]


@dataclass(slots=True)
class Memory:
    """All that a tab remembers beside what is on disk."""

    copy: OpenCopy | None = None
    generation: int = 0
    address: str | None = None
    theirs: "WorkingCopy | None" = None
    held: dict[str, _HeldWidget] = field(default_factory=dict)
    swept: bool = False


def get_memory() -> Memory:
    """All that this tab remembers."""
    if "memory" not in st.session_state:
        st.session_state.memory = Memory()
    memory: Memory = st.session_state.memory
    return memory


def get_generation() -> int:
    """Counts the copies opened in this tab; part of every widget key, so that another one starts its widgets afresh."""
    return get_memory().generation


def get_id() -> str:
    """The id of this tab's copy, empty while no case is open."""
    opened = get_memory().copy
    return "" if opened is None else opened.id


def get_document() -> Document | None:
    """The document of this tab with its parts `case`, `proposal` and `typed`; None while no case is open."""
    opened = get_memory().copy
    return None if opened is None else opened.document


# What is typed


def hold(name: str, start: Any = None, *, place: Place | None = None) -> dict[str, Any]:
    """The arguments `key`, `on_change` and `args` of a widget that shows what is held in the document, else `start`.

    Without a `place` it is held among what is typed, under its name.
    """
    place = ("typed", name) if place is None else place
    return hold_as(name, _to_widget(_find(place), start), place, start=start)


def hold_as(
    name: str, value: Any, place: Place, *, start: Any = None, write: Callable[[Any], Any] | None = None
) -> dict[str, Any]:
    """The same for a widget that begins with `value`; `write` makes of what it holds what stands at the place."""
    state, memory, key = st.session_state, get_memory(), f"{name}_{get_generation()}"
    known = memory.held.get(key)
    if key in state:
        memory.held[key] = _HeldWidget(place, start, known.value if known else state[key], write or _to_plain)
        _take(key)
    else:
        state[key] = value
        memory.held[key] = _HeldWidget(place, start, copy.copy(value), write or _to_plain)
    return {"key": key, "on_change": _take, "args": (key,)}


def hold_one_of(name: str, options: Sequence[Any], start: Any, *, place: Place | None = None) -> dict[str, Any]:
    """The same for a choice; what is no longer offered gives way to `start`, and comes back when it is."""
    return offer_only(hold(name, start, place=place), options, start)


def offer_only(held: dict[str, Any], options: Sequence[Any], start: Any) -> dict[str, Any]:
    """The arguments of a widget for a choice, with `start` in place of what is not offered."""
    if st.session_state[held["key"]] not in options:
        _show(held["key"], start)
    return held


def hold_some_of(
    name: str, options: Sequence[Any], *, start: Sequence[Any] = (), place: Place | None = None
) -> dict[str, Any]:
    """The same for several choices; those that are no longer offered fall away."""
    held = hold(name, list(start), place=place)
    chosen = st.session_state[held["key"]]
    if any(one not in options for one in chosen):
        _show(held["key"], [one for one in chosen if one in options])
    return held


def hold_reported(name: str, told: str, write: Callable[[Any], None]) -> dict[str, Any]:
    """The arguments of a component of our own, which keeps what is typed and reports it under the name `told`."""
    key = f"{name}_{get_generation()}"
    return {"key": key, f"on_{told}_change": partial(_take_reported, key, told, write)}


def show_value(name: str, value: Any) -> None:
    """Choose something for a widget that is drawn after this, as if somebody had; it is written with the rest."""
    st.session_state[f"{name}_{get_generation()}"] = value


def _show(key: str, value: Any) -> None:
    """Show a value that nobody typed: it is not written."""
    st.session_state[key] = value
    get_memory().held[key].value = value


def get_note(name: str, start: Any = None) -> Any:
    """What is held under that name among what is typed; `start` if nothing."""
    return _to_widget(_find(("typed", name)), start)


def put_note(name: str, value: Any) -> None:
    """Hold something among what is typed, such as the text of a file that was opened; None takes it out."""
    put_value(("typed", name), value)


def get_value(place: Place) -> Any:
    """What stands at a place of the document; None where nothing does."""
    return _find(place)


def put_value(place: Place, value: Any) -> None:
    """The one function that writes into the document; None takes the value out. A place that is not there is let be."""
    node: Any = get_document()
    *way, last = place
    for part, following in zip(way, (*way[1:], last), strict=True):
        makes = isinstance(node, dict) and isinstance(following, str)
        node = node.setdefault(part, {}) if makes else _step(node, part)
    if not isinstance(node, dict):
        return
    if value is None:
        node.pop(last, None)
    else:
        node[last] = copy.deepcopy(value)


def _take(key: str) -> None:
    """Write what a widget holds, if it holds something else than before."""
    held = get_memory().held.get(key)
    if held is None or key not in st.session_state:
        return
    value = st.session_state[key]
    if value != held.value:
        held.value = copy.copy(value)
        plain = held.write(value)
        emptied = plain is None and held.start is not None and held.place[0] == "typed"
        put_value(held.place, _CLEARED if emptied else plain)


def _take_reported(key: str, told: str, write: Callable[[Any], None]) -> None:
    """Hand over what a component has reported."""
    value = (st.session_state.get(key) or {}).get(told)
    if value is not None:
        write(value)


def _find(place: Place) -> Any:
    node: Any = get_document()
    for part in place:
        node = _step(node, part)
    return node


def _step(node: Any, part: str | int) -> Any:
    if isinstance(node, Mapping):
        return node.get(part)
    if isinstance(node, list) and isinstance(part, int):
        return node[part] if part < len(node) else None
    if isinstance(node, list):
        return next((one for one in node if one.get("arch") == part), None)
    return None


def _to_widget(value: Any, start: Any) -> Any:
    if value is None:
        return start
    if value == _CLEARED and not isinstance(start, str):
        return None
    if isinstance(value, Decimal):
        return float(value)
    return list(value) if isinstance(value, list) else value


def _to_plain(value: Any) -> Any:
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, float):
        return to_decimal(value)
    return list(value) if isinstance(value, tuple | list) else value
