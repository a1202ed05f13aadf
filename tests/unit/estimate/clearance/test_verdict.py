"""Verdicts: ruled in or out by the room that is there, and by how much."""

import math
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from estimator.estimate.clearance.chance.jaw import chance_at_site
from estimator.estimate.clearance.verdict import Verdict, check_clearance, list_clearance_figures
from estimator.inputs.case.model import Arch, Landmark, Measurement, Method, Placement
from estimator.inputs.options.model import StackPart
from tests.builders import (
    CASTS,
    check_room,
    estimate_jaw,
    find_option,
    load_demo_practice,
    make_case,
    make_jaw,
    make_sites,
)

OPTION_KEYS = ("conventional_denture", "individual_attachments", "connecting_bar")

ORDER = [Verdict.DOES_NOT_FIT, Verdict.TIGHT, Verdict.FITS]
mm = st.decimals(min_value=0, max_value=20, places=2)


def test_room_for_the_usual_stack_at_every_site_fits() -> None:
    clearance = estimate_jaw(make_jaw("13"))["connecting_bar"].clearance
    assert (clearance.verdict, clearance.margin_mm) == (Verdict.FITS, Decimal("2.25"))


def test_room_between_least_and_usual_is_tight() -> None:
    assert estimate_jaw(make_jaw("9"))["connecting_bar"].clearance.verdict is Verdict.TIGHT


def test_room_for_exactly_the_least_stack_is_not_ruled_out() -> None:
    assert estimate_jaw(make_jaw("8.25"))["connecting_bar"].clearance.verdict is Verdict.TIGHT


def test_less_than_the_least_stack_is_ruled_out_with_the_missing_millimetres() -> None:
    clearance = estimate_jaw(make_jaw("7.65"))["connecting_bar"].clearance
    assert (clearance.verdict, clearance.shortage_mm) == (Verdict.DOES_NOT_FIT, Decimal("0.60"))


def test_the_tightest_site_is_named_and_decides() -> None:
    clearance = estimate_jaw(make_jaw("13", "12", "7", "12"))["connecting_bar"].clearance
    assert (clearance.verdict, clearance.limiting_site) == (Verdict.DOES_NOT_FIT, "43")


def test_a_margin_without_enough_chance_is_only_tight() -> None:
    clearance = estimate_jaw(make_jaw("11.00"))["connecting_bar"].clearance
    assert clearance.margin_mm == Decimal("0.25")
    assert clearance.chance_of_fit is not None
    assert clearance.chance_of_fit < 0.8
    assert clearance.verdict is Verdict.TIGHT


def test_without_error_equality_with_the_usual_stack_fits() -> None:
    jaw = make_jaw("10.75", measurement=replace(CASTS, error_mm=Decimal(0)))
    assert estimate_jaw(jaw)["connecting_bar"].clearance.verdict is Verdict.FITS


def test_the_chance_is_shown_with_less_and_with_more_shared_error() -> None:
    """Shared by no site, by half, by 0.9 of the error: the assumption and both sides of it."""
    clearance = estimate_jaw(make_jaw("11.00"))["connecting_bar"].clearance
    assert clearance.chance_range is not None
    assert clearance.chance_of_fit is not None
    low, high = clearance.chance_range
    assert low == pytest.approx(norm.cdf(0.5) ** 4, abs=1e-6)
    assert low < clearance.chance_of_fit < high < norm.cdf(0.5)


def test_nothing_measured_is_said_as_not_measured() -> None:
    clearance = estimate_jaw(make_jaw())["connecting_bar"].clearance
    assert (clearance.verdict, clearance.space_mm, clearance.chance_of_fit) == (Verdict.NOT_MEASURED, None, None)


def test_a_site_without_room_decides_before_the_others_are_measured() -> None:
    sites = make_sites(["7"])
    assert estimate_jaw(make_jaw("7", sites=sites))["connecting_bar"].clearance.verdict is Verdict.DOES_NOT_FIT


def test_fewer_good_sites_than_implants_stay_not_measured() -> None:
    clearance = estimate_jaw(make_jaw("14", sites=make_sites(["14", "14"])))["connecting_bar"].clearance
    assert (clearance.verdict, clearance.chance_of_fit) == (Verdict.NOT_MEASURED, None)


def test_a_shortage_under_one_standard_deviation_says_measure_again() -> None:
    clearance = estimate_jaw(make_jaw("8.00"))["connecting_bar"].clearance
    assert clearance.within_error
    assert "measure again" in " ".join(c.text for c in clearance.cautions)


def test_a_larger_shortage_does_not_say_measure_again() -> None:
    assert not estimate_jaw(make_jaw("7.75"))["connecting_bar"].clearance.within_error


def test_a_set_up_that_is_not_accepted_makes_the_verdict_provisional() -> None:
    jaw = make_jaw("12", measurement=replace(CASTS, set_up_accepted=False))
    assert estimate_jaw(jaw)["connecting_bar"].clearance.provisional


@pytest.mark.parametrize(("method", "error"), [(Method.MOUNTED_CASTS, "0.5"), (Method.CONE_BEAM_CT, "1.0")])
def test_the_error_is_the_assumption_for_the_method(method: Method, error: str) -> None:
    """0.5 on casts with a caliper, 1 on cone-beam CT: assumption, supported by Chen et al. 2008 (derived)."""
    landmark = Landmark.BONE_CREST if method is Method.CONE_BEAM_CT else Landmark.SOFT_TISSUE_CREST
    jaw = make_jaw("14", measurement=Measurement(method=method, landmark=landmark))
    assert estimate_jaw(jaw)["connecting_bar"].clearance.error_mm == Decimal(error)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(mm, min_size=2, max_size=4),
    st.decimals(min_value=0, max_value=5, places=2),
    st.sampled_from(["conventional_denture", "individual_attachments", "connecting_bar"]),
)
def test_more_room_never_worsens_a_verdict(rooms: list[Decimal], more: Decimal, option: str) -> None:
    n = len(rooms)
    before = check_room(make_jaw(*map(str, rooms), implants=n), option)
    after = check_room(make_jaw(*(str(r + more) for r in rooms), implants=n), option)
    assert ORDER.index(after.verdict) >= ORDER.index(before.verdict)


@settings(max_examples=40, deadline=None)
@given(mm, st.decimals(min_value=0, max_value=4, places=2), st.decimals(min_value=-1, max_value=2, places=2))
def test_the_same_jaw_from_three_landmarks_has_the_same_margin(room: Decimal, tissue: Decimal, below: Decimal) -> None:
    spaces = {
        Landmark.SOFT_TISSUE_CREST: (room, Method.MOUNTED_CASTS),
        Landmark.BONE_CREST: (room + tissue, Method.CONE_BEAM_CT),
        Landmark.PLATFORM: (room + tissue + below, Method.CONE_BEAM_CT),
    }
    margins = set()
    for landmark, (space, method) in spaces.items():
        sites = make_sites([str(space)] * 2, tissue_mm=tissue, platform_below_crest_mm=below)
        jaw = make_jaw("1", implants=2, sites=sites, measurement=Measurement(method=method, landmark=landmark))
        margins.add(check_room(jaw, "connecting_bar").margin_mm)
    assert len(margins) == 1


def test_tissue_that_was_not_measured_takes_the_published_mean_of_the_arch() -> None:
    """Munakata et al. 2021: 3.0 upper, 2.0 lower (abstract)."""
    measurement = Measurement(method=Method.CONE_BEAM_CT, landmark=Landmark.BONE_CREST, set_up_accepted=True)
    for arch, tissue in ((Arch.MAXILLA, 3), (Arch.MANDIBLE, 2)):
        clearance = check_room(make_jaw("14", arch=arch, measurement=measurement), "connecting_bar")
        assert clearance.space_mm == 14 - tissue
        assert "tissue_assumed" in {c.key for c in clearance.cautions}


PARTS = sorted({part.figure.key for key in OPTION_KEYS for part in find_option(key).stack})


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(PARTS),
    st.decimals(min_value=0, max_value=3, places=2),
    st.lists(mm, min_size=2, max_size=3),
    st.sampled_from(OPTION_KEYS),
)
def test_a_higher_part_never_improves_a_verdict(part: str, more: Decimal, rooms: list[Decimal], option: str) -> None:
    def judge(extra: Decimal) -> Verdict:
        chosen = find_option(option)
        raised = replace(chosen, stack=tuple(_raise(p, part, extra) for p in chosen.stack))
        jaw = make_jaw(*map(str, rooms), implants=len(rooms))
        return check_clearance(make_case(jaw), jaw, raised, load_demo_practice()).verdict

    assert ORDER.index(judge(more)) <= ORDER.index(judge(Decimal(0)))


def _raise(part: StackPart, key: str, more: Decimal) -> StackPart:
    if part.figure.key != key:
        return part
    low, value, high = (length + more for length in (part.figure.low, part.figure.value, part.figure.high))
    return replace(part, figure=replace(part.figure, low=low, value=value, high=high))


@settings(max_examples=40, deadline=None)
@given(
    st.decimals(min_value=4, max_value=18, places=2),
    st.decimals(min_value=0, max_value=5, places=1),
    st.decimals(min_value=0, max_value=3, places=1),
    st.sampled_from(OPTION_KEYS),
)
def test_more_tissue_over_the_platform_never_improves_a_verdict(
    space: Decimal, tissue: Decimal, more: Decimal, option: str
) -> None:
    def judge(thickness: Decimal) -> Verdict:
        measurement = Measurement(method=Method.MOUNTED_CASTS, landmark=Landmark.PLATFORM, set_up_accepted=True)
        sites = make_sites([str(space)] * 2, tissue_mm=thickness)
        jaw = make_jaw(str(space), implants=2, sites=sites, measurement=measurement)
        return check_room(jaw, option).verdict

    assert ORDER.index(judge(tissue + more)) <= ORDER.index(judge(tissue))


@settings(max_examples=30, deadline=None)
@given(st.lists(mm, min_size=2, max_size=4), st.floats(0.05, 1.0), st.floats(0.0, 1.0))
def test_more_error_moves_a_chance_towards_one_half_at_a_site(rooms: list[Decimal], error: float, more: float) -> None:
    """A site of its own: far from certain either way is all that a larger error can make of it."""
    for room in rooms:
        margin = float(room) - 10.75
        near, far = chance_at_site(margin, error + more), chance_at_site(margin, error)
        assert abs(near - 0.5) <= abs(far - 0.5) + 1e-12


@pytest.mark.parametrize(("placement", "depth"), [(Placement.GUIDED, 0.6), (Placement.FREEHAND, 1.0)])
def test_an_implant_still_to_be_placed_adds_the_error_of_its_depth_to_the_chance_of_fit(
    placement: Placement, depth: float
) -> None:
    """0.25 to spare, 0.5 of measuring, 0.6 guided or 1.0 freehand: Xing et al. 2024 (quoted, derived)."""
    jaw = make_jaw("11.00", implants_present=False, placement=placement)
    chances = estimate_jaw(jaw)["connecting_bar"].clearance.chance_range
    assert chances is not None
    assert chances[0] == pytest.approx(norm.cdf(0.25 / math.hypot(0.5, depth)) ** 4, abs=1e-6)


@pytest.mark.parametrize("placement", Placement)
def test_the_error_of_placement_is_among_the_sources_of_planned_implants_and_of_no_others(placement: Placement) -> None:
    def list_depths(option: str, *, present: bool) -> list[str]:
        jaw = make_jaw("11.00", implants_present=present, placement=placement)
        figures = list_clearance_figures(make_case(jaw), jaw, find_option(option), load_demo_practice().evidence)
        return [key for key in figures if key.startswith("depth_error")]

    assert list_depths("connecting_bar", present=False) == [f"depth_error_{placement}"]
    assert list_depths("connecting_bar", present=True) == []
    assert list_depths("conventional_denture", present=False) == []
