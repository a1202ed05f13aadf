"""How often a plan pays, and what it has paid for already, as typed: rows that grow as they are filled in."""

from collections.abc import Callable, Mapping

import streamlit as st

from estimator.base.declared import Section
from estimator.base.problems import FieldPath
from estimator.inputs.case.writer import Document
from estimator.inputs.fees.schedule import FeeSchedule
from estimator.inputs.plans.declared import FREQUENCIES, PAST
from estimator.ui.shell.ask import ask_day
from estimator.ui.shell.parts.declared_widgets import ask_whole
from estimator.ui.shell.working_copy import get_note, hold, hold_one_of, hold_some_of, put_note

_OFTEN, _PAST = "often", "past"
_MOST_ROWS = 20
_TABLES: tuple[tuple[FieldPath, str, Section], ...] = (
    (("frequencies",), _OFTEN, FREQUENCIES),
    (("member", "past"), _PAST, PAST),
)


def edit_frequencies(fees: FeeSchedule, classes: Mapping[str, str], name: str) -> list[Document]:
    """So many times in so many months, for benefit classes (names by key), for lines, or for both."""

    def edit(number: int) -> Document:
        row, key = st.columns((1, 1, 2, 3), gap="medium"), f"{name}_{_OFTEN}_{number}"
        times, months = (
            ask_whole(column, FREQUENCIES.get_field(field), label=_name(number, field), **hold(f"{key}_{field}"))
            for column, field in zip(row, ("times", "months"), strict=False)
        )
        groups = row[2].multiselect(
            _name(number, "classes"), list(classes), **hold_some_of(f"{key}_classes", list(classes)),
            format_func=classes.__getitem__, placeholder="",
        )  # fmt: skip
        lines = row[3].multiselect(
            _name(number, "lines"), list(fees.lines), **hold_some_of(f"{key}_lines", list(fees.lines)),
            format_func=lambda line: fees.lines[line].label, placeholder="",
        )  # fmt: skip
        numbers = {"times": times, "months": months}
        document: Document = {field: count for field, count in numbers.items() if count is not None}
        return document | {field: keys for field, keys in (("classes", groups), ("lines", lines)) if keys}

    return _edit_rows(f"{name}_{_OFTEN}", edit)


def edit_past(fees: FeeSchedule, name: str) -> list[Document]:
    """Lines that the plan has paid for already, each with its day; the same line on two days in two rows."""

    def edit(number: int) -> Document:
        row, key = st.columns((3, 2, 2), gap="medium"), f"{name}_{_PAST}_{number}"
        lines = ["", *fees.lines]
        line = row[0].selectbox(
            _name(number, "line", PAST), lines, **hold_one_of(f"{key}_line", lines, ""),
            format_func=lambda chosen: fees.lines[chosen].label if chosen else "",
        )  # fmt: skip
        day = ask_day(row[1], _name(number, "on", PAST), f"{key}_day")
        return ({"line": line} if line else {}) | ({"on": day} if day is not None else {})

    return _edit_rows(f"{name}_{_PAST}", edit)


def _name(number: int, key: str, section: Section = FREQUENCIES) -> str:
    return f"{section.label} {number}: {section.get_field(key).label}"


def _edit_rows(topic: str, edit: Callable[[int], Document]) -> list[Document]:
    """The rows that hold something, and one empty row after the last of them; their numbers are kept for problems."""
    filled: dict[int, Document] = {}
    last: int = max(get_note(f"{topic}_rows") or (), default=0)
    number = 1
    while number <= min(last + 1, _MOST_ROWS):
        if document := edit(number):
            filled[number], last = document, max(last, number)
        number += 1
    put_note(f"{topic}_rows", list(filled) or None)
    return list(filled.values())


def label_rows(name: str) -> dict[FieldPath, str]:
    """What the form of that plan calls these tables and their fields, by their paths in the document."""
    labels: dict[FieldPath, str] = {}
    for path, topic, section in _TABLES:
        for number, shown in enumerate(get_note(f"{name}_{topic}_rows") or (), 1):
            labels[*path, number] = f"{section.label} {shown}"
            labels |= {(*path, number, field.key): _name(shown, field.key, section) for field in section.list_fields()}
    return labels
