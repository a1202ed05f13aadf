"""A benefit plan as it is typed on the Quote page; it gives back the document that a plan file would hold."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

import streamlit as st

from estimator.base.declared import label_fields
from estimator.base.money import MINOR_UNITS
from estimator.base.problems import FieldPath
from estimator.inputs.case.writer import Document
from estimator.inputs.fees.schedule import FeeSchedule
from estimator.inputs.plans.declared import (
    ALTERNATES,
    LIMITS,
    MEMBER,
    MISSING_TOOTH,
    PLAN,
    PRESENT_DENTURE,
    REPLACEMENT,
    SUBSIDIES,
)
from estimator.inputs.plans.declared import CLASSES as PLAN_CLASSES
from estimator.inputs.plans.model import DateRule
from estimator.ui.quote.benefits.frequency_form import edit_frequencies, edit_past, label_rows
from estimator.ui.shell.ask import ask_amount, ask_day
from estimator.ui.shell.markup import say_word, to_decimal
from estimator.ui.shell.parts.declared_widgets import ask_flag, ask_text, ask_whole
from estimator.ui.shell.working_copy import hold, hold_one_of

DENTURES = "prosthetic"
CLASSES = {"diagnostic": "Examination", "surgery": "Surgery", DENTURES: "Dentures"}
"""The benefit classes of the form, in the order in which they are asked for."""
_NAMES = {"diagnostic": "Examination and images", "surgery": "Surgery", DENTURES: "Dentures and what they rest on"}
_KINDS = {"diagnostic": ["imaging"], "surgery": ["surgery"], DENTURES: ["visit", "laboratory", "part"]}
_EXAMINATION = "examination"
_IN_A_YEAR = ("deductible_used", "annual_used", "allowance_used")
_IN_ROWS = ("classes", "allowed", "frequencies")
_CHECKED = PLAN.get_field("percentages_checked")
_AMOUNTS = {limit.key: limit.get_field("amount") for limit in LIMITS}


@dataclass(frozen=True, slots=True, kw_only=True)
class FormScope:
    """What the form has to know: the schedule, the jaws, the lines of the quote by key, today."""

    fees: FeeSchedule
    arches: tuple[str, ...]
    lines: Mapping[str, str]
    today: date


def edit_plan(scope: FormScope, name: str) -> Document | None:
    """Everything typed; None while neither a name nor a percentage is."""
    document = _edit_heading(scope, name)
    classes = _edit_classes(scope, name)
    checked = ask_flag(st, _CHECKED, **hold(f"{name}_checked", False))
    used: Document = {}
    document |= {"percentages_checked": checked} | _edit_limits(scope, name, used)
    with st.expander("The patient in this plan, and what it does not pay for", expanded=True):
        about_dentures = _edit_clauses(scope, name, used)
    with st.expander("How often the plan pays, and what it has paid for already"):
        document |= _edit_often(scope, name, used)
    with st.expander("Alternate benefit, fixed subsidy, yearly allowance"):
        about_dentures |= _edit_others(scope, name)
        document |= _edit_allowance(scope, name, used)
    with st.expander("Allowed amounts, one unit of each line"):
        document |= {"allowed": _edit_allowed(scope, name)}
    classes |= _add_classes(scope, classes, about_dentures)
    document |= {"classes": list(classes.values())} | about_dentures | _name_scopes(document, classes)
    if not any(field in used for field in _IN_A_YEAR):
        used.pop("as_of", None)
    return (document | ({"member": used} if used else {})) if document["name"] or classes else None


def _add_classes(scope: FormScope, classes: Mapping[str, Document], about_dentures: Document) -> dict[str, Document]:
    """Classes at 0 percent that the form needs beside those typed.

    Clauses and fixed amounts for dentures need their class. An examination is a visit, as the steps of a denture are:
    where the plan does not cover it, it must not pass for one of them.
    """
    added = {}
    if about_dentures and DENTURES not in classes:
        added[DENTURES] = _make_class(scope, DENTURES, Decimal(0), 0)
    if (added or DENTURES in classes) and "diagnostic" not in classes and _EXAMINATION in scope.fees.lines:
        nothing: Document = {"plan_pays_percent": Decimal(0), "lines": [_EXAMINATION]}
        added[_EXAMINATION] = {"key": _EXAMINATION, "name": _EXAMINATION.capitalize()} | nothing
    return added


def _name_scopes(document: Document, classes: Mapping[str, Document]) -> Document:
    """The date rule is about dentures alone; a deductible about classes that the plan covers."""
    scopes: Document = {"dated": {"classes": [DENTURES]}} if DENTURES in classes else {}
    limit = document.get("deductible")
    if limit:
        scopes["deductible"] = limit | {"classes": [key for key in limit["classes"] if key in classes]}
    return scopes


def _edit_heading(scope: FormScope, name: str) -> Document:
    row = st.columns((3, 2, 2), gap="medium", vertical_alignment="bottom")
    called = ask_text(row[0], PLAN.get_field("name"), **hold(f"{name}_name", ""))
    rules = [rule.value for rule in DateRule]
    rule = row[1].selectbox(
        PLAN.get_field("date_rule").label,
        rules,
        **hold_one_of(f"{name}_rule", rules, DateRule.DELIVERY.value),
        format_func=say_word,
    )
    month = ask_whole(row[2], PLAN.get_field("year_begins_month"), **hold(f"{name}_month", 1), within=True)
    network = ask_flag(st, PLAN.get_field("in_network"), **hold(f"{name}_network", False))
    return {
        "key": make_plan_key(called),
        "name": called,
        "currency": scope.fees.currency,
        "in_network": network,
        "date_rule": rule,
        "year_begins_month": month,
    }


def make_plan_key(called: str) -> str:
    """A key from a plan's name, such as harbor_plan_2."""
    slug = re.sub(r"[^a-z0-9]+", "_", called.lower()).strip("_")[:50]
    return slug if slug[:1].isalpha() else f"plan_{slug}".rstrip("_")


def _edit_classes(scope: FormScope, name: str) -> dict[str, Document]:
    """By key; a class without a percentage is not covered."""
    rows = [st.columns(len(CLASSES), gap="medium") for _ in range(2)]
    pays, waits = (PLAN_CLASSES.get_field(key) for key in ("plan_pays_percent", "waiting_months"))
    found = {}
    for index, (key, label) in enumerate(CLASSES.items()):
        percent = rows[0][index].number_input(
            f"{label}: {pays.label}", value=None, step=5.0, format="%g", **hold(f"{name}_{key}_pays", None),
            help=f"{_NAMES[key]}: {pays.help[0].lower()}{pays.help[1:]} Empty where it is not covered.",
        )  # fmt: skip
        held = hold(f"{name}_{key}_waits", 0)
        months = ask_whole(rows[1][index], waits, label=f"{label}: {waits.label}", **held)
        share = to_decimal(percent)
        if share is not None:
            found[key] = _make_class(scope, key, share, months or 0)
    return found


def _make_class(scope: FormScope, key: str, percent: Decimal, months: int) -> Document:
    examined = key == "diagnostic" and _EXAMINATION in scope.fees.lines
    return {
        "key": key,
        "name": _NAMES[key],
        "plan_pays_percent": percent,
        "lines": [_EXAMINATION] if examined else [],
        "waiting_months": months,
        "kinds": _KINDS[key],
    }


def _edit_limits(scope: FormScope, name: str, used: Document) -> Document:
    decimals = MINOR_UNITS[scope.fees.currency]
    document: Document = {}
    row = st.columns(3, gap="medium")
    for column, limit in zip(row, ("deductible", "annual_maximum", "lifetime_maximum"), strict=True):
        short = limit.removesuffix("_maximum")
        amount = to_decimal(ask_amount(column, _AMOUNTS[limit].label, f"{name}_{short}", decimals))
        taken = _ask_used(column, f"{short}_used", name, decimals)
        if amount is not None:
            document[limit] = {"amount": amount}
        used |= {f"{short}_used": taken} if taken else {}
    applies = PLAN.get_section("deductible").get_field("classes")
    chosen = row[0].multiselect(
        applies.label, list(CLASSES), **hold(f"{name}_applies", ["surgery", DENTURES]),
        format_func=CLASSES.__getitem__, help=applies.help,
    )  # fmt: skip
    if "deductible" in document:
        document["deductible"]["classes"] = chosen
    told = ask_day(row[1], MEMBER.get_field("as_of").label, f"{name}_as_of", start=scope.today)
    used |= {"as_of": told} if told else {}
    return document


def _ask_used(place: Any, key: str, name: str, decimals: int) -> Decimal | None:
    return to_decimal(ask_amount(place, MEMBER.get_field(key).label, f"{name}_{key}", decimals))


def _edit_clauses(scope: FormScope, name: str, used: Document) -> Document:
    row = st.columns(3, gap="medium")
    document: Document = {}
    since = ask_day(row[0], MEMBER.get_field("covered_since").label, f"{name}_since")
    lost = ask_day(row[1], MEMBER.get_field("teeth_lost_on").label, f"{name}_lost")
    used |= {key: day for key, day in (("covered_since", since), ("teeth_lost_on", lost)) if day is not None}
    interval = REPLACEMENT.get_field("months")
    hint = f"{interval.help} Empty where there is none."
    months = ask_whole(row[2], interval, **hold(f"{name}_interval", None), help=hint)
    if months is not None:
        document["replacement"] = {"months": months, "classes": [DENTURES]}
    days: Document = {}
    for column, arch in zip(row, scope.arches, strict=False):
        day = ask_day(column, PRESENT_DENTURE.get_field(arch).label, f"{name}_denture_{arch}")
        days |= {arch: day} if day is not None else {}
    used |= {"present_denture": days} if days else {}
    clause = st.checkbox(MISSING_TOOTH.label, **hold(f"{name}_missing", False))
    return document | ({"missing_tooth_clause": {"classes": [DENTURES]}} if clause else {})


def _edit_often(scope: FormScope, name: str, used: Document) -> Document:
    st.markdown(":small[At most so many times in so many months. Empty where the plan has no such limit.]")
    frequencies = edit_frequencies(scope.fees, CLASSES, name)
    st.markdown(":small[What the plan has paid for before. It counts towards a limit on its line or benefit class.]")
    past = edit_past(scope.fees, name)
    used |= {"past": past} if past else {}
    return {"frequencies": frequencies} if frequencies else {}


def _edit_others(scope: FormScope, name: str) -> Document:
    """What is paid on another service's allowance, or as a fixed amount, a jaw."""
    decimals = MINOR_UNITS[scope.fees.currency]
    row = st.columns(2, gap="medium")
    document: Document = {}
    for column, section, note, start, typed in (
        (row[0], ALTERNATES, "instead", "full denture", "alternate"),
        (row[1], SUBSIDIES, "finding", "jaw without teeth", "subsidy"),
    ):
        said = ask_text(column, section.get_field(note), **hold(f"{name}_{note}", start))
        amount = to_decimal(ask_amount(column, section.get_field("amount").label, f"{name}_{typed}", decimals))
        if amount is not None:
            document[section.key] = [{note: said, "amount": amount, "classes": [DENTURES]}]
    return document


def _edit_allowance(scope: FormScope, name: str, used: Document) -> Document:
    """An amount a year that pays every line until it is used up."""
    decimals = MINOR_UNITS[scope.fees.currency]
    row = st.columns(2, gap="medium")
    amount = to_decimal(ask_amount(row[0], _AMOUNTS["yearly_allowance"].label, f"{name}_allowance", decimals))
    taken = _ask_used(row[1], "allowance_used", name, decimals)
    used |= {"allowance_used": taken} if taken else {}
    return {} if amount is None else {"yearly_allowance": {"amount": amount}}


def _edit_allowed(scope: FormScope, name: str) -> list[Document]:
    decimals = MINOR_UNITS[scope.fees.currency]
    columns = st.columns(3, gap="medium")
    found = []
    for index, (line, label) in enumerate(scope.lines.items()):
        amount = to_decimal(ask_amount(columns[index % 3], label, f"{name}_allowed_{line}", decimals))
        if amount is not None:
            found.append({"line": line, "amount": amount})
    return found


def label_plan_fields(document: Mapping[str, Any], name: str) -> dict[FieldPath, str]:
    """What the form of that plan calls the fields of the document, by their paths."""
    one_each = {path: label for path, label in label_fields(PLAN).items() if path[0] not in _IN_ROWS or len(path) == 1}
    labels = one_each | label_rows(name)
    for number, one in enumerate(document["classes"], 1):
        called = CLASSES.get(one["key"], one["name"])
        labels["classes", number] = called
        for path, label in label_fields(PLAN_CLASSES).items():
            labels["classes", number, *path] = f"{called}: {label}"
    for number, row in enumerate(document["allowed"], 1):
        labels["allowed", number] = f"Allowed amount, {row['line']}"
    return labels
