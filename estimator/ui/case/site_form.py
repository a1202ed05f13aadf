"""How the room was measured: not yet, one number for all sites, or site by site in a row of fields an implant."""

import streamlit as st

from estimator.inputs.case.model import Arch, Method, list_landmarks, list_teeth, suggest_teeth
from estimator.inputs.case.writer import Document
from estimator.ui.case.fields import edit_number, hold_field
from estimator.ui.shell.markup import say_word, to_decimal
from estimator.ui.shell.working_copy import get_note, hold_as, put_note

NOT_YET, ONE_NUMBER, BY_SITE = "Not measured yet", "One number for all sites", "Site by site"
_LENGTH, _THIN, _LEAN = (0.0, 40.0), (0.0, 10.0), (-60.0, 60.0)
_FIRST: tuple[tuple[str, str, tuple[float, float]], ...] = (
    ("restorative_space_mm", "Space, mm", _LENGTH),
    ("tissue_mm", "Tissue, mm", _THIN),
)
_MORE: tuple[tuple[str, str, tuple[float, float]], ...] = (
    ("platform_below_crest_mm", "Depth, mm", (-5.0, 5.0)),
    ("width_mm", "Width, mm", (0.0, 30.0)),
    ("denture_thickness_mm", "Denture, mm", _LENGTH),
    ("angle_md_deg", "Lean md, °", _LEAN),
    ("angle_fl_deg", "Lean fl, °", _LEAN),
    ("position_mm", "Position, mm", (-60.0, 60.0)),
)
_STEPS = {"angle_md_deg": 1.0, "angle_fl_deg": 1.0}


def edit_measurement(jaw: Document, edited: Document, *, measured: bool) -> Document:
    """The measurement and sites of a jaw as parts of its document; nothing where it is not measured yet.

    `jaw` may hold a measurement that was set aside; `measured` says whether it counts now.
    """
    way = st.segmented_control(
        "Restorative space",
        (NOT_YET, ONE_NUMBER, BY_SITE),
        required=True,
        help="From the landmark to the incisal edge or occlusal plane, with the teeth where they shall stand.",
        **hold_as(f"case_{jaw['arch']}_way", _find_way(jaw) if measured else NOT_YET, ("typed", _name_way(jaw))),
    )
    if way in (None, NOT_YET):
        return {"sites": jaw["sites"]} if _has_spaceless_sites(jaw) else {}
    measurement = _edit_method(jaw, bool(edited["implants_present"]))
    edit = _edit_one_number if way == ONE_NUMBER else _edit_sites
    return {"measurement": measurement, "sites": edit(jaw, edited)}


def _has_spaceless_sites(jaw: Document) -> bool:
    """Sites typed without a space stay, so that their teeth and leans are not lost."""
    return bool(jaw.get("sites")) and all("restorative_space_mm" not in site for site in jaw["sites"])


def _name_way(jaw: Document) -> str:
    return f"case_{jaw['arch']}_way"


def _find_way(jaw: Document) -> str:
    """As it was chosen; else site by site where one number would not say it all."""
    if get_note(_name_way(jaw)) == BY_SITE:
        return BY_SITE
    sites = jaw.get("sites") or []
    if "measurement" not in jaw:
        return NOT_YET
    spaces = {site.get("restorative_space_mm") for site in sites}
    plain = all(
        set(site) <= {"tooth", "restorative_space_mm", "tissue_mm", "platform_below_crest_mm"} for site in sites
    )
    return ONE_NUMBER if len(spaces) <= 1 and plain and len(sites) in (0, jaw.get("implants")) else BY_SITE


def _edit_method(jaw: Document, present: bool) -> Document:
    measurement: Document = jaw.get("measurement", {})
    row = st.columns([3, 3, 2, 3], gap="medium", vertical_alignment="bottom")
    methods = [method.value for method in Method]
    start = measurement.get("method", methods[0])
    held = hold_field(jaw, "method", start if start in methods else methods[0], place=("measurement", "method"))
    method = Method(row[0].selectbox("Measured on", methods, format_func=say_word, **held))
    landmarks = [landmark.value for landmark in list_landmarks(method, implants_present=present)]
    mark = measurement.get("landmark")
    held = hold_field(
        jaw, f"landmark_{method}_{present}", mark if mark in landmarks else landmarks[0],
        place=("measurement", "landmark"),
    )  # fmt: skip
    landmark = row[1].selectbox("From", landmarks, format_func=say_word, **held)
    with row[2]:
        error = edit_number(
            "Error, mm", jaw, "error", measurement, (0.0, 5.0), 0.25, place=("measurement", "error_mm"),
            placeholder="by method", help="One standard deviation. Left empty, the assumption for the method is used.",
        )  # fmt: skip
    accepted = row[3].checkbox(
        "Set-up accepted", help="Height of the bite and tooth position are accepted. Until then every verdict is "
        "provisional.",
        **hold_field(jaw, "accepted", bool(measurement.get("set_up_accepted", False)),
                     place=("measurement", "set_up_accepted")),
    )  # fmt: skip
    document: Document = {"method": method.value, "landmark": str(landmark), "set_up_accepted": accepted}
    document |= {name: measurement[name] for name in ("to_incisal_edge",) if name in measurement}
    return document | ({} if error is None else {"error_mm": to_decimal(error)})


def _edit_one_number(jaw: Document, edited: Document) -> list[Document]:
    """The same space at every implant, at the places where that many implants usually stand."""
    first = next(iter(jaw.get("sites") or [{}]))
    row = st.columns([3, 3, 5], gap="medium")
    with row[0]:
        space = edit_number(
            "Space at the tightest site, mm", jaw, "space", first, _LENGTH, 0.25,
            place=("sites", 0, "restorative_space_mm"),
        )  # fmt: skip
    with row[1]:
        tissue = edit_number(
            "Tissue, mm (optional)", jaw, "tissue", first, _THIN, 0.25, place=("sites", 0, "tissue_mm")
        )
    numbers = {"restorative_space_mm": to_decimal(space), "tissue_mm": to_decimal(tissue)}
    known = {name: number for name, number in numbers.items() if number is not None}
    return [{"tooth": tooth, **known} for tooth in suggest_teeth(Arch(edited["arch"]), edited["implants"])]


def _edit_sites(jaw: Document, edited: Document) -> list[Document]:
    """A row an implant. Rows that are left out for the moment, because there are fewer implants, come back."""
    arch, implants = Arch(edited["arch"]), int(edited["implants"])
    known = list(jaw.get("sites") or [])
    aside: list[Document] = get_note(f"sites_aside_{arch}") or []
    rows = _fill_rows([*known, *aside[len(known) :]], arch, implants)
    sites = [_edit_site(jaw, rows[number], number) for number in range(implants)]
    if len(known) > implants:
        put_note(f"sites_aside_{arch}", [*sites, *known[implants:], *aside[len(known) :]])
    st.markdown(
        ":small[Depth: of the platform below the bone crest. Lean: mesiodistally, + is distal; faciolingually, + is "
        "facial. Position: along the arch from the midline, the patient's left negative. Denture: thickness of the "
        "present one over the site, where attachments go into it.]"
    )
    return sites


def _fill_rows(sites: list[Document], arch: Arch, implants: int) -> list[Document]:
    """Rows for all implants; what is missing begins where implants usually stand."""
    used = {site.get("tooth") for site in sites[:implants]}
    free = [tooth for tooth in (*suggest_teeth(arch, implants), *list_teeth(arch)) if tooth not in used]
    return [*sites, *({"tooth": tooth} for tooth in free[: max(0, implants - len(sites))])]


def _edit_site(jaw: Document, site: Document, number: int) -> Document:
    """One implant: tooth, space and tissue in a row, all else in what opens beside them."""
    row = st.columns([2, 3, 3, 6], gap="medium")
    teeth = list(list_teeth(Arch(jaw["arch"])))
    tooth, label = str(site.get("tooth", teeth[0])), f"Site {number + 1}: "
    held = hold_field(
        jaw, f"site_{number}_tooth", tooth if tooth in teeth else teeth[0], place=("sites", number, "tooth")
    )
    edited: Document = {name: site[name] for name in ("x_mm", "y_mm") if name in site}
    edited["tooth"] = row[0].selectbox(f"{label}tooth", teeth, **held)
    for column, field in zip(row[1:], _FIRST, strict=False):
        with column:
            edited |= _edit_field(jaw, site, number, field)
    with row[3].expander(f"More of site {number + 1}"):
        columns = st.columns(3, gap="small")
        for index, field in enumerate(_MORE):
            with columns[index % 3]:
                edited |= _edit_field(jaw, site, number, field)
    return edited


def _edit_field(
    jaw: Document, site: Document, number: int, field: tuple[str, str, tuple[float, float]]
) -> Document:  # fmt: skip
    """One number of a site; left empty, it is not in the document at all."""
    name, label, bounds = field
    value = edit_number(
        f"Site {number + 1}: {label[0].lower()}{label[1:]}", jaw, f"site_{number}_{name}", site, bounds,
        _STEPS.get(name, 0.25), place=("sites", number, name), format="%.2f",
    )  # fmt: skip
    return {} if value is None else {name: to_decimal(value)}
