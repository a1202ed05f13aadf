"""The Case page's form: it starts from the draft and gives the draft back as it stands now."""

from collections.abc import Callable
from enum import StrEnum

import streamlit as st

from estimator import files
from estimator.base.formats import name_language
from estimator.inputs.case.model import (
    MOST_IMPLANTS,
    Arch,
    DenturePlan,
    Opposing,
    Placement,
    default_attachments_on_bar,
)
from estimator.inputs.case.writer import Document
from estimator.ui.case.jaw_form import edit_asked, edit_earlier, edit_present
from estimator.ui.case.site_form import edit_measurement
from estimator.ui.shell.markup import JAWS, say_word

Key = Callable[[str], str]


def edit_case(draft: Document, generation: int) -> Document:
    """Every field of a case; returns the new draft, complete or not."""

    def key(name: str) -> str:
        return f"case_{generation}_{name}"

    edited: Document = {}
    first, second, third = st.columns([2, 3, 2], gap="medium")
    edited["reference"] = first.text_input("Reference", draft.get("reference", ""), key=key("reference"))
    patient = draft.get("patient", {})
    name = second.text_input("Patient's name (optional, any script)", patient.get("name", ""), key=key("name"))
    born = third.date_input(
        "Date of birth (optional)", patient.get("born"), key=key("born"), min_value="1900-01-01", max_value="today",
        format="YYYY-MM-DD",
    )  # fmt: skip
    edited["patient"] = {"name": name} | ({"born": born} if born else {}) | _edit_sheets(patient, key)
    flags = {k: text for k, text in files.load_cautions().items() if text.health}
    health = [flag for flag in draft.get("health", []) if flag in flags]
    edited["health"] = st.pills(
        "Health (raises cautions, decides nothing)", list(flags), selection_mode="multi", default=health,
        key=key("health"), format_func=say_word,
    )  # fmt: skip
    edited["jaws"] = _edit_jaws(draft.get("jaws", []), key)
    return edited


def _edit_sheets(patient: Document, key: Key) -> Document:
    """How the patient reads: nothing where it is as the practice prints for everybody."""
    first, second, _ = st.columns([2, 3, 2], gap="medium", vertical_alignment="bottom")
    languages = ("", *files.list_languages())
    said = patient.get("language", "")
    language = first.selectbox(
        "Sheets for the patient in", languages, languages.index(said) if said in languages else 0, key=key("language"),
        format_func=lambda code: name_language(code, "en") if code else "the practice's language",
    )  # fmt: skip
    large = second.checkbox("Large print", patient.get("large_print", False), key=key("large_print"))
    return ({"language": language} if language else {}) | ({"large_print": True} if large else {})


def _edit_jaws(jaws: list[Document], key: Key) -> list[Document]:
    known = {jaw.get("arch"): jaw for jaw in jaws}
    # A jaw that is left out for the moment comes back as it was.
    aside: dict[str, Document] = st.session_state.setdefault(key("aside"), {})
    aside.update({str(arch): jaw for arch, jaw in known.items()})
    chosen = [name for name, arches in JAWS.items() if set(arches) == set(known)] or [next(iter(JAWS))]
    which = st.segmented_control("Jaws", list(JAWS), default=chosen[0], key=key("jaws"), required=True)
    edited = []
    # Jaws stay in the order in which the case has them.
    order = list(known)
    for arch in sorted(JAWS[which or chosen[0]], key=lambda arch: order.index(arch) if arch in order else len(order)):
        st.header(say_word(arch).capitalize())
        jaw = known.get(arch) or aside.get(arch) or {"arch": arch, "implants": 4 if arch == Arch.MAXILLA else 2}
        edited.append(_edit_jaw(jaw, lambda name, arch=arch: key(f"{arch}_{name}")))  # type: ignore[misc]
    return edited


def _edit_jaw(jaw: Document, key: Key) -> Document:
    edited: Document = {"arch": jaw["arch"]}
    row = list(st.columns(4, gap="medium"))
    with row[0]:
        edited["implants"] = edit_whole("Implants", jaw, "implants", 1, MOST_IMPLANTS, key, default=2)
    with row[1]:
        states = ("planned", "in place")
        state = st.selectbox("They are", states, int(jaw.get("implants_present", False)), key=key("present"))
        edited["implants_present"] = state == "in place"
    with row[2]:
        edited["attachments_on_bar"] = _edit_attachments(jaw, edited["implants"], key)
    with row[3]:
        edited["extractions"] = edit_whole("Teeth still to remove", jaw, "extractions", 0, 16, key, default=0)
    row = list(st.columns(3, gap="medium"))
    with row[0]:
        edited["denture"] = edit_choice("Denture", jaw, "denture", DenturePlan, key)
    with row[1]:
        edited["opposing"] = edit_choice("Other jaw", jaw, "opposing", Opposing, key)
    with row[2]:
        edited["placement"] = edit_choice("Implants will be placed", jaw, "placement", Placement, key)
    edited.update(edit_present(jaw, edited, key))
    edited.update(edit_asked(jaw, key))
    # So does a measurement.
    aside: Document = st.session_state.setdefault(key("measured_aside"), {})
    aside.update({field: jaw[field] for field in ("measurement", "sites") if "measurement" in jaw and field in jaw})
    edited.update(edit_measurement({**aside, **jaw}, edited, key, measured="measurement" in jaw))
    edited.update(edit_earlier(jaw, edited, key))
    return edited


def _edit_attachments(jaw: Document, implants: int, key: Key) -> int:
    """What is usual for the number of implants, until somebody says otherwise for that number."""
    known = jaw if jaw.get("implants") == implants else {}
    usual = default_attachments_on_bar(implants)
    name = f"attachments_{implants}"
    return int(
        st.number_input("Attachments on a bar", 0, 6, int(known.get("attachments_on_bar", usual)), 1, key=key(name))
    )


def edit_whole(label: str, jaw: Document, field: str, low: int, high: int, key: Key, *, default: int) -> int:
    """A whole number."""
    value = st.number_input(label, low, high, int(jaw.get(field, default)), 1, key=key(field))
    return int(value)


def edit_choice(label: str, table: Document, field: str, kind: type[StrEnum], key: Key) -> str:
    """One of the words of a StrEnum, shown in plain words."""
    words = [word.value for word in kind]
    start = table.get(field, words[0])
    index = words.index(start) if start in words else 0
    return str(st.selectbox(label, words, index, key=key(field), format_func=say_word))
