"""How a quote may be paid, as typed on the Quote page: discounts, and up to four ways; it gives a document back."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any
from zlib import crc32

import streamlit as st

from estimator import files
from estimator.base.days import add_months
from estimator.base.problems import FieldPath, Problem
from estimator.inputs.case.writer import Document
from estimator.inputs.payment.model import Interval
from estimator.ui.quote.unfinished import note_unfinished
from estimator.ui.shell.markup import say_word, show_plain, to_decimal, to_float
from estimator.ui.shell.working_copy import (
    get_generation,
    get_value,
    has_notes,
    hold,
    hold_one_of,
    put_value,
)

if TYPE_CHECKING:
    import pandas as pd

_ADJUSTMENTS, _WAYS = ("proposal", "adjustments"), ("proposal", "ways")
_KINDS = ("in_full", "milestones", "instalments", "lender")
_NAMES = files.load_payment_ways()

_LABELS = {
    "percent": "percent",
    "amount": "amount",
    "reason": "reason, which is printed",
    "lines": "of one line only",
    "discount_percent": "less for paying all at the start, percent",
    "stages": "percent of each part",
    "deposit_percent": "deposit, percent",
    "number": "instalments",
    "rate_percent": "interest a year, percent",
    "set_up_fee": "set-up fee",
    "first": "first on",
    "text": "what is said of the lender",
}


def edit_terms(pay_at: tuple[str, ...], today: date, lines: Mapping[str, str], every: Mapping[str, str]) -> Document:
    """Everything that counts; it starts with the practice's own milestones, in equal parts.

    `lines` are names by key of the lines of this quote, `every` those of all lines that a quote may have.
    """
    st.subheader("Discounts", anchor=False)
    document: Document = {"adjustments": _edit_adjustments(lines, every)}
    st.subheader("Ways to pay", anchor=False)
    return document | {"ways": _edit_ways(pay_at, today)}


def _edit_ways(pay_at: tuple[str, ...], today: date) -> list[Document]:
    """The ways that are ticked; what was typed of another one is there when it is ticked again."""
    known = get_value(_WAYS)
    ways = {way["kind"]: way for way in known or []}
    usual = ("milestones" if pay_at else "in_full",) if known is None else tuple(ways)
    boxes = st.columns(len(_KINDS), gap="medium")
    kinds = [
        kind
        for box, kind in zip(boxes, _KINDS, strict=True)
        if box.checkbox(_NAMES[kind].capitalize(), **hold(f"pay_way_{kind}", kind in usual))
    ]
    edited = [
        {"key": kind, "kind": kind, "label": _NAMES[kind]} | _edit_way(kind, ways.get(kind), pay_at, today)
        for kind in kinds
    ]
    if known is not None or has_notes("pay_"):
        put_value(_WAYS, edited)
    return edited


def _edit_way(kind: str, known: Document | None, pay_at: tuple[str, ...], today: date) -> Document:
    if kind == "milestones":
        return {"stages": _edit_stages(known or {}, pay_at)}
    if kind == "instalments":
        return _edit_instalments(known, today)
    return _edit_in_full(known or {}) if kind == "in_full" else _edit_lender(known or {})


def _edit_adjustments(lines: Mapping[str, str], every: Mapping[str, str]) -> list[Document]:
    """One row a discount, with a percentage or an amount, of all or of one line; an increase has no place here.

    Gives those that count. All stay in the document: half typed, or of a line that only another option has.
    """
    names = _name_known(every)
    rows = [read_row(row, lines, names) for row in _show_grid(lines, names).to_dict("records")]
    typed = [row for row in rows if row]
    if typed != (get_value(_ADJUSTMENTS) or []):
        put_value(_ADJUSTMENTS, typed or None)
    for row in typed:
        if not has_size(row):  # half typed: what stands below must not vanish meanwhile
            st.markdown(f"Not counted yet, without a percent or an amount\\: {show_plain(row['reason'])}.")
            path = (f"Discount {row['reason']}",)
            note_unfinished([Problem(file="ways to pay", path=path, code="half_typed.discount")])
        elif not is_of_quote(row, lines):
            line = show_plain(every.get(row["lines"][0], row["lines"][0]))
            st.markdown(f"Not counted here, because this option has no line {line}\\: {show_plain(row['reason'])}.")
    return [row for row in typed if has_size(row) and is_of_quote(row, lines)]


def _name_known(every: Mapping[str, str]) -> dict[str, str]:
    """Names by key of the lines that discounts of the document are of, whichever option has them."""
    known: list[Document] = get_value(_ADJUSTMENTS) or []
    return {key: every.get(key, key) for row in known for key in row.get("lines", [])}


def _show_grid(lines: Mapping[str, str], known_lines: Mapping[str, str]) -> "pd.DataFrame":
    """A grid cannot be filled by state: it starts from the document, and is another one where the lines are others."""
    import pandas as pd

    known: list[Document] = get_value(_ADJUSTMENTS) or []
    names = {**known_lines, **lines}
    state, mark = st.session_state, crc32("|".join((*lines, *lines.values())).encode())
    name = f"pay_discounts_{mark}_{get_generation()}"
    if name not in state:
        columns = {"reason": "str", "percent": "float64", "amount": "float64", "line": "str"}
        empty = pd.DataFrame({column: pd.Series(dtype=kind) for column, kind in columns.items()})
        rows = pd.DataFrame([_make_row(row, names) for row in known], columns=list(columns))
        state.discounts_base = rows.astype({"percent": "float64", "amount": "float64"}) if known else empty
        state.discounts_lines = list(dict.fromkeys(names.values()))
    table: pd.DataFrame = st.data_editor(
        state.discounts_base,
        key=name,
        num_rows="dynamic",
        hide_index=True,
        placeholder="",
        column_config={
            "reason": st.column_config.TextColumn("Reason, which is printed", width="large"),
            "percent": st.column_config.NumberColumn("Percent", format="%.2f"),
            "amount": st.column_config.NumberColumn("or amount", format="%.2f"),
            "line": st.column_config.SelectboxColumn("Of one line only", options=state.discounts_lines, width="medium"),
        },
    )
    return table


def _make_row(row: Document, names: Mapping[str, str]) -> dict[str, str | float | None]:
    of = next(iter(row.get("lines", [])), None)
    return {
        "reason": row["reason"],
        "percent": to_float(row.get("percent")),
        "amount": to_float(row.get("amount")),
        "line": names.get(of) if of else None,
    }


def read_row(row: Mapping[Any, Any], lines: Mapping[str, str], known_lines: Mapping[str, str]) -> Document:
    """A row of the grid as an adjustment, half typed or not; empty for a row in which nothing is typed.

    A name is that of a line of this quote first, else of a line that the document knows of another option.
    """
    numbers = {name: to_decimal(row[name]) for name in ("percent", "amount")}
    known: Document = {name: number for name, number in numbers.items() if number is not None}
    reason = row["reason"] if isinstance(row["reason"], str) else ""
    of = find_line(row["line"], lines if row["line"] in lines.values() else known_lines)
    return {"reason": reason, **known, **of} if reason or known else {}


def has_size(row: Document) -> bool:
    """Whether an adjustment says how much it is."""
    return "percent" in row or "amount" in row


def is_of_quote(row: Document, lines: Mapping[str, str]) -> bool:
    """Whether an adjustment is of the whole quote or of a line that the quote has."""
    return all(key in lines for key in row.get("lines", []))


def find_line(name: object, lines: Mapping[str, str]) -> Document:
    """The line a discount is of, by its name; one that nobody knows stays named, and is not forgotten."""
    if not isinstance(name, str) or not name:
        return {}
    found = [key for key, label in lines.items() if label == name]
    return {"lines": [found[-1] if found else name], "spread": "lines"}


def _edit_in_full(known: Document) -> Document:
    held = hold("pay_full", float(known.get("discount_percent", 0)))
    percent = st.number_input("Less for paying all at the start, percent", 0.0, 100.0, step=1.0, **held)
    return {"discount_percent": to_decimal(percent)} if percent else {}


def _edit_stages(known: Document, pay_at: tuple[str, ...]) -> list[Document]:
    """Shares of the milestones; the last one takes what is left of 100."""
    names = pay_at or ("at the start", "at the end")
    columns = st.columns(len(names), gap="medium")
    told = {stage["what"]: float(stage["percent"]) for stage in known.get("stages", [])}
    shares = []
    for index, name in enumerate(names[:-1]):
        held = hold(f"pay_stage_{index}", told.get(name, float(100 // len(names))))
        share = columns[index].number_input(f"{say_word(name).capitalize()}, percent", 0.0, 100.0, step=5.0, **held)
        shares.append(to_decimal(share) or Decimal(0))
    last = Decimal(100) - sum(shares, Decimal(0))
    columns[-1].metric(f"{names[-1].capitalize()}, percent", f"{last.normalize():f}")
    return [{"what": name, "percent": share} for name, share in zip(names, (*shares, last), strict=True)]


def _edit_instalments(known: Document | None, today: date) -> Document:
    way: Document = {"deposit_percent": 20} if known is None else known
    row = st.columns(6, gap="medium", vertical_alignment="bottom")
    held = hold("pay_deposit", float(way.get("deposit_percent", 0)))
    deposit = row[0].number_input("Deposit, percent", 0.0, 100.0, step=5.0, **held)
    number = row[1].number_input("Instalments", 1, 120, step=1, **hold("pay_number", int(way.get("number", 12))))
    intervals = [interval.value for interval in Interval]
    held = hold_one_of("pay_interval", intervals, str(way.get("interval", Interval.MONTH.value)))
    interval = row[2].selectbox("Every", intervals, format_func=say_word, **held)
    held = hold("pay_rate", float(way.get("rate_percent", 0)))
    rate = row[3].number_input("Interest a year, percent", 0.0, 100.0, step=1.0, **held)
    fee = row[4].number_input("Set-up fee", 0.0, None, step=10.0, **hold("pay_fee", float(way.get("set_up_fee", 0))))
    # Said once, on the day it is chosen: it must not move on with the calendar.
    held = hold("pay_first", way.get("first", add_months(today, 1)))
    first = row[5].date_input("First on", format="YYYY-MM-DD", **held)
    document: Document = {"number": int(number), "interval": interval, "first": first}
    document |= {"deposit_percent": to_decimal(deposit)} if deposit else {}
    document |= {"rate_percent": to_decimal(rate)} if rate else {}
    return document | ({"set_up_fee": to_decimal(fee)} if fee else {})


def _edit_lender(known: Document) -> Document:
    usual = "Terms are the lender's own; ask us for the forms."
    return {"text": st.text_input("What is said of the lender", **hold("pay_lender", known.get("text", usual)))}


def label_payment_fields(document: Document) -> dict[FieldPath, str]:
    """What the form calls the fields of that document, by their paths; ways also by their keys, as a quote does."""
    labels: dict[FieldPath, str] = {}
    for number, row in enumerate(document["adjustments"], 1):
        labels |= _label_fields(f"Discount {row['reason']}".strip(), ("adjustments", number))
    for number, way in enumerate(document["ways"], 1):
        name = way["label"].capitalize()
        labels |= _label_fields(name, ("ways", number)) | _label_fields(name, (way["key"],))
    return labels


def _label_fields(name: str, path: FieldPath) -> dict[FieldPath, str]:
    return {(*path, field): f"{name}: {label}" for field, label in _LABELS.items()}
