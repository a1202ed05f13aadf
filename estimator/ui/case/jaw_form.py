"""The rest of a jaw on the Case page: room between the ridges, the denture in use, an earlier measurement."""

import streamlit as st

from estimator import files
from estimator.estimate.clearance.forces import to_pounds
from estimator.inputs.case.model import GRAFT, DenturePlan, Retention
from estimator.inputs.case.writer import Document
from estimator.ui.case.fields import edit_number, hold_field
from estimator.ui.shell import session
from estimator.ui.shell.markup import to_decimal

_KNOWN: dict[str, bool | None] = {"not known": None, "yes": True, "no": False}


def edit_present(jaw: Document, edited: Document) -> Document:
    """Ridge to ridge, and what is known of the denture and the attachments in use, as parts of the jaw's document."""
    row = list(st.columns(3, gap="medium"))
    with row[0]:
        ridges = edit_number(
            "Ridge to ridge, mm (optional)", jaw, "ridges", jaw, (0.0, 60.0), 0.5, place=("ridge_to_ridge_mm",)
        )
    present: Document = dict(jaw.get("present_denture", {}))
    if edited["denture"] == DenturePlan.CONVERT:
        _edit_known(row[1], "Base of the present denture stable", jaw, present, "base_stable")
    if edited["implants_present"]:
        _edit_known(row[2], "Tall attachments on the implants now", jaw, present, "tall_attachments")
    kept: Document = {"abutment_heights_mm": jaw["abutment_heights_mm"]} if "abutment_heights_mm" in jaw else {}
    kept |= {"present_denture": present} if present else {}
    return kept | ({} if ridges is None else {"ridge_to_ridge_mm": to_decimal(ridges)})


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


def edit_asked(jaw: Document) -> Document:
    """What the case asks for beside the options, and how strongly inserts hold at first."""
    variants = {name: variant for name, variant in files.load_variants().items() if name != GRAFT}
    start = [name for name in jaw.get("variants", []) if name in variants]
    asked = st.pills(
        "Beside the options (each is priced where it applies)", list(variants), selection_mode="multi",
        format_func=lambda name: variants[name].name, **hold_field(jaw, "variants", start),
    )  # fmt: skip
    row = list(st.columns([1, 2, 4], gap="medium"))
    held = hold_field(jaw, "grafts", int(jaw.get("graft_sites", 0)), place=("graft_sites",))
    grafts = int(row[0].number_input("Sites to graft", 0, 8, step=1, **held))
    grades = [grade.value for grade in Retention]
    grade = row[1].selectbox(
        "Inserts at first", grades, format_func=_say_retention, help="What one insert holds. Start light; go up on "
        "request.", **hold_field(jaw, "retention", str(jaw.get("retention", grades[0]))),
    )  # fmt: skip
    kept: Document = {"variants": asked} if asked else {}
    kept |= {"graft_sites": grafts} if grafts else {}
    return kept | ({"retention": grade} if grade != grades[0] else {})


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
