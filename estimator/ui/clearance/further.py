"""What a check leads on to: what to measure next, the plane between two jaws, and each implant lost in turn."""

from decimal import Decimal

import pandas as pd
import streamlit as st

from estimator.base.evidence import Evidence
from estimator.base.formats import say_in_100
from estimator.estimate.clearance.chance.next import ReadingOffer
from estimator.estimate.clearance.chance.room_errors import face_open_set_ups
from estimator.estimate.clearance.further.next_measurement import HARDLY, Quantity, find_next_measurement
from estimator.estimate.clearance.further.plane import PlaneOffer, offer_plane
from estimator.estimate.clearance.further.reserve import BarLeft
from estimator.estimate.clearance.further.reserve_check import Reserve, check_reserve
from estimator.estimate.clearance.verdict import Clearance
from estimator.estimate.result import CaseEstimate
from estimator.inputs.case.model import Jaw
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.render import show_table

_QUANTITIES = {
    Quantity.SPACE: "the space again at {place}",
    Quantity.SPACE_OTHER_METHOD: "the space at {place} by another method",
    Quantity.TISSUE: "the tissue at {place}",
    Quantity.TOOTH_TRIAL: "the bite, by trying in the teeth",
    Quantity.THICKNESS: "the present denture again at {place}",
}
_HOLDS = {
    True: "Whichever implant is lost, an option on implants remains.",
    False: "After one of these losses no option on implants remains.",
    None: "Whether an option on implants remains each time is not known: something is not measured.",
}
_BARS = {BarLeft.CUT: "cut behind the next implant", BarLeft.SPAN: "one longer span"}


def show_next_measurement(clearance: Clearance, jaw: Jaw, evidence: Evidence) -> None:
    """One sentence; nothing where no measurement is to be asked for."""
    offer = find_next_measurement(clearance, jaw, evidence)
    if offer is not None:
        st.header("What to measure next", anchor=False)
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


def show_plane(estimate: CaseEstimate, jaw: Jaw, clearance: Clearance) -> None:
    """What moving the plane gives, beside every option of the other jaw; nothing once the plane is settled."""
    other = next((one for one in estimate.jaws if one.jaw.arch is not jaw.arch), None)
    if other is None or not face_open_set_ups(estimate.case, jaw):
        return
    evidence = estimate.practice.evidence
    offers = [
        (made.name, offer_plane(jaw.arch, clearance.sites, made.clearance.sites, evidence)) for made in other.estimates
    ]
    lines = [f"- {show_plain(name)}\\: {show_plain(say_plane(offer))}" for name, offer in offers if offer is not None]
    if lines:
        st.subheader("The plane between both jaws", anchor=False)
        st.markdown("Neither set-up is accepted: the plane may move. With this option here, and in the other jaw:")
        st.markdown("\n".join(lines))


def say_plane(offer: PlaneOffer) -> str:
    """How far the plane may be raised, towards the upper jaw, or lowered."""
    if offer.missing_mm:
        return f"no plane gives both the usual room; {offer.missing_mm:.2f} mm are missing in all."
    if offer.from_mm is None or offer.to_mm is None:
        needed = offer.needed_mm or 0
        way = "raised" if needed > 0 else "lowered"
        return f"the plane would have to be {way} by {abs(needed):.2f} mm; over {offer.most_mm:f} mm is not offered."
    if offer.from_mm > 0:
        return _say_gain("raised", offer.from_mm, offer.to_mm)
    if offer.to_mm < 0:
        return _say_gain("lowered", -offer.to_mm, -offer.from_mm)
    return (
        f"both have the usual room; the plane may be raised by up to {offer.to_mm:.2f} mm "
        f"or lowered by up to {-offer.from_mm:.2f} mm."
    )


def _say_gain(way: str, least_mm: Decimal, most_mm: Decimal) -> str:
    return f"{way} by {least_mm:.2f} to {most_mm:.2f} mm, the plane gives both the usual room."


def show_reserve(estimate: CaseEstimate, jaw: Jaw) -> None:
    """Each implant lost in turn, and what is said of every option on those that are left."""
    reserve = check_reserve(estimate.case, jaw, estimate.practice, years=estimate.years)
    if reserve is None:
        return
    with st.expander(f"If an implant is lost\\: each of {len(reserve.losses)} in turn"):
        st.markdown(show_plain(say_reserve(reserve)))
        show_table(pd.DataFrame(list_losses(reserve)), {})


def say_reserve(reserve: Reserve) -> str:
    """Whether an option remains each time, and how likely it is that the reserve is needed."""
    if reserve.chance_needed is None:
        return _HOLDS[reserve.holds]
    chance = say_in_100(reserve.chance_needed)
    return f"{_HOLDS[reserve.holds]} Chance that an implant is lost within {reserve.years} years: {chance} in 100."


def list_losses(reserve: Reserve) -> list[dict[str, str]]:
    """One row an implant lost: what becomes of a bar, and every option left."""
    return [
        {
            "Implant lost": loss.lost.tooth,
            "A bar": _BARS[loss.lost.bar],
            **{left.name: left.text for left in loss.options},
        }
        for loss in reserve.losses
    ]
