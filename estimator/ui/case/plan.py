"""The plan of a jaw: the arch from above with a row of fields an implant, one component of our own."""

from collections.abc import Callable, Sequence
from dataclasses import asdict
from functools import partial
from pathlib import Path
from typing import Any

import streamlit as st

from estimator.inputs.case.model import Arch, DenturePlan, list_teeth
from estimator.inputs.case.writer import Document
from estimator.ui.case.plan_rows import FIRST, MORE, RowField, list_plan_rows, read_plan_rows
from estimator.ui.case.plan_view import find_curve, list_plan_teeth, list_points
from estimator.ui.shell import session
from estimator.ui.shell.markup import say_word
from estimator.ui.shell.render import current_colours
from estimator.ui.shell.working_copy import hold_reported

_HERE = Path(__file__).parent
_HTML = '<div class="plan"><div class="rows"></div><div class="picture"><svg role="group"></svg></div></div>'
_COLOURS = ("must", "pale", "quiet", "rule", "rule_edge", "on_rule")
_NOTE = (
    "Depth: of the platform below the bone crest. Width: room in the denture from cheek to tongue. Distal, facial: "
    "where the top leans; a minus is mesial or lingual. At: along the strip from the midline."
)
_NOTE_DENTURE = " Denture: the present one over this site, where it differs from the rest."

_draw = st.components.v2.component(
    "jaw_plan", html=_HTML, css=(_HERE / "plan.css").read_text("utf-8"), js=(_HERE / "plan.js").read_text("utf-8")
)


def edit_arch_plan(
    jaw: Document, sites: Sequence[Document], write: Callable[[list[Document]], None], *, drawn: int, spaces: bool
) -> None:
    """The plan of a jaw with these sites; `write` takes them whenever a field is left or a dot is let go.

    `spaces`: the rows ask for space and tissue. `drawn` counts how often it was to be drawn afresh, because the sites
    were changed from elsewhere.
    """
    arch, convert = Arch(jaw["arch"]), jaw["denture"] == DenturePlan.CONVERT
    fields = (FIRST if spaces else (), _list_more(jaw, convert=convert))
    name = f"case_{arch}_plan_{len(sites)}_{spaces:d}_{convert:d}_{drawn}"
    held = hold_reported(name, "rows", partial(_read, sites, arch, write))
    _draw(data=_make_data(jaw, arch, sites, fields), **held)


def _list_more(jaw: Document, *, convert: bool) -> tuple[RowField, ...]:
    if not jaw["implants"]:
        return ()
    return tuple(field for field in MORE if convert or field.name != "denture_thickness_mm")


def _read(
    known: Sequence[Document], arch: Arch, write: Callable[[list[Document]], None], rows: Sequence[Any]
) -> None:  # fmt: skip
    write(read_plan_rows(rows, known=known, arch=arch))


def _make_data(
    jaw: Document, arch: Arch, sites: Sequence[Document], fields: tuple[tuple[RowField, ...], tuple[RowField, ...]]
) -> dict[str, Any]:
    """All that the component draws; its rows count only when it is drawn for the first time."""
    practice, (first, more) = session.get_practice(), fields
    usual, numbers = practice.usual_arches[arch], practice.settings.tooth_numbers
    curve, colours = find_curve(jaw, usual), current_colours()
    front = "below" if arch is Arch.MANDIBLE else "above"
    denture = any(field.name == "denture_thickness_mm" for field in more)
    return {
        "alt": f"{say_word(arch).capitalize()} from above, front {front}, the patient's right on the left",
        "front_below": arch is Arch.MANDIBLE,
        "left": ["2", "3"],
        "curve": list_points(curve),
        "teeth": list_plan_teeth(arch, curve, usual, numbers),
        "order": list_teeth(arch),
        "rows": list_plan_rows(sites, (*first, *more)),
        "fields": {field.name: asdict(field) for field in (*first, *more)},
        "first": [field.name for field in first],
        "more": [field.name for field in more],
        "note": _NOTE + (_NOTE_DENTURE if denture else ""),
        "colours": {name: colours[name] for name in _COLOURS},
    }
