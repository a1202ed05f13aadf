"""The Clearance page: for each option the verdict, the stack part by part, the sites, the cautions."""

import pandas as pd
import streamlit as st

from estimator import files
from estimator.base.evidence import Figure
from estimator.estimate.clearance.stack import find_tissue
from estimator.estimate.clearance.verdict import Clearance
from estimator.estimate.compare import list_rows
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate, NotApplicable
from estimator.inputs.case import Jaw
from estimator.inputs.options import Option
from estimator.pictures.jaw.draw import draw_jaw
from estimator.pictures.jaw.parts import JawSite, JawWords, describe_jaw_picture, list_parts
from estimator.pictures.option_rows import RowWriter
from estimator.pictures.rows import Sizes
from estimator.sheets.summary import describe_jaw, show_chance
from estimator.ui.show import Format, show_picture, show_table, sign_length
from estimator.ui.words import say_how_sure, show_plain

_PIXELS_PER_MM, _NARROWEST = 18, 340


def show_clearance(estimate: CaseEstimate, jaw: JawEstimate) -> None:
    """One jaw: what is measured, then every option."""
    wording = files.load_wording()
    rows = list_rows(jaw, no_treatment=("", ""))
    writer = RowWriter(wording, patient=False, locale=estimate.practice.settings.locale)
    st.markdown(show_plain(" ".join(describe_jaw(jaw, rows))))
    options = {option.key: option for option in estimate.practice.options}
    for row, made in zip(rows, jaw.options, strict=False):
        st.header(show_plain(made.name))
        st.markdown(f"**{show_plain(writer.find_room(row).capitalize())}.**")
        if isinstance(made, NotApplicable):
            continue
        _show_option(made, options[made.key], estimate, jaw)


def _show_option(made: Estimate, option: Option, estimate: CaseEstimate, jaw: JawEstimate) -> None:
    clearance = made.clearance
    st.markdown(_describe(clearance, estimate.practice.evidence.get("error_correlation")))
    drawing, reading = st.columns([3, 2], gap="large")
    with drawing:
        _show_drawing(option, clearance, estimate, jaw.jaw)
    with reading:
        _show_stack(option, clearance, estimate)
        _show_sites(clearance)
    for caution in clearance.cautions:
        st.markdown(f"Caution: {show_plain(caution.text)} :small[{show_plain(caution.source)} ({caution.how_sure}).]")


def _show_drawing(option: Option, clearance: Clearance, estimate: CaseEstimate, jaw: Jaw) -> None:
    """The usual stack to scale at every site, beside the room that was measured there."""
    if not jaw.sites:
        return
    rooms = {room.tooth: room.room_mm for room in clearance.rooms}
    sites = [JawSite(label=s.tooth, position_mm=s.position_mm, room_mm=rooms.get(s.tooth)) for s in jaw.sites]
    tightest = next((s for s in jaw.sites if s.tooth == clearance.limiting_site), jaw.sites[0])
    tissue = find_tissue(tightest, jaw.arch, estimate.practice.evidence).thickness_mm
    parts, error, words = list_parts(option), clearance.error_mm, JawWords()
    picture = draw_jaw(
        parts,
        sites,
        tissue_mm=tissue,
        error_mm=error,
        scale=_PIXELS_PER_MM,
        sizes=Sizes(width=_NARROWEST),
        words=words,
        implants=option.on_implants,
    )
    show_picture(picture, alt=describe_jaw_picture(parts, sites, tissue_mm=tissue, error_mm=error, words=words))


def _describe(clearance: Clearance, shared: Figure) -> str:
    if clearance.chance_of_fit is None or clearance.chance_range is None:
        return "The stack is read from the soft tissue crest. Without every site measured there is no chance of fit."
    low, chance, high = (
        show_chance(c) for c in (clearance.chance_range[0], clearance.chance_of_fit, clearance.chance_range[1])
    )
    shares = [f"{100 * share:.0f} %" for share in (shared.low, shared.value, shared.high)]
    return (
        f"Tightest site **{clearance.limiting_site}**, {clearance.space_mm:.2f} mm. Chance that the usual stack "
        f"fits at every site **{chance}**, with an error of ± {clearance.error_mm:.2f} mm, {shares[1]} of it shared by "
        f"all sites ({show_plain(say_how_sure(shared))}; at {shares[0]} shared {low}, at {shares[2]} {high})."
    )


def _show_stack(option: Option, clearance: Clearance, estimate: CaseEstimate) -> None:
    parts = [_make_part(part.name, part.figure) for part in reversed(option.stack)]
    total: dict[str, str | float] = {
        "Part, mm": "Sum, from the soft tissue",
        "Least": float(clearance.least_mm),
        "Usual": float(clearance.required_mm),
        "Most": float(clearance.most_mm),
        "How sure": "derived",
    }
    show_table(pd.DataFrame([*parts, total]), dict.fromkeys(("Least", "Usual", "Most"), "{:.2f}"))
    cite = estimate.practice.evidence.cite
    sources = " ".join(f"{part.name.capitalize()}: {cite(part.figure)}." for part in option.stack)
    st.markdown(f":small[{show_plain(sources)}]")


def _make_part(name: str, figure: Figure) -> dict[str, str | float]:
    return {
        "Part, mm": name,
        "Least": float(figure.low),
        "Usual": float(figure.value),
        "Most": float(figure.high),
        "How sure": say_how_sure(figure),
    }


def _show_sites(clearance: Clearance) -> None:
    if not clearance.rooms:
        st.markdown("No site is measured yet.")
        return
    rows = [
        {
            "Site": room.tooth,
            "Room": float(room.room_mm),
            "Over usual": float(room.room_mm - clearance.required_mm),
            "Over least": float(room.room_mm - clearance.least_mm),
        }
        for room in clearance.rooms
    ]
    formats: dict[str, Format] = {"Room": "{:.2f}", "Over usual": sign_length, "Over least": sign_length}
    show_table(pd.DataFrame(rows), formats)
