"""The Case page's form: it starts from the draft and gives the draft back as it stands now."""

from functools import partial

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
from estimator.ui.case.fields import NOWHERE, edit_choice, edit_whole, hold_field
from estimator.ui.case.jaw_form import edit_asked, edit_earlier, edit_present
from estimator.ui.case.site_form import edit_measurement
from estimator.ui.shell.markup import JAWS, say_word
from estimator.ui.shell.working_copy import get_note, hold, hold_as, hold_one_of, hold_some_of, put_note, put_value

_STATES = ("planned", "in place")
_KEPT = (
    "bar_carries", "bar_form", "bar_extension_right_mm", "bar_extension_left_mm", "few_implants_accepted", "arch_form",
)  # fmt: skip
"""What a case file may say of a jaw that this form does not ask."""


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
    edited["patient"] = {"name": name} | ({"born": born} if born else {}) | _edit_sheets()
    flags = [key for key, text in files.load_cautions().items() if text.health]
    edited["health"] = st.pills(
        "Health (raises cautions, decides nothing)", flags, selection_mode="multi", format_func=say_word,
        **hold_some_of("case_health", flags, place=("case", "health")),
    )  # fmt: skip
    edited |= {name: draft[name] for name in ("ridge_to_ridge_mm",) if name in draft}
    edited["jaws"] = _edit_jaws(draft.get("jaws", []))
    return edited


def has_moved_measurement(draft: Document, edited: Document) -> bool:
    """Whether a measurement was just put aside as the earlier one, or taken out: the page has to be shown anew then."""
    before, now = ([jaw.get("earlier") for jaw in document["jaws"]] for document in (draft, edited))
    return len(before) == len(now) and before != now


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
    arch = str(jaw["arch"])
    edited: Document = {"arch": arch} | {name: jaw[name] for name in _KEPT if name in jaw}
    row = list(st.columns(4, gap="medium"))
    with row[0]:
        write = partial(_write_implants, arch)
        edited["implants"] = edit_whole("Implants", jaw, "implants", 0, MOST_IMPLANTS, default=2, write=write)
    with row[1]:
        state = _STATES[bool(jaw.get("implants_present", False))]
        held = hold_field(jaw, "present", state, place=("implants_present",), write=_is_in_place)
        edited["implants_present"] = _is_in_place(st.selectbox("They are", _STATES, **held))
    with row[2]:
        edited.update(_edit_attachments(jaw, edited["implants"]))
    with row[3]:
        edited["extractions"] = edit_whole("Teeth still to remove", jaw, "extractions", 0, 16, default=0)
    row = list(st.columns(3, gap="medium"))
    with row[0]:
        edited["denture"] = edit_choice("Denture", jaw, "denture", DenturePlan)
    with row[1]:
        edited["opposing"] = edit_choice("Other jaw", jaw, "opposing", Opposing)
    with row[2]:
        edited["placement"] = edit_choice("Implants will be placed", jaw, "placement", Placement)
    edited.update(edit_present(jaw, edited))
    edited.update(edit_asked(jaw))
    # A measurement that is set aside comes back too.
    aside: Document = {} if "measurement" in jaw else get_note(f"measured_aside_{arch}") or {}
    measured = edit_measurement(_bring_back(jaw, aside), edited, measured="measurement" in jaw)
    if "measurement" in jaw and "measurement" not in measured:
        put_note(f"measured_aside_{arch}", {name: jaw[name] for name in ("measurement", "sites") if name in jaw})
    edited.update(measured)
    edited.update(edit_earlier(jaw, edited))
    return edited


def _bring_back(jaw: Document, aside: Document) -> Document:
    """A jaw with the spaces that were set aside; what was typed of its sites since then stays."""
    sites = list(jaw.get("sites") or aside.get("sites") or [])
    spaces = [site.get("restorative_space_mm") for site in aside.get("sites", [])]
    for number, space in enumerate(spaces[: len(sites)]):
        sites[number] = ({} if space is None else {"restorative_space_mm": space}) | sites[number]
    return {**aside, **jaw, **({"sites": sites} if sites else {})}


def _is_in_place(state: str) -> bool:
    return state == _STATES[1]


def _write_implants(arch: str, implants: int) -> int:
    """How many attachments a bar has was said for another number of implants."""
    put_value(("case", "jaws", arch, "attachments_on_bar"), None)
    return implants


def _edit_attachments(jaw: Document, implants: int) -> Document:
    """What is usual for the number of implants, until somebody says otherwise for that number."""
    known = jaw if jaw.get("implants") == implants else {}
    usual = default_attachments_on_bar(implants)
    place = ("case", "jaws", str(jaw["arch"]), "attachments_on_bar")
    held = hold_as(f"case_{jaw['arch']}_attachments_{implants}", int(known.get("attachments_on_bar", usual)), place)
    count = int(st.number_input("Attachments on a bar", 0, 6, step=1, **held))
    return {"attachments_on_bar": count} if "attachments_on_bar" in known or count != usual else {}
