"""The parts of a verdict that have rules of their own: abutment heights, a bar, a present denture, published minima."""

import re
from decimal import Decimal

import pandas as pd
import streamlit as st

from estimator.base.evidence import Evidence, Figure
from estimator.estimate.clearance.abutment_heights import list_heights, name_raised, name_unserved
from estimator.estimate.clearance.abutment_levels import Levels
from estimator.estimate.clearance.along import list_bar_figures
from estimator.estimate.clearance.conversion import ConversionCheck
from estimator.estimate.clearance.published_minima import Opinion, count_met
from estimator.estimate.clearance.verdict import Clearance
from estimator.estimate.result import CaseEstimate
from estimator.inputs.case.model import Jaw
from estimator.inputs.options.model import Option, PartRole
from estimator.pictures.base.rows import Sizes
from estimator.pictures.minima.opinion_strips import list_strips
from estimator.pictures.minima.strips import StripWords, describe_strips, draw_strips
from estimator.ui.shell import session
from estimator.ui.shell.markup import say_minimum, show_plain, to_float
from estimator.ui.shell.parts.basis import show_basis
from estimator.ui.shell.render import show_picture, show_table, sign_length

_NARROWEST = 340
_LENGTH = re.compile(r"\d{1,2}(\.\d{1,2})?")
_HIGHEST = 15


def show_heights(clearance: Clearance, option: Option, estimate: CaseEstimate, jaw: Jaw, key: str) -> None:
    """Abutment heights: the list there is, the most level choice, and what it leaves."""
    levels = clearance.levels
    if levels is None or option.collar is None:
        return
    with st.expander(f"Abutment heights ({len(levels.chosen)} chosen)"):
        _show_heights(clearance, levels, option.collar.figure, estimate, jaw, key)


def _show_heights(
    clearance: Clearance, levels: Levels, rise: Figure, estimate: CaseEstimate, jaw: Jaw, key: str
) -> None:
    heights = list_heights(jaw, estimate.practice)
    shown = ", ".join(f"{height.normalize():f}" for height in heights)
    typed = st.text_input(
        "Heights there are, mm", shown, key=f"{key}_heights", help="Of this case; empty for the list of the practice."
    )
    _keep_heights(typed, heights, jaw)
    _show_choices(clearance, levels)
    if levels.unserved:
        st.markdown(f"No height in the list serves {show_plain(name_unserved(levels))}.")
    if levels.unknown:
        st.markdown(
            f"Not chosen at {show_plain(', '.join(levels.unknown))}\\: space or tissue is not measured there, and a "
            "collar is never chosen on an assumed tissue."
        )
    keys = [] if jaw.abutment_heights_mm or estimate.practice.settings.abutment_heights_mm else list(_HEIGHTS)
    evidence = estimate.practice.evidence
    show_basis(_LEVEL_RULE, [rise, *(evidence.get(k) for k in (*_RISES, *keys))], evidence, key=f"{key}_levels")


def _show_choices(clearance: Clearance, levels: Levels) -> None:
    """The most level heights beside the lowest that may be used: what each costs in level, and in room."""
    if not levels.chosen:
        return
    counted = {check.tooth: check.collar_mm for check in clearance.sites}
    rows = [
        {"Site": level.tooth, "Most level": float(level.height_mm), "Lowest": float(low.height_mm),
         "Room it takes": float(level.height_mm - low.height_mm), "Counted": to_float(counted.get(level.tooth)),
         "Above tissue": float(level.above_tissue_mm), "Left above it": float(level.level_mm)}
        for level, low in zip(levels.chosen, levels.lowest, strict=True)
    ]  # fmt: skip
    lengths = ("Most level", "Lowest", "Room it takes", "Counted", "Above tissue", "Left above it")
    show_table(pd.DataFrame(rows), dict.fromkeys(lengths, "{:.2f}"))
    st.markdown(
        f"Highest to lowest attachment: **{levels.difference_mm:.2f} mm** apart, the least these heights allow."
    )
    if levels.raised:
        st.markdown(
            f"The lowest heights that may be used leave them {levels.lowest_difference_mm:.2f} mm apart. Level takes "
            f"more room: {show_plain(name_raised(levels))}."
        )


_HEIGHTS = ("abutment_height_lowest", "abutment_height_highest", "abutment_height_step")
_RISES = ("collar_rise_floor", "collar_rise_ceiling")
_LEVEL_RULE = (
    "One height a site of those that stand the usual rise to the ceiling above its tissue, or else at least the floor, "
    "so that the attachments lie as level as can be; of all such choices the one with the least sum of heights. Exact, "
    "not searched by trial. Lengths count from the platform. No taller collar is chosen, and none that is not listed."
)


def _keep_heights(typed: str, known: tuple[Decimal, ...], jaw: Jaw) -> None:
    """Put the typed heights into the case, or say what is wrong with them; nothing typed is the practice's list."""
    draft = session.get_draft()
    words = [word.rstrip(",") for word in re.split(r"[;\s]+", typed.strip()) if word.rstrip(",")]
    bad = [word for word in words if not _LENGTH.fullmatch(word) or not 0 < Decimal(word) <= _HIGHEST]
    if bad:
        st.error(
            f"Got '{show_plain(bad[0])}'; expected lengths over 0 and up to {_HIGHEST} mm, each after a comma and a "
            "space, such as 1, 2, 3.5",
            icon=None,
        )
        return
    heights = sorted({Decimal(word) for word in words})
    if draft is None or heights == sorted(known) or (not heights and not jaw.abutment_heights_mm):
        return
    jaws = [dict(document) for document in draft["jaws"]]
    for document in jaws:
        if document["arch"] == jaw.arch.value:
            document.pop("abutment_heights_mm", None)
            document.update({"abutment_heights_mm": heights} if heights else {})
    if not session.put_draft({**draft, "jaws": jaws}):
        st.rerun()


def show_along(clearance: Clearance, jaw: Jaw, evidence: Evidence, key: str) -> None:
    """The attachments of a bar and their places, and what is counted; the gaps stand in the picture."""
    along = clearance.along
    if along is None:
        return
    with st.expander(f"Room along the bar ({along.segment_count} segments)"):
        known = "not known, because not every position is" if along.places is None else f"**{along.places}**"
        st.markdown(f"Attachments planned on the bar: **{along.attachments}**; places on it: {known}.")
        show_basis(_BAR_RULE, [evidence.get(figure) for figure in list_bar_figures(jaw)], evidence, key=f"{key}_along")


_BAR_RULE = (
    "A segment is the straight length from the centre of one implant to the next. With the error of that length, a "
    "place counts where it is at least as sure as the level of the check; an extension holds one at most. Usual parts "
    "take the middle of each range below, the least parts its low end."
)


def show_conversion(clearance: Clearance, option: Option, evidence: Evidence, key: str) -> None:
    """The present denture over each site."""
    check = clearance.conversion
    if check is None:
        return
    with st.expander(f"The present denture ({len(check.sites)} sites)"):
        _show_conversion(check, option, evidence, key)


def _show_conversion(check: ConversionCheck, option: Option, evidence: Evidence, key: str) -> None:
    said = {None: "not known", True: "yes", False: "no"}
    st.markdown(
        f"Collar, housing and resin need **{check.needed_mm:.2f} mm** inside it. Base stable\\: "
        f"{said[check.denture.base_stable]}. Tall attachments now\\: {said[check.denture.tall_attachments]}. Leave a "
        "vent channel, block out, and pick up the housings under light closure only."
    )
    if check.sites:
        rows = [
            {"Site": s.tooth, "Thickness": to_float(s.thickness_mm),
             "Over need": None if s.thickness_mm is None else float(s.thickness_mm - s.needed_mm)}
            for s in check.sites
        ]  # fmt: skip
        show_table(pd.DataFrame(rows), {"Thickness": "{:.2f}", "Over need": sign_length})
    figures = [part.figure for part in option.stack if part.role is not PartRole.TOOTH]
    rule = "The least stack without its tooth, because the denture has its teeth already."
    show_basis(rule, figures, evidence, key=f"{key}_conversion")


def show_opinions(clearance: Clearance, estimate: CaseEstimate, key: str) -> None:
    """Published minima as strips beside the room."""
    if not clearance.opinions:
        return
    met = count_met(clearance.opinions)
    counted = f"enough for {met[0]} of {met[1]}" if met else str(len(clearance.opinions))
    with st.expander(f"What has been published\\: {counted}"):
        _show_opinions(clearance, met, estimate, key)


def _show_opinions(clearance: Clearance, met: tuple[int, int] | None, estimate: CaseEstimate, key: str) -> None:
    if met is not None:
        st.markdown(f"Read from the soft tissue crest, {clearance.space_mm:.2f} mm meets **{met[0]} of {met[1]}**.")
    st.markdown(
        "The sources disagree, mostly because they start at different landmarks; they are never averaged. Open "
        "circles: landmark not stated, so both readings are shown and only the stricter counts."
    )
    strips, words = list_strips(clearance.opinions), StripWords()
    error = clearance.error_mm or Decimal(0)
    picture = draw_strips(strips, Sizes(width=_NARROWEST), room_mm=clearance.space_mm, error_mm=error, words=words)
    show_picture(picture, alt=describe_strips(strips, room_mm=clearance.space_mm, error_mm=error, words=words))
    evidence = estimate.practice.evidence
    with st.popover("Where does each come from?", key=f"basis_{key}_minima"):
        for opinion in clearance.opinions:
            st.markdown(f"- {_cite(opinion, evidence)}")
        st.page_link(session.find_page("sources"), label="All sources")


def _cite(opinion: Opinion, evidence: Evidence) -> str:
    minimum = opinion.minimum
    note = f" {show_plain(minimum.note)}." if minimum.note else ""
    return (
        f"**{show_plain(minimum.label)}** {say_minimum(minimum)}\\: {show_plain(evidence.cite(minimum))} "
        f"({minimum.how_sure}).{note}"
    )
