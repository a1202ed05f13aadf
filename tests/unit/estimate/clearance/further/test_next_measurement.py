"""What to measure next in a whole jaw: rows found another way, and what is never asked for."""

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.estimate.clearance.further.next_measurement import Quantity, find_next_measurement, rank_measurements
from estimator.estimate.clearance.layers import Layer
from estimator.estimate.clearance.verdict import Clearance
from estimator.estimate.snapshot import take_snapshot
from estimator.inputs.case.model import Arch, DenturePlan, Jaw, Landmark, Measurement, Method, Site
from estimator.inputs.reference.layers import LayerKey, LayerState
from estimator.ui.clearance.further import say_next_measurement
from tests.builders import CASTS, check_room, estimate_all, load_demo_practice, make_jaw

EVIDENCE = load_demo_practice().evidence
SCAN = Measurement(method=Method.CONE_BEAM_CT, landmark=Landmark.BONE_CREST, set_up_accepted=True)
OPEN = replace(CASTS, set_up_accepted=False)
BAR = "connecting_bar"


def make_upper(*margins: float) -> Jaw:
    """Four upper implants still to be placed with a guide, their tissue not measured, two of them with ample room."""
    spaces = [str(13.75 + margin) for margin in (*margins, 20, 20)]
    return make_jaw(*spaces, arch=Arch.MAXILLA, implants_present=False, measurement=SCAN)


def check(jaw: Jaw, option: str = BAR) -> Clearance:
    return check_room(jaw, option)


def test_the_tissue_that_was_not_measured_is_asked_for_at_the_site_that_decides() -> None:
    """Margins 1 and 3, a scan, tissue not measured: 0.459 by the jaw, where the law of one site had 0.499."""
    jaw = make_upper(1, 3)
    offer = find_next_measurement(check(jaw), jaw, EVIDENCE)
    assert offer is not None
    singles = [o for o in rank_measurements(check(jaw), jaw, EVIDENCE) if o.site]
    assert (singles[0].quantity, singles[0].site, singles[0].minutes) == (Quantity.TISSUE, jaw.sites[0].tooth, 5)
    assert singles[0].chance == pytest.approx(0.459, abs=0.002)


def test_where_one_site_alone_would_settle_little_the_tissue_of_all_is_asked_for() -> None:
    """Margins 1 and 1.5: 0.073 for one site, because the other stays open."""
    jaw = make_upper(1, 1.5)
    offers = rank_measurements(check(jaw), jaw, EVIDENCE)
    single = next(o for o in offers if o.quantity is Quantity.TISSUE and o.site == jaw.sites[0].tooth)
    assert single.chance == pytest.approx(0.073, abs=0.003)
    assert (offers[0].quantity, offers[0].site, offers[0].minutes) == (Quantity.TISSUE, None, 20)
    assert offers[0].chance > 0.2


def make_converted() -> Jaw:
    """5.40 where 5.75 are needed, 5.25 where 5.25 are."""
    known = {"restorative_space_mm": Decimal(25), "angle_md_deg": Decimal(0), "angle_fl_deg": Decimal(0)}
    sites = (
        Site(tooth="43", tissue_mm=Decimal("2.5"), denture_thickness_mm=Decimal("5.40"), **known),
        Site(tooth="33", tissue_mm=Decimal(2), denture_thickness_mm=Decimal("5.25"), **known),
    )
    return make_jaw("25", implants=2, sites=sites, denture=DenturePlan.CONVERT)


def test_a_denture_too_thin_is_measured_again_where_it_is_thin() -> None:
    """0.0617 that it is no longer too thin after two minutes with the caliper."""
    jaw = make_converted()
    clearance = check(jaw, "individual_attachments")
    assert (clearance.headline.key, clearance.headline.state) == (LayerKey.DENTURE, LayerState.NOT_ENOUGH)
    offers = {offer.site: offer for offer in rank_measurements(clearance, jaw, EVIDENCE)}
    assert (offers["43"].quantity, offers["43"].minutes) == (Quantity.THICKNESS, 2)
    assert offers["43"].chance == pytest.approx(0.0617, abs=0.002)


def test_a_set_up_that_is_not_accepted_is_tried_in_first() -> None:
    jaw = make_jaw("12", measurement=OPEN)
    offer = find_next_measurement(check(jaw), jaw, EVIDENCE)
    assert offer is not None
    assert (offer.quantity, offer.site, offer.minutes) == (Quantity.TOOTH_TRIAL, None, 30)
    assert offer.chance > 0.5
    accepted = replace(jaw, measurement=CASTS)
    assert Quantity.TOOTH_TRIAL not in {o.quantity for o in rank_measurements(check(accepted), accepted, EVIDENCE)}


@pytest.mark.parametrize(("room", "state"), [("14", LayerState.ROOM), (None, LayerState.NOT_MEASURED)])
def test_nothing_is_asked_for_where_there_is_room_or_nothing_was_measured(room: str | None, state: LayerState) -> None:
    jaw = make_jaw(room) if room else make_jaw()
    clearance = check(jaw)
    assert clearance.headline.state is state
    assert find_next_measurement(clearance, jaw, EVIDENCE) is None


def test_another_layer_as_bad_leaves_only_a_change_for_the_worse() -> None:
    """Close along the bar too: no measurement of the height makes room of that."""
    jaw = make_upper(1, 3)
    alone = check(jaw)
    along = Layer(key=LayerKey.ALONG, state=LayerState.CLOSE, chance_usual=0.5, chance_least=0.999)
    others = tuple(layer for layer in alone.layers if layer.key is not LayerKey.ALONG)
    both = replace(alone, layers=(*others, along))
    assert (alone.headline.key, both.headline.key) == (LayerKey.HEIGHT, LayerKey.HEIGHT)
    assert find_best(alone, jaw) > 0.4
    assert find_best(both, jaw) < 0.01


def find_best(clearance: Clearance, jaw: Jaw) -> float:
    return max(offer.chance for offer in rank_measurements(clearance, jaw, EVIDENCE))


def test_the_same_jaw_is_told_the_same_each_time_and_the_most_likely_stands_first() -> None:
    jaw = make_upper(1, 1.5)
    first, second = (rank_measurements(check(jaw), jaw, EVIDENCE) for _ in range(2))
    assert first == second
    chances = [round(offer.chance, 3) for offer in first]
    assert chances == sorted(chances, reverse=True)


def test_the_json_names_quantity_site_and_chance_or_null() -> None:
    shown = take_snapshot(estimate_all(make_jaw("12", measurement=OPEN)))["jaws"][0]["options"]
    told = {option["key"]: option["clearance"]["next_measurement"] for option in shown}
    assert told["conventional_denture"] is None
    assert told[BAR]["quantity"] == "tooth_trial"
    assert told[BAR]["site"] is None
    assert 0.5 < told[BAR]["chance_to_settle"] <= 1


def test_the_page_says_it_in_one_sentence() -> None:
    jaw = make_upper(1, 3)
    offer = next(o for o in rank_measurements(check(jaw), jaw, EVIDENCE) if o.site)
    assert say_next_measurement(offer) == (
        f"Measure next: the tissue at {jaw.sites[0].tooth}; it would settle this in 46 in 100 cases; 5 minutes."
    )
    assert say_next_measurement(replace(offer, chance=0.049)) == "Measuring again would hardly change this."
