"""How a quote may be paid, as typed on the Quote page: discounts, and up to four ways; it gives a document back."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal

import streamlit as st

from estimator import files
from estimator.base.days import add_months
from estimator.base.problems import FieldPath, Problem
from estimator.inputs.case.writer import Document
from estimator.inputs.payment.model import Interval
from estimator.ui.quote.unfinished import note_unfinished
from estimator.ui.shell.markup import say_word, show_plain, to_decimal

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


def edit_terms(pay_at: tuple[str, ...], today: date, key: str, lines: Mapping[str, str]) -> Document:
    """Everything typed; it starts with the practice's own milestones, in equal parts. `lines` are names by key."""
    st.subheader("Discounts", anchor=False)
    document: Document = {"adjustments": _edit_adjustments(key, lines)}
    st.subheader("Ways to pay", anchor=False)
    usual = "milestones" if pay_at else "in_full"
    boxes = st.columns(len(_KINDS), gap="medium")
    kinds = [
        kind
        for box, kind in zip(boxes, _KINDS, strict=True)
        if box.checkbox(_NAMES[kind].capitalize(), kind == usual, key=f"{key}_way_{kind}")
    ]
    editors = {"in_full": _edit_in_full, "instalments": _edit_instalments, "lender": _edit_lender}
    ways = []
    for kind in kinds:
        way: Document = {"key": kind, "kind": kind, "label": _NAMES[kind]}
        if kind == "milestones":
            way |= {"stages": _edit_stages(pay_at, key)}
        elif kind == "instalments":
            way |= _edit_instalments(today, key)
        else:
            way |= editors[kind](key)  # type: ignore[operator]
        ways.append(way)
    return document | {"ways": ways}


def _edit_adjustments(key: str, lines: Mapping[str, str]) -> list[Document]:
    """One row a discount, with a percentage or an amount, of all or of one line; an increase has no place here."""
    import pandas as pd

    empty = pd.DataFrame({"reason": pd.Series(dtype="str"), "percent": pd.Series(dtype="float64"),
                          "amount": pd.Series(dtype="float64"), "line": pd.Series(dtype="str")})  # fmt: skip
    state, name = st.session_state, f"{key}_discounts"
    if name not in state:
        # The table is drawn anew, after a look elsewhere: it starts from what was in it then.
        state.discounts_base = state.get("discounts_typed", {}).get(key, empty)
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
            "line": st.column_config.SelectboxColumn("Of one line only", options=list(lines.values()), width="medium"),
        },
    )
    state.discounts_typed = {key: table.reset_index(drop=True)}
    rows = []
    for row in table.to_dict("records"):
        numbers = {name: to_decimal(row[name]) for name in ("percent", "amount")}
        known = {name: number for name, number in numbers.items() if number is not None}
        if known:
            rows.append({"reason": row["reason"] or "", **known, **find_line(row["line"], lines)})
        elif row["reason"]:  # half typed: what stands below must not vanish meanwhile
            st.markdown(f"Not counted yet, without a percent or an amount\\: {show_plain(row['reason'])}.")
            path = (f"Discount {row['reason']}",)
            note_unfinished([Problem(file="ways to pay", path=path, code="half_typed.discount")])
    return rows


def find_line(name: object, lines: Mapping[str, str]) -> Document:
    """The line a discount is of; one that has left the quote stays named, to be blamed and not forgotten."""
    if not isinstance(name, str) or not name:
        return {}
    return {"lines": [next((key for key, label in lines.items() if label == name), name)], "spread": "lines"}


def _edit_in_full(key: str) -> Document:
    percent = st.number_input("Less for paying all at the start, percent", 0.0, 100.0, 0.0, 1.0, key=f"{key}_full")
    return {"discount_percent": to_decimal(percent)} if percent else {}


def _edit_stages(pay_at: tuple[str, ...], key: str) -> list[Document]:
    """Shares of the milestones; the last one takes what is left of 100."""
    names = pay_at or ("at the start", "at the end")
    columns = st.columns(len(names), gap="medium")
    equal = Decimal(100 // len(names))
    shares = []
    for index, name in enumerate(names[:-1]):
        share = columns[index].number_input(
            f"{say_word(name).capitalize()}, percent", 0.0, 100.0, float(equal), 5.0, key=f"{key}_stage_{index}"
        )
        shares.append(to_decimal(share) or Decimal(0))
    last = Decimal(100) - sum(shares, Decimal(0))
    columns[-1].metric(f"{names[-1].capitalize()}, percent", f"{last.normalize():f}")
    return [{"what": name, "percent": share} for name, share in zip(names, (*shares, last), strict=True)]


def _edit_instalments(today: date, key: str) -> Document:
    row = st.columns(6, gap="medium", vertical_alignment="bottom")
    deposit = row[0].number_input("Deposit, percent", 0.0, 100.0, 20.0, 5.0, key=f"{key}_deposit")
    number = row[1].number_input("Instalments", 1, 120, 12, 1, key=f"{key}_number")
    intervals = list(Interval)
    interval = row[2].selectbox(
        "Every", intervals, intervals.index(Interval.MONTH), key=f"{key}_interval", format_func=say_word
    )
    rate = row[3].number_input("Interest a year, percent", 0.0, 100.0, 0.0, 1.0, key=f"{key}_rate")
    fee = row[4].number_input("Set-up fee", 0.0, None, 0.0, 10.0, key=f"{key}_fee")
    first = row[5].date_input("First on", add_months(today, 1), key=f"{key}_first", format="YYYY-MM-DD")
    document: Document = {"number": int(number), "interval": interval.value, "first": first}
    document |= {"deposit_percent": to_decimal(deposit)} if deposit else {}
    document |= {"rate_percent": to_decimal(rate)} if rate else {}
    return document | ({"set_up_fee": to_decimal(fee)} if fee else {})


def _edit_lender(key: str) -> Document:
    text = st.text_input(
        "What is said of the lender", "Terms are the lender's own; ask us for the forms.", key=f"{key}_lender"
    )
    return {"text": text}


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
