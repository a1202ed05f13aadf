"""How the room was measured: not yet, one number for all sites, or site by site as a table."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import streamlit as st

from estimator.inputs.case.model import Arch, Method, list_landmarks, list_teeth, suggest_teeth
from estimator.inputs.case.writer import Document
from estimator.ui.shell.markup import say_word, to_decimal, to_float

if TYPE_CHECKING:
    import pandas as pd

Key = Callable[[str], str]

NOT_YET, ONE_NUMBER, BY_SITE = "Not measured yet", "One number for all sites", "Site by site"
_COLUMNS: dict[str, str] = {
    "restorative_space_mm": "Space, mm",
    "tissue_mm": "Tissue, mm",
    "platform_below_crest_mm": "Depth, mm",
    "width_mm": "Width, mm",
    "angle_md_deg": "Lean md, °",
    "angle_fl_deg": "Lean fl, °",
    "position_mm": "Position, mm",
    "denture_thickness_mm": "Denture, mm",
}


def edit_measurement(jaw: Document, edited: Document, key: Key, *, measured: bool) -> Document:
    """The measurement and sites of a jaw as parts of its document; nothing where it is not measured yet.

    `jaw` may hold a measurement that was set aside; `measured` says whether it counts now.
    """
    ways = (NOT_YET, ONE_NUMBER, BY_SITE)
    way = st.segmented_control(
        "Restorative space",
        ways,
        default=_find_way(jaw) if measured else NOT_YET,
        key=key("way"),
        required=True,
        help="From the landmark to the incisal edge or occlusal plane, with the teeth where they shall stand.",
    )
    if way in (None, NOT_YET):
        return {"sites": jaw["sites"]} if _has_spaceless_sites(jaw) else {}
    measurement = _edit_method(jaw.get("measurement", {}), bool(edited["implants_present"]), key)
    edit = _edit_one_number if way == ONE_NUMBER else _edit_table
    return {"measurement": measurement, "sites": edit(jaw, edited, key)}


def _has_spaceless_sites(jaw: Document) -> bool:
    """Sites typed without a space stay, so that their teeth and leans are not lost."""
    return bool(jaw.get("sites")) and all("restorative_space_mm" not in site for site in jaw["sites"])


def _find_way(jaw: Document) -> str:
    sites = jaw.get("sites") or []
    if "measurement" not in jaw:
        return NOT_YET
    spaces = {site.get("restorative_space_mm") for site in sites}
    plain = all(
        set(site) <= {"tooth", "restorative_space_mm", "tissue_mm", "platform_below_crest_mm"} for site in sites
    )
    return ONE_NUMBER if len(spaces) <= 1 and plain and len(sites) in (0, jaw.get("implants")) else BY_SITE


def _edit_method(measurement: Document, present: bool, key: Key) -> Document:
    row = st.columns([3, 3, 2, 3], gap="medium", vertical_alignment="bottom")
    methods = list(Method)
    start = measurement.get("method", methods[0])
    method = row[0].selectbox(
        "Measured on", methods, methods.index(Method(start)), key=key("method"), format_func=say_word
    )
    landmarks = list_landmarks(method, implants_present=present)
    mark = measurement.get("landmark")
    index = next((i for i, landmark in enumerate(landmarks) if landmark == mark), 0)
    landmark = row[1].selectbox("From", landmarks, index, key=key(f"landmark_{method}_{present}"), format_func=say_word)
    error = row[2].number_input(
        "Error, mm", 0.0, 5.0, to_float(measurement.get("error_mm")), 0.25, key=key("error"), placeholder="by method",
        help="One standard deviation. Left empty, the assumption for the method is used.",
    )  # fmt: skip
    accepted = row[3].checkbox(
        "Set-up accepted", bool(measurement.get("set_up_accepted", False)), key=key("accepted"),
        help="Height of the bite and tooth position are accepted. Until then every verdict is provisional.",
    )  # fmt: skip
    document: Document = {"method": str(method), "landmark": str(landmark), "set_up_accepted": accepted}
    return document | ({} if error is None else {"error_mm": to_decimal(error)})


def _edit_one_number(jaw: Document, edited: Document, key: Key) -> list[Document]:
    """The same space at every implant, at the places where that many implants usually stand."""
    first = next(iter(jaw.get("sites") or [{}]))
    row = st.columns([3, 3, 5], gap="medium")
    space = row[0].number_input(
        "Space at the tightest site, mm", 0.0, 40.0, to_float(first.get("restorative_space_mm")), 0.25, key=key("space")
    )
    tissue = row[1].number_input(
        "Tissue, mm (optional)", 0.0, 10.0, to_float(first.get("tissue_mm")), 0.25, key=key("tissue")
    )
    numbers = {"restorative_space_mm": to_decimal(space), "tissue_mm": to_decimal(tissue)}
    known = {name: number for name, number in numbers.items() if number is not None}
    return [{"tooth": tooth, **known} for tooth in suggest_teeth(Arch(edited["arch"]), edited["implants"])]


def _edit_table(jaw: Document, edited: Document, key: Key) -> list[Document]:
    """One row an implant. The table starts from the draft once; after that the editor itself holds what is typed."""
    arch, name = Arch(edited["arch"]), key(f"table_{edited['implants']}")
    base_name = f"{name}_base"
    if base_name not in st.session_state or name not in st.session_state:
        st.session_state[base_name] = _make_rows(jaw, arch, edited["implants"])
    table = st.data_editor(
        st.session_state[base_name],
        key=name,
        hide_index=True,
        num_rows="fixed",
        placeholder="",
        column_config={
            "tooth": st.column_config.SelectboxColumn("Tooth", options=list(list_teeth(arch)), required=True),
            **{field: st.column_config.NumberColumn(label, format="%.2f") for field, label in _COLUMNS.items()},
        },
    )
    st.markdown(
        ":small[Depth: of the platform below the bone crest. Lean: mesiodistally, + is distal; faciolingually, + is "
        "facial. Position: along the arch from the midline, the patient's left negative. Denture: thickness of the "
        "present one over the site, where attachments go into it.]"
    )
    return [_read_row(row) for row in table.to_dict("records")]


def _make_rows(jaw: Document, arch: Arch, implants: int) -> "pd.DataFrame":
    import pandas as pd

    sites = list(jaw.get("sites") or [])[:implants]
    used = {site.get("tooth") for site in sites}
    free = [tooth for tooth in (*suggest_teeth(arch, implants), *list_teeth(arch)) if tooth not in used]
    sites += [{"tooth": tooth} for tooth in free[: implants - len(sites)]]
    rows = [{"tooth": s.get("tooth"), **{field: to_float(s.get(field)) for field in _COLUMNS}} for s in sites]
    return pd.DataFrame(rows).astype(dict.fromkeys(_COLUMNS, "float64"))


def _read_row(row: dict[Any, Any]) -> Document:
    numbers = {field: to_decimal(row[field]) for field in _COLUMNS}
    return {"tooth": row["tooth"], **{field: number for field, number in numbers.items() if number is not None}}
