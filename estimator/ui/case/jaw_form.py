"""The rest of a jaw on the Case page: room between the ridges, the denture in use, an earlier measurement."""

from collections.abc import Callable

import streamlit as st

from estimator import files
from estimator.estimate.clearance.forces import to_pounds
from estimator.inputs.case.model import GRAFT, DenturePlan, Retention
from estimator.inputs.case.writer import Document
from estimator.ui.shell import session
from estimator.ui.shell.markup import to_decimal, to_float

Key = Callable[[str], str]
_KNOWN: dict[str, bool | None] = {"not known": None, "yes": True, "no": False}


def edit_present(jaw: Document, edited: Document, key: Key) -> Document:
    """Ridge to ridge, and what is known of the denture and the attachments in use, as parts of the jaw's document."""
    row = list(st.columns(3, gap="medium"))
    ridges = row[0].number_input(
        "Ridge to ridge, mm (optional)", 0.0, 60.0, to_float(jaw.get("ridge_to_ridge_mm")), 0.5, key=key("ridges")
    )
    present: Document = dict(jaw.get("present_denture", {}))
    if edited["denture"] == DenturePlan.CONVERT:
        _edit_known(row[1], "Base of the present denture stable", present, "base_stable", key)
    if edited["implants_present"]:
        _edit_known(row[2], "Tall attachments on the implants now", present, "tall_attachments", key)
    kept: Document = {"abutment_heights_mm": jaw["abutment_heights_mm"]} if "abutment_heights_mm" in jaw else {}
    kept |= {"present_denture": present} if present else {}
    return kept | ({} if ridges is None else {"ridge_to_ridge_mm": to_decimal(ridges)})


def _edit_known(column: "st.delta_generator.DeltaGenerator", label: str, table: Document, field: str, key: Key) -> None:
    """Yes, no, or not known, which leaves the field out."""
    start = list(_KNOWN.values()).index(table.get(field))
    answer = _KNOWN[column.selectbox(label, list(_KNOWN), start, key=key(field))]
    table.pop(field, None)
    if answer is not None:
        table[field] = answer


def edit_asked(jaw: Document, key: Key) -> Document:
    """What the case asks for beside the options, and how strongly inserts hold at first."""
    variants = {name: variant for name, variant in files.load_variants().items() if name != GRAFT}
    start = [name for name in jaw.get("variants", []) if name in variants]
    asked = st.pills(
        "Beside the options (each is priced where it applies)", list(variants), selection_mode="multi", default=start,
        key=key("variants"), format_func=lambda name: variants[name].name,
    )  # fmt: skip
    row = list(st.columns([1, 2, 4], gap="medium"))
    grafts = int(row[0].number_input("Sites to graft", 0, 8, int(jaw.get("graft_sites", 0)), 1, key=key("grafts")))
    grades = [grade.value for grade in Retention]
    grade = row[1].selectbox(
        "Inserts at first", grades, grades.index(jaw.get("retention", grades[0])), key=key("retention"),
        format_func=_say_retention, help="What one insert holds. Start light; go up on request.",
    )  # fmt: skip
    kept: Document = {"variants": asked} if asked else {}
    kept |= {"graft_sites": grafts} if grafts else {}
    return kept | ({"retention": grade} if grade != grades[0] else {})


def _say_retention(grade: str) -> str:
    """Newtons first, pounds-force beside them."""
    evidence = files.load_shipped_evidence()
    newtons = evidence.get(f"retention_{grade}").value
    return f"{grade}, {newtons:f} N ({to_pounds(newtons, evidence):g} lbf)"


def edit_earlier(jaw: Document, edited: Document, key: Key) -> Document:
    """Keep the measurement as the earlier one before it is typed anew, or drop the one that is kept."""
    arch, earlier = str(jaw["arch"]), jaw.get("earlier")
    if earlier is not None:
        text, button = st.columns([4, 2], gap="medium", vertical_alignment="center")
        text.markdown(f"The measurement of {earlier['measured_on']} is kept beside this one.")
        button.button("Drop the earlier one", key=key("drop_earlier"), on_click=_keep_earlier, args=(arch, None))
        return {"earlier": earlier}
    if "measurement" not in edited:
        return {}
    kept = {
        "measured_on": session.get_today(), "implants_present": edited["implants_present"],
        "measurement": dict(edited["measurement"]), "sites": [dict(site) for site in edited.get("sites", [])],
    }  # fmt: skip
    st.button(
        "Measure again, and keep this measurement beside the new one", key=key("keep_earlier"), on_click=_keep_earlier,
        args=(arch, kept),
    )  # fmt: skip
    return {}


def _keep_earlier(arch: str, earlier: Document | None) -> None:
    """Put an earlier measurement into the draft of a jaw, or take it out, before the page is drawn again."""
    draft = session.get_draft()
    if draft is None:
        return
    jaws = [dict(jaw) for jaw in draft["jaws"]]
    for jaw in jaws:
        if jaw["arch"] == arch:
            jaw.pop("earlier", None)
            jaw.update({} if earlier is None else {"earlier": earlier})
    session.put_draft({**draft, "jaws": jaws})
