"""The Case page's form: it starts from the draft and gives the draft back as it stands now."""

from collections.abc import Sequence
from decimal import Decimal

import streamlit as st

from estimator import files
from estimator.base.formats import name_language
from estimator.inputs.case.model import Arch
from estimator.inputs.case.writer import Document
from estimator.ui.case.fields import NOWHERE
from estimator.ui.case.jaw_form import edit_bar, edit_beside, edit_earlier, edit_implants, edit_present_denture
from estimator.ui.case.site_form import edit_arch_width, edit_measurement, show_measuring
from estimator.ui.shell.markup import JAWS, say_word, to_decimal, to_float
from estimator.ui.shell.working_copy import (
    get_note,
    get_value,
    hold,
    hold_as,
    hold_one_of,
    hold_some_of,
    put_note,
    put_value,
)


def edit_case(draft: Document) -> Document:
    """Every field of a case; returns the new draft, complete or not."""
    edited: Document = {}
    first, second, third = st.columns([2, 3, 2], gap="medium")
    edited["reference"] = first.text_input("Reference", **hold("case_reference", "", place=("case", "reference")))
    name = second.text_input(
        "Patient's name (optional, any script)", **hold("case_name", "", place=("case", "patient", "name"))
    )
    born = third.date_input(
        "Date of birth (optional)", None, min_value="1900-01-01", max_value="today", format="YYYY-MM-DD",
        **hold("case_born", place=("case", "patient", "born")),
    )  # fmt: skip
    with st.expander(_say_patient(), key="case_more_of_the_patient"):
        sheets = _edit_sheets()
        edited["health"] = _edit_health()
    edited["patient"] = {"name": name} | ({"born": born} if born else {}) | sheets
    edited["jaws"] = _edit_jaws(draft.get("jaws", []))
    ridges = _edit_ridges(draft, edited["jaws"])
    with st.expander("How we measure", key="case_how_we_measure"):
        show_measuring()
    return edited | ridges


def _edit_ridges(draft: Document, jaws: list[Document]) -> Document:
    """Ridge to ridge, one distance for the case; older case files say it of a jaw, and may go on to."""
    before = next((jaw["ridge_to_ridge_mm"] for jaw in jaws if "ridge_to_ridge_mm" in jaw), None)
    known: Document = {"ridge_to_ridge_mm": draft.get("ridge_to_ridge_mm", before)}
    held = hold_as(
        "case_ridges", to_float(known["ridge_to_ridge_mm"]), ("case", "ridge_to_ridge_mm"), write=_write_ridges
    )
    row = st.columns([3, 8], gap="medium")
    number = to_decimal(
        row[0].number_input(
            "Ridge to ridge, mm (optional)", 0.0, 60.0, None, 0.5, **held,
            help="Between both ridges, where they are nearest, at the height of the bite.",
        )
    )  # fmt: skip
    said = number is not None and ("ridge_to_ridge_mm" in draft or number != before)
    return {"ridge_to_ridge_mm": number} if said else {}


def _write_ridges(distance: float | None) -> Decimal | None:
    """The distance of the case takes the place of what was said of a jaw."""
    for arch in Arch:
        put_value(("case", "jaws", arch.value, "ridge_to_ridge_mm"), None)
    return to_decimal(distance)


def has_moved_measurement(draft: Document, edited: Document) -> bool:
    """Whether a measurement was just put aside as the earlier one, or taken out: the page has to be shown anew then."""
    before, now = ([jaw.get("earlier") for jaw in document["jaws"]] for document in (draft, edited))
    return len(before) == len(now) and before != now


def _say_patient() -> str:
    """Health and papers in one line, which opens to change them."""
    health = [say_word(flag) for flag in get_value(("case", "health")) or []]
    patient = get_value(("case", "patient")) or {}
    language = name_language(patient["language"], "en") if patient.get("language") else "the practice's language"
    large = ", large print" if patient.get("large_print") else ""
    return f"Health: {', '.join(health) or 'nothing marked'}. Papers: in {language}{large}."


def _edit_health() -> list[str]:
    flags = [key for key, text in files.load_cautions().items() if text.health]
    return st.pills(
        "Health (raises cautions, decides nothing)", flags, selection_mode="multi", format_func=say_word,
        **hold_some_of("case_health", flags, place=("case", "health")),
    )  # fmt: skip


def _edit_sheets() -> Document:
    """How the patient reads: nothing where it is as the practice prints for everybody."""
    first, second, _ = st.columns([2, 3, 2], gap="medium", vertical_alignment="bottom")
    languages = ("", *files.list_languages())
    language = first.selectbox(
        "Sheets for the patient in", languages,
        format_func=lambda code: name_language(code, "en") if code else "the practice's language",
        **hold_one_of("case_language", languages, "", place=("case", "patient", "language")),
    )  # fmt: skip
    large = second.checkbox("Large print", **hold("case_large_print", False, place=("case", "patient", "large_print")))
    return ({"language": language} if language else {}) | ({"large_print": True} if large else {})


def _edit_jaws(jaws: list[Document]) -> list[Document]:
    known = {str(jaw.get("arch")): jaw for jaw in jaws}
    chosen = next((name for name, arches in JAWS.items() if set(arches) == set(known)), next(iter(JAWS)))
    which = st.segmented_control("Jaws", list(JAWS), required=True, **hold_as("case_jaws", chosen, NOWHERE))
    wanted, order, edited = JAWS[which or chosen], list(known), []
    # Jaws stay in the order in which the case has them.
    for arch in sorted(wanted, key=lambda arch: order.index(arch) if arch in order else len(order)):
        st.header(say_word(arch).capitalize())
        usual: Document = {"arch": arch, "implants": 4 if arch == Arch.MAXILLA else 2}
        edited.append(_edit_jaw(known.get(arch) or get_note(f"jaw_aside_{arch}") or usual))
    # A jaw that is left out for the moment comes back as it was.
    for arch in known:
        if arch not in wanted:
            put_note(f"jaw_aside_{arch}", known[arch])
    return edited


def _edit_jaw(jaw: Document) -> Document:
    """A jaw's fields, those first that decide the most. What does not apply is not asked, and stays as it is known."""
    arch = str(jaw["arch"])
    edited = _merge(_merge({}, jaw, without=("measurement", "sites", "earlier")), edit_implants(jaw))
    edited = _merge(edited, edit_present_denture(jaw, edited))
    # A measurement that is set aside comes back too.
    aside: Document = {} if "measurement" in jaw else get_note(f"measured_aside_{arch}") or {}
    measured = edit_measurement(_bring_back(jaw, aside), edited, measured="measurement" in jaw)
    if "measurement" in jaw and "measurement" not in measured:
        put_note(f"measured_aside_{arch}", {name: jaw[name] for name in ("measurement", "sites") if name in jaw})
    edited = _merge(edited, edit_arch_width(jaw))
    edited = _merge(edited, edit_bar(jaw, edited))
    edited = _merge(edited, edit_beside(jaw, edited)) | measured
    return edited | edit_earlier(jaw, edited)


def _merge(known: Document, told: Document, *, without: Sequence[str] = ()) -> Document:
    """What is known with what is told over it; what is told to be nothing is taken out."""
    merged = {**known, **told}
    return {name: value for name, value in merged.items() if value is not None and name not in without}


def _bring_back(jaw: Document, aside: Document) -> Document:
    """A jaw with the spaces that were set aside; what was typed of its sites since then stays."""
    sites = list(jaw.get("sites") or aside.get("sites") or [])
    spaces = [site.get("restorative_space_mm") for site in aside.get("sites", [])]
    for number, space in enumerate(spaces[: len(sites)]):
        sites[number] = ({} if space is None else {"restorative_space_mm": space}) | sites[number]
    return {**aside, **jaw, **({"sites": sites} if sites else {})}
