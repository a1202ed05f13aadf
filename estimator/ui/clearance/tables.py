"""What a verdict on the Clearance page rests on, section by section; a section without content is left out."""

import pandas as pd
import streamlit as st

from estimator.base.formats import TRUE_MINUS, show_chance
from estimator.estimate.clearance.cautions import Caution
from estimator.estimate.clearance.layers import say_finding
from estimator.estimate.clearance.verdict import Clearance
from estimator.inputs.case.model import Jaw
from estimator.ui.shell.markup import show_plain, to_float
from estimator.ui.shell.render import Format, show_table


def show_earlier(clearance: Clearance) -> None:
    """The verdict on an earlier measurement beside today's."""
    before = clearance.earlier
    if before is None:
        return
    change = "unchanged" if before.verdict is clearance.verdict else "changed"
    st.markdown(
        f"**Measured again\\: {change}.** On {before.measured_on.isoformat()} *{show_plain(before.finding)}*, now "
        f"*{show_plain(say_finding(clearance.layers, patient=False))}*. Both with today's parts."
    )


def show_ways_to_make_room(clearance: Clearance) -> None:
    """What could make room."""
    if not clearance.ways:
        return
    st.subheader("What could make room, for the clinician to judge", anchor=False)
    for way in clearance.ways:
        st.markdown(f"- {_say(way)}")


def show_cautions(clearance: Clearance) -> None:
    """Cautions with source and how sure."""
    if not clearance.cautions:
        return
    st.subheader("Cautions", anchor=False)
    st.markdown(":small[They inform the clinician; they decide nothing.]")
    for caution in clearance.cautions:
        st.markdown(f"- {_say(caution)}")


def _say(caution: Caution) -> str:
    """A text with its source, and how sure that is where the source does not say it already."""
    named = caution.source != caution.how_sure.value
    source = f"{show_plain(caution.source)} ({caution.how_sure})" if named else f"{caution.how_sure}, no source"
    return f"{show_plain(caution.text)} :small[{source}.]"


def show_sites(clearance: Clearance, jaw: Jaw) -> None:
    """What was measured at every site beside the room, which the picture tells, and the chance there."""
    if not jaw.sites:
        st.markdown("No site is measured yet.")
        return
    checks = {check.tooth: check for check in clearance.sites}
    rows = [
        {
            "Site": f"{site.tooth}{' (decides)' if site.tooth == clearance.limiting_site else ''}",
            "Chance": show_chance(checks[site.tooth].chance) if site.tooth in checks else "\N{EN DASH}",
            "Tissue": to_float(site.tissue_mm),
            "Width": to_float(site.width_mm),
            "Lean md, °": to_float(site.angle_md_deg),
            "Lean fl, °": to_float(site.angle_fl_deg),
            "Position": to_float(site.position_mm),
        }
        for site in jaw.sites
    ]
    formats: dict[str, Format] = {
        **dict.fromkeys(("Tissue", "Width"), "{:.2f}"),
        "Position": lambda length: f"{length:.2f}".replace("-", TRUE_MINUS),
        **dict.fromkeys(("Lean md, °", "Lean fl, °"), lambda angle: f"{angle:.0f}".replace("-", TRUE_MINUS)),
    }
    show_table(pd.DataFrame(rows), formats)
    st.markdown(":small[Lengths in mm. A dash is what was not measured; nothing is put in its place.]")
