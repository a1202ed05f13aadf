"""A jaw on the Case page: its implants, denture and bar, what is done beside, an earlier measurement."""

from collections.abc import Mapping
from functools import partial

import streamlit as st

from estimator import files
from estimator.estimate.clearance.forces import to_pounds
from estimator.inputs.case.model import (
    BAR_EXTENSIONS,
    GRAFT,
    MOST_IMPLANTS,
    Arch,
    BarCarries,
    BarForm,
    DenturePlan,
    Jaw,
    Opposing,
    Placement,
    Retention,
    default_attachments_on_bar,
)
from estimator.inputs.case.writer import Document
from estimator.inputs.options.model import Attachments
from estimator.inputs.options.variants import Variant
from estimator.ui.case.fields import edit_choice, edit_number, edit_whole, hold_field
from estimator.ui.shell import session
from estimator.ui.shell.markup import to_decimal
from estimator.ui.shell.working_copy import hold_as, put_value

_KNOWN: dict[str, bool | None] = {"not known": None, "yes": True, "no": False}
_STATES = ("planned", "in place")
_BAR_FORMS: dict[str, str | None] = {"not decided": None, **{form.value: form.value for form in BarForm}}
_LENGTH, _YEARS, _EXTENSION = (0.0, 40.0), (0.0, 80.0), (0.0, 20.0)


def edit_implants(jaw: Document) -> Document:
    """How many implants, whether they are in place, the denture that is planned, and what stands in the other jaw."""
    row = list(st.columns(4, gap="medium"))
    with row[0]:
        write = partial(_write_implants, str(jaw["arch"]))
        implants = edit_whole("Implants", jaw, "implants", 0, MOST_IMPLANTS, default=2, write=write)
    present = bool(jaw.get("implants_present", False))
    if implants:
        held = hold_field(jaw, "present", _STATES[present], place=("implants_present",), write=_is_in_place)
        present = _is_in_place(row[1].selectbox("They are", _STATES, **held))
    with row[2]:
        denture = edit_choice("Denture", jaw, "denture", DenturePlan)
    with row[3]:
        opposing = edit_choice("Other jaw", jaw, "opposing", Opposing)
    return {"implants": implants, "implants_present": present, "denture": denture, "opposing": opposing}


def _is_in_place(state: str) -> bool:
    return state == _STATES[1]


def _write_implants(arch: str, implants: int) -> int:
    """How many attachments a bar has was said for another number of implants."""
    put_value(("case", "jaws", arch, "attachments_on_bar"), None)
    return implants


def edit_present_denture(jaw: Document, edited: Document) -> Document:
    """What is known of the denture in use and of what stands on the implants now; asked where it counts."""
    present: Document = dict(jaw.get("present_denture", {}))
    converted, placed = edited["denture"] == DenturePlan.CONVERT, edited["implants_present"] and edited["implants"]
    if converted or placed:
        row = list(st.columns(4, gap="medium"))
        if converted:
            _edit_present_number(row[0], "Thickness at every site, mm", jaw, present, "thickness_mm", _LENGTH, 0.25)
            _edit_present_number(row[1], "Age of the present denture, years", jaw, present, "age_years", _YEARS, 1.0)
            _edit_known(row[2], "Base of the present denture stable", jaw, present, "base_stable")
        if placed:
            _edit_known(row[3 * converted], "Tall attachments on the implants now", jaw, present, "tall_attachments")
    return {"present_denture": present or None}


def _edit_present_number(
    column: "st.delta_generator.DeltaGenerator", label: str, jaw: Document, table: Document, field: str,
    bounds: tuple[float, float], step: float,
) -> None:  # fmt: skip
    """A number of the denture in use; left empty, it is out of the table."""
    with column:
        number = edit_number(label, jaw, field, table, bounds, step, place=("present_denture", field))
    table.pop(field, None)
    if number is not None:
        table[field] = to_decimal(number)


def _edit_known(
    column: "st.delta_generator.DeltaGenerator", label: str, jaw: Document, table: Document, field: str
) -> None:
    """Yes, no, or not known, which leaves the field out."""
    start = next(word for word, known in _KNOWN.items() if known == table.get(field))
    held = hold_field(jaw, field, start, place=("present_denture", field), write=_KNOWN.__getitem__)
    answer = _KNOWN[column.selectbox(label, list(_KNOWN), **held)]
    table.pop(field, None)
    if answer is not None:
        table[field] = answer


def edit_bar(jaw: Document, edited: Document) -> Document:
    """What a bar carries and how far it reaches, where the practice offers a bar and there are implants to join."""
    practice, implants = session.get_practice(), edited["implants"]
    if implants < 2 or not any(option.attachments is Attachments.ON_BAR for option in practice.options):
        return {}
    row = list(st.columns([2, 3, 2, 2, 2], gap="medium"))
    with row[0]:
        bar = _edit_attachments(jaw, implants)
    with row[1]:
        carries = edit_choice("The bar carries", jaw, "bar_carries", BarCarries)
    bar["bar_carries"] = carries if carries != BarCarries.CLIP or "bar_carries" in jaw else None
    start = next(word for word, form in _BAR_FORMS.items() if form == jaw.get("bar_form"))
    held = hold_field(jaw, "bar_form", start, write=_BAR_FORMS.__getitem__)
    bar["bar_form"] = _BAR_FORMS[row[2].selectbox("The bar is", list(_BAR_FORMS), **held)]
    for column, name, side in zip(row[3:], BAR_EXTENSIONS, ("right", "left"), strict=True):
        with column:
            reach = edit_number(
                f"Extension {side}, mm", jaw, name, jaw, _EXTENSION, 0.5, placeholder="0",
                help="How far it reaches behind the last implant, from its centre.",
            )  # fmt: skip
        bar[name] = to_decimal(reach) if reach else None
    least = int(practice.evidence.get("implants_minimum_maxilla").value)
    if jaw["arch"] == Arch.MAXILLA and implants < least:
        bar |= _edit_accepted(jaw, least)
    return bar


def _edit_attachments(jaw: Document, implants: int) -> Document:
    """What is usual for the number of implants, until somebody says otherwise for that number."""
    known = jaw if jaw.get("implants") == implants else {}
    usual = default_attachments_on_bar(implants)
    place = ("case", "jaws", str(jaw["arch"]), "attachments_on_bar")
    held = hold_as(f"case_{jaw['arch']}_attachments_{implants}", int(known.get("attachments_on_bar", usual)), place)
    count = int(st.number_input("Attachments on a bar", 0, 6, step=1, **held))
    return {"attachments_on_bar": count if "attachments_on_bar" in known or count != usual else None}


def _edit_accepted(jaw: Document, least: int) -> Document:
    """The clinician's word for an upper bar on few implants, with what it does."""
    accepted = st.checkbox(
        f"I accept an upper bar on fewer than {least} implants. Their number is a caution then; left open, it rules "
        "the bar out.",
        **hold_field(jaw, "few_implants_accepted", bool(jaw.get("few_implants_accepted", False))),
    )  # fmt: skip
    return {"few_implants_accepted": True if accepted else None}


def edit_beside(jaw: Document, edited: Document) -> Document:
    """What is done beside the options, each asked only where it can apply; None where there is nothing of it."""
    planned = bool(edited["implants"]) and not edited["implants_present"]
    row = iter(st.columns(4, gap="medium"))
    told: Document = {}
    with next(row):
        told["extractions"] = edit_whole("Teeth still to remove", jaw, "extractions", 0, 16, default=0)
    if planned:
        with next(row):
            told["placement"] = edit_choice("Implants will be placed", jaw, "placement", Placement)
    grafts = int(jaw.get("graft_sites", 0))
    if planned or grafts:
        held = hold_field(jaw, "grafts", grafts, place=("graft_sites",))
        grafts = int(next(row).number_input("Sites to graft", 0, 8, step=1, **held))
    told["graft_sites"] = grafts or None
    if edited["implants"]:
        grade = _edit_retention(next(row), jaw)
        told["retention"] = grade if grade != Retention.LIGHT or "retention" in jaw else None
    return told | _edit_variants(jaw, edited)


def _edit_retention(column: "st.delta_generator.DeltaGenerator", jaw: Document) -> str:
    grades = [grade.value for grade in Retention]
    held = hold_field(jaw, "retention", str(jaw.get("retention", grades[0])))
    return str(
        column.selectbox(
            "Inserts at first", grades, format_func=_say_retention, help="What one insert holds. Start light; go up on "
            "request.", **held,
        )
    )  # fmt: skip


def _edit_variants(jaw: Document, edited: Document) -> Document:
    known = jaw.get("variants", [])
    variants = {
        name: variant for name, variant in session.get_practice().variants.items()
        if name != GRAFT and (name in known or _can_apply(variant, edited | {"arch": jaw["arch"]}))
    }  # fmt: skip
    asked = st.pills(
        "Beside the options (each is priced where it applies)", list(variants), selection_mode="multi",
        format_func=lambda name: variants[name].name,
        **hold_field(jaw, "variants", [name for name in known if name in variants]),
    )  # fmt: skip
    return {"variants": asked or None}


def _can_apply(variant: Variant, edited: Mapping[str, object]) -> bool:
    """Whether it changes anything in an option of the practice, in a jaw like this one."""
    names = ("arch", "implants", "implants_present", "denture")
    jaw = Jaw(**{name: edited[name] for name in names})  # type: ignore[arg-type]
    options = session.get_practice().options
    return any(variant.find_rule(option, jaw) for option in options if jaw.implants or not option.on_implants)


def _say_retention(grade: str) -> str:
    """Newtons first, pounds-force beside them."""
    evidence = files.load_shipped_evidence()
    newtons = evidence.get(f"retention_{grade}").value
    return f"{grade}, {newtons:f} N ({to_pounds(newtons, evidence):g} lbf)"


def edit_earlier(jaw: Document, edited: Document) -> Document:
    """Keep the measurement as the earlier one before it is typed anew, or drop the one that is kept."""
    arch, earlier = str(jaw["arch"]), jaw.get("earlier")
    key = f"case_{arch}_{{}}_{session.get_generation()}"
    if earlier is not None:
        text, button = st.columns([4, 2], gap="medium", vertical_alignment="center")
        text.markdown(f"The measurement of {earlier['measured_on']} is kept beside this one.")
        return {} if button.button("Drop the earlier one", key=key.format("drop_earlier")) else {"earlier": earlier}
    if "measurement" not in edited:
        return {}
    if not st.button("Measure again, and keep this measurement beside the new one", key=key.format("keep_earlier")):
        return {}
    kept = {
        "measured_on": session.get_today(), "implants_present": edited["implants_present"],
        "measurement": dict(edited["measurement"]), "sites": [dict(site) for site in edited.get("sites", [])],
    }  # fmt: skip
    return {"earlier": kept}
