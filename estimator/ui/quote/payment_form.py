"""How a quote may be paid, as typed on the Quote page: discounts and ways, written into what is offered.

What the form has no field for, such as a deposit of parts or a second way of one kind, stays as it stands.
"""

from collections.abc import Container, Mapping
from decimal import Decimal
from typing import TYPE_CHECKING, Any
from zlib import crc32

import streamlit as st

from estimator import files
from estimator.base.days import add_months
from estimator.base.problems import FieldPath, Problem
from estimator.inputs.case.writer import Document
from estimator.inputs.payment.model import WAY_KINDS, Interval, Way
from estimator.inputs.payment.writer import make_terms_document
from estimator.proposal.document import OFFER
from estimator.ui.quote.unfinished import note_unfinished
from estimator.ui.shell import session
from estimator.ui.shell.markup import say_word, show_plain, to_decimal, to_float
from estimator.ui.shell.offer import list_counted
from estimator.ui.shell.working_copy import get_generation, get_value, hold, hold_one_of, put_value

if TYPE_CHECKING:
    import pandas as pd

_ADJUSTMENTS, _WAYS = (OFFER, "adjustments"), (OFFER, "ways")
_KINDS = tuple(WAY_KINDS)
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


def edit_terms(
    usual: tuple[Way, ...], pay_at: tuple[str, ...], lines: Mapping[str, str], every: Mapping[str, str]
) -> Document:
    """Write what is typed into the proposal; until the ways are changed they are the `usual` ones of the practice.

    `lines` are names by key of the lines of this quote, `every` those of all lines that a quote may have. Gives the
    discounts that count and the ways, as they stand.
    """
    st.subheader("Discounts", anchor=False)
    document: Document = {"adjustments": _edit_adjustments(lines, every)}
    st.subheader("Ways to pay", anchor=False)
    known: list[Document] | None = get_value(_WAYS)
    stood = make_terms_document((), usual)["ways"] if known is None else known
    ways = _edit_ways(stood, pay_at)
    if ways != stood:
        put_value(_WAYS, ways)
    return document | {"ways": ways}


def _edit_ways(ways: list[Document], pay_at: tuple[str, ...]) -> list[Document]:
    """The ways that are ticked; what was typed of another one is there when it is ticked again."""
    first = {way["kind"]: way for way in reversed(ways)}
    boxes = st.columns(len(_KINDS), gap="medium")
    ticked = [
        kind
        for box, kind in zip(boxes, _KINDS, strict=True)
        if box.checkbox(_NAMES[kind].capitalize(), **hold(f"pay_way_{kind}", kind in first))
    ]
    stay = [way for way in ways if way["kind"] in ticked]
    more = [_begin_way(kind, pay_at) for kind in ticked if kind not in first]
    edited = [_edit_way(way) if way is first.get(way["kind"], way) else way for way in (*stay, *more)]
    return sorted(edited, key=lambda way: _KINDS.index(way["kind"])) if more else edited


def _begin_way(kind: str, pay_at: tuple[str, ...]) -> Document:
    way: Document = {"key": kind, "kind": kind, "label": _NAMES[kind]}
    if kind == "milestones":
        return way | {"stages": [{"what": name} for name in pay_at or ("at the start", "at the end")]}
    if kind == "instalments":
        # Said once, on the day it is chosen: it must not move on with the calendar.
        return way | {"deposit_percent": 20, "number": 12, "first": add_months(session.get_today(), 1)}
    return way | ({"text": "Terms are the lender's own; ask us for the forms."} if kind == "lender" else {})


def _edit_way(way: Document) -> Document:
    edit = {
        "in_full": _edit_in_full,
        "milestones": _edit_milestones,
        "instalments": _edit_instalments,
        "lender": _edit_lender,
    }
    return edit[way["kind"]](way)


def _put(way: Document, name: str, value: object, nothing: object = None) -> Document:
    """A way with another value; what says the same as before, or as nothing at all, changes nothing."""
    if way.get(name, nothing) == value:
        return way
    rest = {field: held for field, held in way.items() if field != name}
    return rest if value == nothing else {**way, name: value}


def _put_percent(way: Document, name: str, percent: float) -> Document:
    """A percentage of 0 is none, and takes the place of no amount."""
    changed = _put(way, f"{name}_percent", to_decimal(percent), 0)
    return _put(changed, f"{name}_amount", None) if percent else changed


def _edit_adjustments(lines: Mapping[str, str], every: Mapping[str, str]) -> list[Document]:
    """One row a discount, with a percentage or an amount, of all or of one line; an increase has no place here.

    Gives those that count. All stay in the document: half typed, or of a line that only another option has.
    """
    names, known = _name_known(every), _get_adjustments()
    apart = {index: row for index, row in enumerate(known) if not _has_place(row, lines, names)}
    rows = [read_row(row, lines, names) for row in _show_grid(lines, names, apart).to_dict("records")]
    typed = [row for row in rows if row]
    for index, row in apart.items():
        typed.insert(index, row)
        st.markdown(f"Counted too, as it was written into the case\\: {show_plain(row['reason'])}.")
    if typed != known:
        put_value(_ADJUSTMENTS, typed or None)
    counted = list_counted(typed)
    for row in typed:
        if row not in counted:  # half typed: what stands below must not vanish meanwhile
            st.markdown(f"Not counted yet, without a percent or an amount\\: {show_plain(row['reason'])}.")
            path = (f"Discount {row['reason']}",)
            note_unfinished([Problem(file="ways to pay", path=path, code="half_typed.discount")])
        elif not is_of_quote(row, lines):
            line = show_plain(every.get(row["lines"][0], row["lines"][0]))
            st.markdown(f"Not counted here, because this option has no line {line}\\: {show_plain(row['reason'])}.")
    return counted


def _get_adjustments() -> list[Document]:
    return get_value(_ADJUSTMENTS) or []


def _has_place(row: Document, lines: Mapping[str, str], names: Mapping[str, str]) -> bool:
    """Whether the grid shows all that a discount says: not an increase, nor one of several lines."""
    return read_row(_make_row(row, {**names, **lines}), lines, names) == row


def _name_known(every: Mapping[str, str]) -> dict[str, str]:
    """Names by key of the lines that discounts of the document are of, whichever option has them."""
    return {key: every.get(key, key) for row in _get_adjustments() for key in row.get("lines", [])}


def _show_grid(lines: Mapping[str, str], known_lines: Mapping[str, str], apart: Container[int]) -> "pd.DataFrame":
    """A grid cannot be filled by state: it starts from the document, and is another one where the lines are others."""
    import pandas as pd

    known = [row for index, row in enumerate(_get_adjustments()) if index not in apart]
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


def is_of_quote(row: Document, lines: Mapping[str, str]) -> bool:
    """Whether an adjustment is of the whole quote or of a line that the quote has."""
    of = row.get("lines", [])
    return not of or any(key in lines for key in of)


def find_line(name: object, lines: Mapping[str, str]) -> Document:
    """The line a discount is of, by its name; one that nobody knows stays named, and is not forgotten."""
    if not isinstance(name, str) or not name:
        return {}
    found = [key for key, label in lines.items() if label == name]
    return {"lines": [found[-1] if found else name], "spread": "lines"}


def _edit_in_full(way: Document) -> Document:
    held = hold("pay_full", float(way.get("discount_percent", 0)))
    percent = st.number_input("Less for paying all at the start, percent", 0.0, 100.0, step=1.0, **held)
    return _put_percent(way, "discount", percent)


def _edit_milestones(way: Document) -> Document:
    return {**way, "stages": _edit_stages(way["stages"])}


def _edit_stages(stages: list[Document]) -> list[Document]:
    """Shares of the milestones: equal parts until one is typed; then the last one takes what is left of 100."""
    columns = st.columns(len(stages), gap="medium")
    shares = []
    for index, stage in enumerate(stages[:-1]):
        held = hold(f"pay_stage_{index}", to_float(stage.get("percent")))
        label = f"{say_word(stage['what']).capitalize()}, percent"
        share = columns[index].number_input(
            label, 0.0, 100.0, value=None, step=5.0, placeholder="an equal part", **held
        )
        shares.append(to_decimal(share))
    typed = [share for share in shares if share is not None]
    last = Decimal(100) - sum(typed, Decimal(0)) if typed else None
    told = "an equal part" if last is None else f"{last.normalize():f}"
    columns[-1].metric(f"{stages[-1]['what'].capitalize()}, percent", told)
    return [_put(stage, "percent", share) for stage, share in zip(stages, (*shares, last), strict=True)]


def _edit_instalments(way: Document) -> Document:
    row = st.columns(6, gap="medium", vertical_alignment="bottom")
    held = hold("pay_deposit", float(way.get("deposit_percent", 0)))
    deposit = row[0].number_input("Deposit, percent", 0.0, 100.0, step=5.0, **held)
    number = row[1].number_input("Instalments", 1, 120, step=1, **hold("pay_number", int(way["number"])))
    intervals = [interval.value for interval in Interval]
    held = hold_one_of("pay_interval", intervals, str(way.get("interval", Interval.MONTH.value)))
    interval = row[2].selectbox("Every", intervals, format_func=say_word, **held)
    held = hold("pay_rate", float(way.get("rate_percent", 0)))
    rate = row[3].number_input("Interest a year, percent", 0.0, 100.0, step=1.0, **held)
    fee = row[4].number_input("Set-up fee", 0.0, None, step=10.0, **hold("pay_fee", float(way.get("set_up_fee", 0))))
    first = row[5].date_input("First on", format="YYYY-MM-DD", **hold("pay_first", way["first"]))
    edited = _put_percent(way, "deposit", deposit)
    edited = edited if first == way["first"] else _put(edited, "anchor_day", None)
    edited = _put(_put(edited, "number", int(number)), "first", first)
    edited = _put(edited, "interval", interval, Interval.MONTH.value)
    return _put(_put(edited, "rate_percent", to_decimal(rate), 0), "set_up_fee", to_decimal(fee), 0)


def _edit_lender(way: Document) -> Document:
    return _put(way, "text", st.text_input("What is said of the lender", **hold("pay_lender", way.get("text", ""))), "")


def label_payment_fields(document: Document, lines: Mapping[str, str]) -> dict[FieldPath, str]:
    """What the form calls the fields of that document, by their paths; ways also by their keys, as a quote does.

    A quote counts those discounts alone that are of its `lines`.
    """
    labels: dict[FieldPath, str] = {}
    rows = document["adjustments"]
    for path, counted in (
        ((OFFER, "adjustments"), rows),
        (("adjustments",), [row for row in rows if is_of_quote(row, lines)]),
    ):
        for number, row in enumerate(counted, 1):
            labels |= _label_fields(f"Discount {row['reason']}".strip(), (*path, number))
    for number, way in enumerate(document["ways"], 1):
        name = way["label"].capitalize()
        labels |= _label_fields(name, (OFFER, "ways", number)) | _label_fields(name, (way["key"],))
    return labels


def _label_fields(name: str, path: FieldPath) -> dict[FieldPath, str]:
    return {(*path, field): f"{name}: {label}" for field, label in _LABELS.items()}
