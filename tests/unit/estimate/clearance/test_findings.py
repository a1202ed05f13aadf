"""What the number of implants, the abutments and the present denture find, and that each of them can decide."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.estimate.clearance.layers import Layer
from estimator.estimate.clearance.verdict import Verdict
from estimator.inputs.case.model import Arch, DenturePlan, Jaw, PresentDenture
from estimator.inputs.reference.layers import LayerKey, LayerState
from tests.builders import check_room, make_jaw, make_sites

STATES = tuple(LayerState)


def find_layer(jaw: Jaw, key: LayerKey, option: str = "individual_attachments") -> Layer:
    return next(layer for layer in check_room(jaw, option).layers if layer.key is key)


def make_converted(*thicknesses: str | None, tissue: str | None = None, **more: object) -> Jaw:
    sites = tuple(
        replace(
            site,
            denture_thickness_mm=None if thick is None else Decimal(thick),
            tissue_mm=None if tissue is None else Decimal(tissue),
        )
        for site, thick in zip(make_sites(["14"] * len(thicknesses)), thicknesses, strict=True)
    )
    known = {"implants": len(sites), "sites": sites, "denture": DenturePlan.CONVERT}
    return make_jaw("14", **{**known, "present_denture": PresentDenture(base_stable=True), **more})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("arch", "implants", "option", "state"),
    [
        (Arch.MAXILLA, 2, "connecting_bar", LayerState.NOT_ENOUGH),
        (Arch.MAXILLA, 3, "connecting_bar", LayerState.NOT_ENOUGH),
        (Arch.MAXILLA, 4, "connecting_bar", LayerState.ROOM),
        (Arch.MAXILLA, 2, "individual_attachments", LayerState.CLOSE),
        (Arch.MANDIBLE, 1, "individual_attachments", LayerState.CLOSE),
        (Arch.MANDIBLE, 2, "connecting_bar", LayerState.ROOM),
        (Arch.MANDIBLE, 1, "conventional_denture", LayerState.NOT_ASKED),
    ],
)
def test_the_number_of_implants_is_a_layer_of_its_own(
    arch: Arch, implants: int, option: str, state: LayerState
) -> None:
    """ITI consensus 2013 and Kern 2016 ask four joined upper implants; McGill consensus 2002 two lower ones."""
    assert find_layer(make_jaw("18", implants=implants, arch=arch), LayerKey.NUMBER, option).state is state


def test_a_bar_on_two_upper_implants_never_reads_room_to_spare() -> None:
    clearance = check_room(make_jaw("18", implants=2, arch=Arch.MAXILLA), "connecting_bar")
    assert (clearance.verdict, clearance.headline.key) == (Verdict.DOES_NOT_FIT, LayerKey.NUMBER)


def test_a_site_that_no_listed_height_serves_rules_attachments_on_implants_out() -> None:
    sites = make_sites(["18", "18"], tissue_mm=Decimal("7.5"))
    clearance = check_room(make_jaw("18", implants=2, sites=sites), "individual_attachments")
    assert (clearance.verdict, clearance.headline.key) == (Verdict.DOES_NOT_FIT, LayerKey.ABUTMENT)


def test_a_site_that_no_height_serves_leaves_the_bar_alone() -> None:
    sites = make_sites(["18", "18"], tissue_mm=Decimal("7.5"))
    assert find_layer(
        make_jaw("18", implants=2, sites=sites), LayerKey.ABUTMENT, "connecting_bar"
    ).state is LayerState.NOT_ASKED  # fmt: skip


def test_tissue_that_is_not_measured_leaves_the_abutments_open_but_not_the_verdict() -> None:
    clearance = check_room(make_jaw("18", implants=2), "individual_attachments")
    states = {layer.key: layer.state for layer in clearance.layers}
    assert (states[LayerKey.ABUTMENT], clearance.verdict) == (LayerState.NOT_MEASURED, Verdict.FITS)


def test_a_denture_far_too_thin_to_take_the_parts_never_reads_room_to_spare() -> None:
    clearance = check_room(make_converted("2.5", "2.0"), "individual_attachments")
    assert (clearance.verdict, clearance.headline.key) == (Verdict.DOES_NOT_FIT, LayerKey.DENTURE)
    assert (clearance.headline.site, clearance.headline.short_mm) == ("44", Decimal("3.25"))


def test_a_site_is_held_against_its_own_abutment() -> None:
    """Tissue 2.5 takes a collar of 4 that stands 1.5 above it: 1.5 + 2.25 + 2 = 5.75 are needed."""
    layer = find_layer(make_converted("5.40", "6.9", tissue="2.5"), LayerKey.DENTURE)
    assert dict(layer.values)["needed_mm"] == Decimal("5.75")
    assert layer.chance_least == pytest.approx(0.161, abs=0.001)


def test_a_denture_of_just_what_is_needed_at_two_sites_holds_with_a_quarter() -> None:
    assert find_layer(make_converted("5.25", "5.25"), LayerKey.DENTURE).chance_usual == pytest.approx(0.25)


def test_a_thickness_that_is_not_measured_leaves_a_conversion_open() -> None:
    clearance = check_room(make_converted("8", None), "individual_attachments")
    assert (clearance.verdict, clearance.headline.key) == (Verdict.NOT_MEASURED, LayerKey.DENTURE)


def test_a_site_too_thin_decides_before_the_others_are_measured() -> None:
    assert find_layer(make_converted("3", None), LayerKey.DENTURE).state is LayerState.NOT_ENOUGH


def test_a_new_denture_is_not_asked_how_thick_the_present_one_is() -> None:
    jaw = replace(make_converted("3", "3"), denture=DenturePlan.NEW)
    assert find_layer(jaw, LayerKey.DENTURE).state is LayerState.NOT_ASKED


def test_what_is_left_over_the_housing_is_told() -> None:
    """6.00 there, 1 + 2.25 taken by collar and attachment: 2.75 of resin stay."""
    assert "2.75\N{NO-BREAK SPACE}mm of resin" in find_layer(make_converted("6.00", "6.00"), LayerKey.DENTURE).text


@settings(max_examples=40)
@given(
    st.lists(st.decimals(min_value=1, max_value=9, places=2), min_size=2, max_size=2),
    st.decimals(min_value=0, max_value=2, places=2),
)
def test_a_thicker_denture_never_worsens_its_layer(thick: list[Decimal], more: Decimal) -> None:
    now = find_layer(make_converted(*(f"{one}" for one in thick)), LayerKey.DENTURE)
    after = find_layer(make_converted(*(f"{one + more}" for one in thick)), LayerKey.DENTURE)
    assert STATES.index(after.state) >= STATES.index(now.state)


def test_a_tenth_short_of_the_least_is_close_and_tells_its_chance() -> None:
    """One site, 0.1 under the least stack of 6.25 with an error of 0.5: 42 in 100."""
    clearance = check_room(make_jaw("6.15", implants=1), "individual_attachments")
    height = next(layer for layer in clearance.layers if layer.key is LayerKey.HEIGHT)
    assert (height.state, height.short_mm) == (LayerState.CLOSE, Decimal("0.10"))
    assert height.chance_least == pytest.approx(0.4207, abs=0.0001)


def test_what_is_only_close_lacks_nothing() -> None:
    assert check_room(make_jaw("6.15", implants=2), "individual_attachments").short_mm == 0


def test_the_number_of_implants_is_named_before_the_height_that_is_short_as_well() -> None:
    clearance = check_room(make_jaw("6", implants=2, arch=Arch.MAXILLA), "connecting_bar")
    assert (clearance.headline.key, clearance.short_mm) == (LayerKey.NUMBER, Decimal(0))


def test_a_bar_on_few_upper_implants_that_the_clinician_accepts_is_close_and_says_so() -> None:
    jaw = make_jaw("16", implants=3, arch=Arch.MAXILLA, few_implants_accepted=True)
    layer = find_layer(jaw, LayerKey.NUMBER, "connecting_bar")
    assert layer.state is LayerState.CLOSE
    assert "accepted by the clinician" in layer.text
