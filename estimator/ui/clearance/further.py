"""What a check leads on to: what to measure next."""

import streamlit as st

from estimator.base.evidence import Evidence
from estimator.base.formats import say_in_100
from estimator.estimate.clearance.chance.next import ReadingOffer
from estimator.estimate.clearance.further.next_measurement import HARDLY, Quantity, find_next_measurement
from estimator.estimate.clearance.verdict import Clearance
from estimator.inputs.case.model import Jaw
from estimator.ui.shell.markup import show_plain

_QUANTITIES = {
    Quantity.SPACE: "the space again at {place}",
    Quantity.SPACE_OTHER_METHOD: "the space at {place} by another method",
    Quantity.TISSUE: "the tissue at {place}",
    Quantity.TOOTH_TRIAL: "the bite, by trying in the teeth",
    Quantity.THICKNESS: "the present denture again at {place}",
}


def show_next_measurement(clearance: Clearance, jaw: Jaw, evidence: Evidence) -> None:
    """One sentence; nothing where no measurement is to be asked for."""
    offer = find_next_measurement(clearance, jaw, evidence)
    if offer is not None:
        st.markdown(show_plain(say_next_measurement(offer)))


def say_next_measurement(offer: ReadingOffer) -> str:
    """What to measure next, how likely it is to change the verdict, and its minutes."""
    if offer.chance < HARDLY:
        return "Measuring again would hardly change this."
    what = _QUANTITIES[Quantity(offer.quantity)].format(place=offer.site or "every site")
    visit = " and a visit" if offer.quantity is Quantity.TOOTH_TRIAL else ""
    return (
        f"Measure next: {what}; it would settle this in {say_in_100(offer.chance)} in 100 cases; "
        f"{offer.minutes} minutes{visit}."
    )
