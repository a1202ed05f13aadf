"""The Clearance page: one option at a time, its finding as the title, the picture, the layers, and all they rest on."""

from dataclasses import replace
from decimal import Decimal

import pandas as pd
import streamlit as st

from estimator import files
from estimator.base.evidence import Figure
from estimator.base.formats import show_chance
from estimator.estimate.clearance.cautions import find_gravest
from estimator.estimate.clearance.layers import say_finding
from estimator.estimate.clearance.stack import Stack, find_collar
from estimator.estimate.clearance.verdict import Clearance, check_clearance
from estimator.estimate.compare import list_rows
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate
from estimator.inputs.case.model import Arch, Jaw
from estimator.inputs.options.model import Option
from estimator.inputs.reference.layers import LayerKey, LayerState
from estimator.pictures.base.rows import Sizes
from estimator.pictures.jaw.checked import list_checked
from estimator.pictures.jaw.parts import JawWords
from estimator.sheets.export.summary import describe_jaw
from estimator.ui.clearance.details import show_along, show_conversion, show_heights, show_opinions
from estimator.ui.clearance.drawing import show_draw
from estimator.ui.clearance.further import show_next_measurement, show_plane, show_reserve
from estimator.ui.clearance.looked_at import show_layers
from estimator.ui.clearance.tables import show_cautions, show_earlier, show_sites, show_ways_to_make_room
from estimator.ui.shell import session
from estimator.ui.shell.ask import hold_option
from estimator.ui.shell.markup import say_how_sure, show_plain
from estimator.ui.shell.parts.basis import show_basis
from estimator.ui.shell.render import show_gravest, show_picture, show_table, sign_length

_PIXELS_PER_MM, _NARROWEST = 15, 340
_FURTHEST = 3.0
_JAWS = {Arch.MANDIBLE: "Lower jaw", Arch.MAXILLA: "Upper jaw"}


def show_clearance(estimate: CaseEstimate, jaw: JawEstimate, number: int) -> None:
    """One option of one jaw: what decides it, drawn and layer by layer; the option is chosen above the picture."""
    head = st.container()
    options = {option.key: option for option in estimate.practice.options}
    by_key = {made.key: made for made in jaw.estimates}
    key = f"clearance_{session.get_generation()}_{number}"
    held = hold_option(f"clearance_{number}_option", jaw.jaw.arch, list(by_key), jaw.estimates[-1].key)
    chosen = st.segmented_control(
        "Option", list(by_key), required=True, format_func=lambda one: by_key[one].name, label_visibility="collapsed",
        **held,
    )  # fmt: skip
    made, measured, more = by_key[chosen], jaw.jaw, Decimal(str(st.session_state.get(f"{key}_shift", 0.0)))
    if more:
        measured = shift_rooms(measured, more)
        clearance = check_clearance(estimate.case, measured, options[chosen], estimate.practice)
        made = replace(made, clearance=clearance)
    with head:
        _show_finding(made, jaw, more, several=len(estimate.jaws) > 1)
    drawing, reading = st.columns([3, 2], gap="large")
    with drawing:
        _show_drawing(options[chosen], made.clearance, estimate, measured)
        show_ways_to_make_room(made.clearance)
        st.slider("What if the room were more or less, mm", -_FURTHEST, _FURTHEST, 0.0, 0.25, format="%+.2f",
                  key=f"{key}_shift")  # fmt: skip
    with reading:
        show_layers(made.clearance)
        _show_sureness(made, estimate, key)
        show_next_measurement(made.clearance, measured, estimate.practice.evidence)
        show_earlier(made.clearance)
    show_plane(estimate, measured, made.clearance)
    show_cautions(made.clearance)
    _show_foot(made, options[chosen], estimate, jaw, measured, key)


def _show_finding(made: Estimate, jaw: JawEstimate, more_mm: Decimal, *, several: bool) -> None:
    """The finding of the layer that decides as the title, what is all right below it, and the gravest cautions."""
    clearance = made.clearance
    finding = say_finding(clearance.layers, patient=False)
    finding = finding[:1].upper() + finding[1:]
    whose = f"{_JAWS[jaw.jaw.arch]}. " if several else ""
    st.title(show_plain(f"{whose}{finding}"), anchor=False)
    right = [layer.name for layer in clearance.layers if layer.state is LayerState.ROOM]
    if right:
        st.markdown(f"{show_plain(made.name)}\\: room to spare in {show_plain(', '.join(right))}.")
    if more_mm:
        st.info(
            f"What if: {sign_length(float(more_mm))} mm at every measured site. Nothing of this is kept.", icon=None
        )
    show_gravest(find_gravest(clearance.cautions))


def shift_rooms(jaw: Jaw, more_mm: Decimal) -> Jaw:
    """The jaw as it would be with that much more room at every measured site, never under 0."""
    sites = tuple(
        site
        if site.restorative_space_mm is None
        else replace(site, restorative_space_mm=max(Decimal(0), site.restorative_space_mm + more_mm))
        for site in jaw.sites
    )
    return replace(jaw, sites=sites)


def _show_drawing(option: Option, clearance: Clearance, estimate: CaseEstimate, jaw: Jaw) -> None:
    """The stack that is counted, to scale at every site, beside the room that was measured there."""
    checked, words = list_checked(option, clearance, jaw, estimate.practice.evidence), JawWords()
    picture = checked.draw(scale=_PIXELS_PER_MM, sizes=Sizes(width=_NARROWEST), words=words)
    show_picture(picture, alt=checked.describe(words))
    if not jaw.sites:
        st.markdown("No site is measured yet; these are the parts alone.")


def _show_sureness(made: Estimate, estimate: CaseEstimate, key: str) -> None:
    """Both chances of the height in one line, and how they were computed."""
    clearance, evidence = made.clearance, estimate.practice.evidence
    st.header("How sure is the height?", anchor=False)
    height = next(layer for layer in clearance.layers if layer.key is LayerKey.HEIGHT)
    if height.chance_usual is None or height.chance_least is None or clearance.chance_range is None:
        st.markdown("Not every site is measured, so there is no chance to say.")
    else:
        provisional = f"{files.load_wording().get('words.room.office_provisional')} " if clearance.provisional else ""
        st.markdown(
            f"{provisional}Usual parts **{show_chance(height.chance_usual)}**, least parts "
            f"**{show_chance(height.chance_least)}**, at every site together."
        )
        st.markdown(f":small[{_tell_shares(clearance, evidence.get('error_correlation'))}]")
    figures = [figure for figure in made.basis if figure.unit in ("mm", "mm, SD", "share", "chance")]
    show_basis(_RULE, figures, evidence, key=f"{key}_verdict")


def _show_foot(
    made: Estimate, option: Option, estimate: CaseEstimate, jaw: JawEstimate, measured: Jaw, key: str
) -> None:
    """Closed until somebody asks: parts, sites, heights of abutments, the bar, the denture, what was published."""
    clearance, evidence = made.clearance, estimate.practice.evidence
    with st.expander(f"Part by part\\: least, usual, most ({len(option.stack)} parts)"):
        _show_stack(option, clearance)
        show_draw(clearance, key)
    with st.expander(f"Every site\\: what was measured ({len(measured.sites)})"):
        st.markdown(show_plain(" ".join(describe_jaw(jaw, list_rows(jaw, no_treatment=("", ""))))))
        show_sites(clearance, measured)
    show_heights(clearance, option, estimate, measured, key)
    show_along(clearance, measured, evidence, key)
    show_conversion(clearance, option, evidence, key)
    show_reserve(estimate, measured)
    show_opinions(clearance, estimate, key)


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
