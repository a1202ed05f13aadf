"""How the room was measured: not yet, one number for all sites, or site by site; and where the implants stand."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

import streamlit as st

from estimator.inputs.case.model import Arch, Method, list_landmarks, list_teeth, suggest_teeth
from estimator.inputs.case.writer import Document
from estimator.pictures.jaw.measuring import MEASURING_ALT, draw_measuring
from estimator.ui.case.fields import edit_number, hold_field
from estimator.ui.case.plan import edit_arch_plan
from estimator.ui.case.plan_view import find_curve, say_places
from estimator.ui.shell import session
from estimator.ui.shell.markup import say_word, to_decimal
from estimator.ui.shell.render import show_picture
from estimator.ui.shell.working_copy import get_note, hold_as, put_note, put_value

NOT_YET, ONE_NUMBER, BY_SITE = "Not measured yet", "One number for all sites", "Site by site"
_AT_ONE_PLACE = "Where the room is least"
_LENGTH, _THIN = (0.0, 40.0), (0.0, 10.0)
_SPACE = "restorative_space_mm"
_MEASURING = """
- **Space**: from the crest of the soft tissue (A) to the occlusal plane or incisal edge (D), with the teeth where they
  shall stand. Where the measurement starts at the bone crest (B) or the platform (C), choose that under “From”.
- **Tissue**: its height over the bone, from B to A.
- **Depth**: of the platform (C) below the bone crest (B); a minus where it stands above.
- **Width**: room in the denture from cheek to tongue.
- **Lean**: the angle of the implant's axis from the vertical. Distal and facial count as plus, mesial and lingual as
  minus.
- **At**: along the ridge from the midline, to the patient's right or left.
"""
_PLAIN = {"tooth", _SPACE, "tissue_mm", "platform_below_crest_mm"}


def edit_measurement(jaw: Document, edited: Document, *, measured: bool) -> Document:
    """The measurement and sites of a jaw as parts of its document; no spaces where it is not measured yet.

    `jaw` may hold a measurement that was set aside; `measured` says whether it counts now.
    """
    way = _choose_way(jaw, edited, measured=measured)
    numbers: Document = {}
    with st.container():  # one place for both, so that the plan below is not drawn anew when they come and go
        measurement = {} if way == NOT_YET else _edit_method(jaw, bool(edited["implants_present"]))
        if way == ONE_NUMBER:
            numbers = _edit_one_number(jaw)
    sites = _place_rows(jaw, edited, plain=way == ONE_NUMBER)
    if way != BY_SITE:
        sites = [{**_drop(site, _SPACE, *numbers), **_drop(numbers)} for site in sites]
    write, drawn = partial(_write_sites, jaw | edited), _count_drawn(jaw, way)
    edit_arch_plan(jaw | edited, sites, write, drawn=drawn, spaces=way != ONE_NUMBER)
    _put_aside(jaw, sites)
    _show_places(jaw, edited, sites)
    if way == NOT_YET:
        return {"sites": sites} if jaw.get("sites") else {}
    return {"measurement": measurement, "sites": sites}


@dataclass(slots=True)
class _Plan:
    """One plan of this tab: the way of measuring it was drawn with, how often afresh, and how often typing chose it."""

    way: str = ""
    drawn: int = 0
    typed: int = 0


def _get_plan(jaw: Document) -> _Plan:
    plans: dict[str, _Plan] = st.session_state.setdefault("plans", {})
    return plans.setdefault(f"{_name_way(jaw)}_{session.get_generation()}", _Plan())


def _count_drawn(jaw: Document, way: str) -> int:
    """How often the plan was drawn afresh, because another way of measuring has changed the spaces of its rows."""
    plan = _get_plan(jaw)
    plan.drawn, plan.way = plan.drawn + (plan.way not in ("", way)), way
    return plan.drawn


def _write_sites(jaw: Document, sites: list[Document]) -> None:
    """Put what the plan tells into the draft; the first space typed makes the jaw measured, site by site.

    The choice above is then a widget of a new name: a browser that has not heard of it yet still tells the old one.
    """
    place, plan = ("case", "jaws", str(jaw["arch"])), _get_plan(jaw)
    if plan.way == NOT_YET and any(_SPACE in site for site in sites):
        method = next(iter(Method))
        landmark = list_landmarks(method, implants_present=False)[0]
        put_value((*place, "measurement"), {"method": method.value, "landmark": landmark.value})
        put_note(f"measured_aside_{jaw['arch']}", None)
        put_note(_name_way(jaw), BY_SITE)
        plan.way, plan.typed = BY_SITE, plan.typed + 1
    put_value((*place, "sites"), sites)


def _show_places(jaw: Document, edited: Document, sites: Sequence[Document]) -> None:
    """What the plan says in numbers: between implants, front to back, most apart in lean."""
    practice = session.get_practice()
    usual = practice.usual_arches[Arch(edited["arch"])]
    if edited["implants"]:
        st.markdown(say_places(sites, find_curve(jaw, usual), usual, practice.settings.tooth_numbers))


def show_measuring() -> None:
    """What the numbers of a site mean: a picture, and its letters in words."""
    picture, words = st.columns([5, 6], gap="medium", vertical_alignment="center")
    with picture:
        show_picture(draw_measuring(), alt=MEASURING_ALT)
    words.markdown(_MEASURING)


def edit_arch_width(jaw: Document) -> Document:
    """How wide the ridge was measured, which widens the whole curve of the plan."""
    form: Document = dict(jaw.get("arch_form", {}))
    row = st.columns([3, 8], gap="medium")
    with row[0]:
        width = edit_number(
            "Width of the ridge, mm (optional)", jaw, "arch_width", form, (0.0, 90.0), 0.5,
            place=("arch_form", "width_mm"), placeholder="usual",
            help="From crest to crest at the first molars, 20 to 90 mm. It widens the curve of the plan.",
        )  # fmt: skip
    form = _drop(form | {"width_mm": to_decimal(width)})
    return {"arch_form": form or None}


def _choose_way(jaw: Document, edited: Document, *, measured: bool) -> str:
    """Without implants the room is measured at one place."""
    start, name, typed = _find_way(jaw) if measured else NOT_YET, _name_way(jaw), _get_plan(jaw).typed
    ways = (NOT_YET, ONE_NUMBER, BY_SITE) if edited["implants"] else (NOT_YET, BY_SITE)
    widget = name if edited["implants"] else f"{name}_none"
    held = hold_as(f"{widget}_{typed}" if typed else widget, start if start in ways else BY_SITE, ("typed", name))
    way = st.segmented_control(
        "Restorative space", ways, required=True, **held,
        format_func=lambda way: _AT_ONE_PLACE if way == BY_SITE and not edited["implants"] else way,
        help="From the landmark to the incisal edge or occlusal plane, with the teeth where they shall stand.",
    )  # fmt: skip
    return way or NOT_YET


def _name_way(jaw: Document) -> str:
    return f"case_{jaw['arch']}_way"


def _find_way(jaw: Document) -> str:
    """As it was chosen; else site by site where one number would not say it all."""
    if get_note(_name_way(jaw)) == BY_SITE:
        return BY_SITE
    sites = jaw.get("sites") or []
    if "measurement" not in jaw:
        return NOT_YET
    spaces = {site.get(_SPACE) for site in sites}
    plain = all(set(site) <= _PLAIN for site in sites)
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


def _edit_one_number(jaw: Document) -> Document:
    """The same space and tissue at every implant; None where it is empty."""
    first = next(iter(jaw.get("sites") or [{}]))
    row = st.columns([3, 3, 5], gap="medium")
    with row[0]:
        space = edit_number(
            "Space at the tightest site, mm", jaw, "space", first, _LENGTH, 0.25, place=("sites", 0, _SPACE)
        )
    with row[1]:
        tissue = edit_number(
            "Tissue, mm (optional)", jaw, "tissue", first, _THIN, 0.25, place=("sites", 0, "tissue_mm")
        )
    return {_SPACE: to_decimal(space), "tissue_mm": to_decimal(tissue)}


def _place_rows(jaw: Document, edited: Document, *, plain: bool) -> list[Document]:
    """A row an implant, or one for a jaw without. Rows that are left out for the moment come back.

    `plain`: where nothing but one number was said, more implants stand where that many usually do.
    """
    arch, count = Arch(edited["arch"]), max(1, int(edited["implants"]))
    known = list(jaw.get("sites") or [])
    usual = tuple(site.get("tooth") for site in known) == suggest_teeth(arch, len(known))
    if plain and usual and all(set(site) <= _PLAIN for site in known):
        known = known if len(known) == count else []
    aside: list[Document] = get_note(f"sites_aside_{arch}") or []
    return _fill_rows([*known, *aside[len(known) :]], arch, count)[:count]


def _put_aside(jaw: Document, sites: Sequence[Document]) -> None:
    """Keep the rows of implants that are not there for the moment."""
    name, known = f"sites_aside_{jaw['arch']}", list(jaw.get("sites") or [])
    if len(known) > len(sites):
        aside: list[Document] = get_note(name) or []
        put_note(name, [*sites, *known[len(sites) :], *aside[len(known) :]])


def _fill_rows(sites: Sequence[Document], arch: Arch, count: int) -> list[Document]:
    """Rows for all implants; what is missing begins where implants usually stand."""
    used = {site.get("tooth") for site in sites[:count]}
    free = [tooth for tooth in (*suggest_teeth(arch, count), *list_teeth(arch)) if tooth not in used]
    return [*sites, *({"tooth": tooth} for tooth in free[: max(0, count - len(sites))])]


def _drop(table: Document, *names: str) -> Document:
    """A table without some names, and without what is empty."""
    return {name: value for name, value in table.items() if name not in names and value is not None}
