"""The Clearance page: one option at a time, its verdict, the stack to scale, and everything the verdict rests on."""

from dataclasses import replace
from decimal import Decimal

import pandas as pd
import streamlit as st

from estimator import files
from estimator.base.evidence import Figure
from estimator.base.formats import show_chance
from estimator.estimate.clearance.cautions import find_gravest
from estimator.estimate.clearance.layers import Layer, say_finding
from estimator.estimate.clearance.stack import Stack, find_collar
from estimator.estimate.clearance.verdict import Clearance, check_clearance
from estimator.estimate.compare import list_rows
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate
from estimator.inputs.case.model import Jaw
from estimator.inputs.options.model import Option
from estimator.inputs.reference.wording import Wording
from estimator.pictures.base.rows import Sizes
from estimator.pictures.jaw.checked import list_checked
from estimator.pictures.jaw.parts import JawWords
from estimator.pictures.options.option_rows import RowWriter
from estimator.sheets.export.summary import describe_jaw
from estimator.ui.clearance.details import show_along, show_conversion, show_heights, show_opinions
from estimator.ui.clearance.drawing import show_draw
from estimator.ui.clearance.further import show_next_measurement, show_plane, show_reserve
from estimator.ui.clearance.tables import show_cautions, show_earlier, show_sites, show_ways_to_make_room
from estimator.ui.shell import session
from estimator.ui.shell.ask import hold_option
from estimator.ui.shell.markup import say_how_sure, show_plain
from estimator.ui.shell.parts.basis import show_basis
from estimator.ui.shell.render import show_gravest, show_picture, show_table, sign_length

_PIXELS_PER_MM, _NARROWEST = 18, 340
_FURTHEST = 3.0


def show_clearance(estimate: CaseEstimate, jaw: JawEstimate, number: int) -> None:
    """One jaw: what is measured, the verdict on every option, then one option in full."""
    wording = files.load_wording()
    rows = list_rows(jaw, no_treatment=("", ""))
    writer = RowWriter(wording, patient=False, locale=estimate.practice.settings.locale)
    st.markdown(show_plain(" ".join(describe_jaw(jaw, rows))))
    for row, made in zip(rows, jaw.options, strict=False):
        st.markdown(f"- **{show_plain(made.name)}**\\: {show_plain(writer.find_room(row))}")
    options = {option.key: option for option in estimate.practice.options}
    by_key = {made.key: made for made in jaw.estimates}
    key = f"clearance_{session.get_generation()}_{number}"
    choice, shift = st.columns([3, 2], gap="large", vertical_alignment="bottom")
    held = hold_option(f"clearance_{number}_option", jaw.jaw.arch, list(by_key), jaw.estimates[-1].key)
    chosen = choice.radio("Option", list(by_key), horizontal=True, format_func=lambda one: by_key[one].name, **held)
    more = shift.slider(
        "What if the room were more or less, mm", -_FURTHEST, _FURTHEST, 0.0, 0.25, format="%+.2f", key=f"{key}_shift"
    )
    made = by_key[chosen]
    _show_option(made, options[made.key], estimate, jaw.jaw, Decimal(str(more)), key)


def shift_rooms(jaw: Jaw, more_mm: Decimal) -> Jaw:
    """The jaw as it would be with that much more room at every measured site, never under 0."""
    sites = tuple(
        site
        if site.restorative_space_mm is None
        else replace(site, restorative_space_mm=max(Decimal(0), site.restorative_space_mm + more_mm))
        for site in jaw.sites
    )
    return replace(jaw, sites=sites)


def _show_option(made: Estimate, option: Option, estimate: CaseEstimate, jaw: Jaw, more_mm: Decimal, key: str) -> None:
    clearance, practice = made.clearance, estimate.practice
    if more_mm:
        jaw = shift_rooms(jaw, more_mm)
        clearance = check_clearance(estimate.case, jaw, option, practice)
        st.info(
            f"What if: {sign_length(float(more_mm))} mm at every measured site. Nothing of this is kept.", icon=None
        )
    drawing, reading = st.columns([3, 2], gap="large")
    with drawing:
        _show_drawing(option, clearance, estimate, jaw)
    with reading:
        _show_verdict(made, clearance, option, estimate, jaw, key)
    show_earlier(clearance)
    show_ways_to_make_room(clearance)
    show_cautions(clearance)
    show_sites(clearance, jaw)
    show_heights(clearance, option, estimate, jaw, key)
    show_along(clearance, practice.evidence, key)
    show_conversion(clearance, option, practice.evidence, key)
    show_plane(estimate, jaw, clearance)
    show_reserve(estimate, jaw)
    show_opinions(clearance, estimate, key)
    show_draw(clearance, key)


def _show_drawing(option: Option, clearance: Clearance, estimate: CaseEstimate, jaw: Jaw) -> None:
    """The stack that is counted, to scale at every site, beside the room that was measured there."""
    checked, words = list_checked(option, clearance, jaw, estimate.practice.evidence), JawWords()
    if checked is None:
        st.markdown("No site is measured yet, so there is nothing to draw.")
        return
    picture = checked.draw(scale=_PIXELS_PER_MM, sizes=Sizes(width=_NARROWEST), words=words)
    show_picture(picture, alt=checked.describe(words))


def _show_verdict(
    made: Estimate, clearance: Clearance, option: Option, estimate: CaseEstimate, jaw: Jaw, key: str
) -> None:
    """The finding of the layer that decides, then every layer that was asked."""
    evidence, words = estimate.practice.evidence, files.load_wording()
    finding = say_finding(clearance.layers, patient=False)
    st.header(show_plain(finding[:1].upper() + finding[1:]), anchor=False)
    show_gravest(find_gravest(clearance.cautions))
    if clearance.provisional:
        st.markdown(words.get("words.room.office_provisional"))
    for layer in clearance.layers:
        if layer.text:
            st.markdown(_tell_layer(layer, words, decides=layer == clearance.headline))
    show_next_measurement(clearance, jaw, evidence)
    if clearance.chance_range is not None:
        st.markdown(f":small[{_tell_shares(clearance, evidence.get('error_correlation'))}]")
    figures = [figure for figure in made.basis if figure.unit in ("mm", "mm, SD", "share", "chance")]
    show_basis(_RULE, figures, evidence, key=f"{key}_verdict")
    _show_stack(option, clearance)


def _tell_layer(layer: Layer, words: Wording, *, decides: bool) -> str:
    """State and reason of one layer; that it decides, or that it only warns."""
    mark = " (this decides)" if decides else "" if layer.may_rule_out else " (warns only)"
    state = words.get(f"words.layer.{layer.state}")
    return f"- **{show_plain(layer.name.capitalize())}**\\: {state}{mark}. :small[{show_plain(layer.text)}]"


_RULE = (
    "Least, usual and most are the sums of the parts of one stack, each part counted once, from the soft tissue crest; "
    "a chosen abutment height stands for tissue and rise. Every layer has one rule. *Room to spare*: the chance that "
    "the usual parts fit is at least the level below. *Not enough*: the chance that even the least parts fit is under "
    "what that level leaves. *Close*: between. The worst layer that may rule out decides."
)


def _tell_shares(clearance: Clearance, shared: Figure) -> str:
    """How much hangs on the share of error that all sites have in common."""
    low, high = (show_chance(chance) for chance in clearance.chance_range or ())
    shares = [f"{100 * share:.0f} %" for share in (shared.low, shared.value, shared.high)]
    return (
        f"Error of measuring ± {clearance.error_mm:.2f} mm, {shares[1]} of it shared by all sites "
        f"({show_plain(say_how_sure(shared))}); at {shares[0]} shared the usual stack fits with {low}, at {shares[2]} "
        f"with {high}."
    )


def _show_stack(option: Option, clearance: Clearance) -> None:
    """The parts from above; the sum is that of the site that decides, where an abutment height may stand for one."""
    limiting = next((check for check in clearance.sites if check.tooth == clearance.limiting_site), None)
    parts = [_make_part(part.name, part.figure) for part in reversed(option.stack)]
    if limiting is not None and limiting.collar_mm is not None and option.collar is not None:
        place = len(option.stack) - 1 - option.stack.index(option.collar)
        parts[place] = _make_chosen(option.collar.name, limiting.collar_mm, find_collar(option, limiting.stack))
    total: dict[str, str | float] = {
        "Part, mm": "Sum, from the soft tissue",
        "Least": float(clearance.least_mm),
        "Usual": float(clearance.required_mm),
        "Most": float(clearance.most_mm),
        "How sure": "derived",
    }
    show_table(pd.DataFrame([*parts, total]), dict.fromkeys(("Least", "Usual", "Most"), "{:.2f}"))


def _make_chosen(name: str, height_mm: Decimal, stack: Stack) -> dict[str, str | float]:
    return {
        "Part, mm": f"{name}, of an abutment {height_mm:.2f} high",
        "Least": float(stack.least_mm),
        "Usual": float(stack.usual_mm),
        "Most": float(stack.most_mm),
        "How sure": "chosen",
    }


def _make_part(name: str, figure: Figure) -> dict[str, str | float]:
    return {
        "Part, mm": name,
        "Least": float(figure.low),
        "Usual": float(figure.value),
        "Most": float(figure.high),
        "How sure": say_how_sure(figure),
    }
