"""Cautions: raised where the source says so, never where it does not."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from estimator.estimate.clearance.angles import find_divergence, find_lean
from estimator.inputs.case.model import Arch, DenturePlan, Jaw, Placement, Retention, Site
from tests.builders import estimate_jaw, find_option, load_demo_practice, make_jaw, make_sites

OPTIONS = ("conventional_denture", "individual_attachments", "connecting_bar")


def list_keys(jaw: Jaw, option: str, **more: Any) -> set[str]:
    return {caution.key for caution in estimate_jaw(jaw, **more)[option].clearance.cautions}


def make_site(tooth: str, md: str | None = None, fl: str | None = None, at: str | None = None) -> Site:
    def number(text: str | None) -> Decimal | None:
        return None if text is None else Decimal(text)

    return Site(
        tooth=tooth,
        restorative_space_mm=Decimal(13),
        angle_md_deg=number(md),
        angle_fl_deg=number(fl),
        position_mm=number(at),
    )


@pytest.mark.parametrize(("arch", "implants", "raised"), [
    (Arch.MANDIBLE, 1, True), (Arch.MANDIBLE, 2, False), (Arch.MAXILLA, 3, True), (Arch.MAXILLA, 4, False),
])  # fmt: skip
def test_fewer_implants_than_the_consensus_are_said(arch: Arch, implants: int, raised: bool) -> None:
    """2 in a lower jaw: McGill 2002, York 2012; 4 in an upper jaw: ITI 2013 (abstract)."""
    assert (
        "few_implants" in list_keys(make_jaw("13", arch=arch, implants=implants), "individual_attachments")
    ) is raised


@pytest.mark.parametrize(("left", "right", "raised"), [("-9.5", "9.5", True), ("-10.6", "10.6", False)])
def test_two_lower_implants_under_twenty_millimetres_apart_are_said(left: str, right: str, raised: bool) -> None:
    """20 mm, straight: Muller, Salinas 2022 (chapter)."""
    jaw = make_jaw("13", implants=2, sites=(make_site("43", at=right), make_site("33", at=left)))
    assert ("close_implants" in list_keys(jaw, "individual_attachments")) is raised


def test_close_implants_are_not_said_of_a_bar() -> None:
    jaw = make_jaw("13", implants=2, sites=(make_site("43", at="5"), make_site("33", at="-5")))
    assert "close_implants" not in list_keys(jaw, "connecting_bar")


@pytest.mark.parametrize(("lean", "raised"), [("10", False), ("11", True)])
def test_a_lean_over_ten_degrees_is_said_of_individual_attachments_only(lean: str, raised: bool) -> None:
    """10 degrees per implant: Haggerty 2023, ch. 10 (chapter)."""
    jaw = make_jaw("13", implants=2, sites=(make_site("43", md=lean, fl="0"), make_site("33", md="0", fl="0")))
    assert ("lean" in list_keys(jaw, "individual_attachments")) is raised
    assert "lean" not in list_keys(jaw, "connecting_bar")


def test_two_leans_apart_over_twenty_degrees_are_said() -> None:
    jaw = make_jaw("13", implants=2, sites=(make_site("43", md="14", fl="0"), make_site("33", md="14", fl="0")))
    cautions = estimate_jaw(jaw)["individual_attachments"].clearance.cautions
    assert any(c.key == "divergence" and "22 degrees" in c.text for c in cautions)


def test_two_leans_of_unknown_direction_are_nought_to_their_sum_apart() -> None:
    """Two 6 degree leans are 0 to 12 apart: Haggerty 2023, ch. 10 (chapter)."""
    low, high = find_divergence(make_site("43", md="6"), make_site("33", md="6"))
    assert (low, high) == pytest.approx((0, 12))


def test_a_lean_has_two_directions() -> None:
    assert find_lean(make_site("43", md="45", fl="45")) == pytest.approx(54.7356, abs=1e-3)


def test_clearly_divergent_upper_implants_say_that_the_source_prefers_a_bar() -> None:
    sites = (
        make_site("13", md="16", fl="0"),
        make_site("23", md="16", fl="0"),
        *make_sites(["13", "13"], arch=Arch.MAXILLA),
    )
    assert "divergence_upper" in list_keys(make_jaw("13", arch=Arch.MAXILLA, sites=sites), "individual_attachments")


def test_a_conversion_is_said_with_its_checks_and_a_bar_says_why_not() -> None:
    jaw = make_jaw("13", denture=DenturePlan.CONVERT)
    estimates = estimate_jaw(jaw)
    text = " ".join(c.text for c in estimates["individual_attachments"].clearance.cautions)
    assert all(word in text for word in ("thickness", "relined first", "vent channel"))
    assert "conversion_not_possible" in {c.key for c in estimates["connecting_bar"].clearance.cautions}


def test_a_health_flag_of_implants_is_not_said_of_a_conventional_denture() -> None:
    jaw = make_jaw("13")
    assert "smoking" in list_keys(jaw, "connecting_bar", health=("smoking",))
    assert "smoking" not in list_keys(jaw, "conventional_denture", health=("smoking",))


def test_cancer_dose_antiresorptives_are_said_of_every_option() -> None:
    assert "cancer_dose_antiresorptives" in list_keys(
        make_jaw(), "conventional_denture", health=("cancer_dose_antiresorptives",)
    )


def test_an_ordinary_jaw_raises_nothing() -> None:
    jaw = make_jaw("13", implants=2, sites=(make_site("43", at="13"), make_site("33", at="-13")))
    assert {option: list_keys(jaw, option) for option in OPTIONS} == {option: set() for option in OPTIONS}


@pytest.mark.parametrize(("width", "raised"), [("9", False), ("8.99", True)])
def test_a_site_under_nine_millimetres_wide_is_said(width: str, raised: bool) -> None:
    """9 from cheek to tongue: Lee, Agar 2006 (memory)."""
    jaw = make_jaw("13", sites=make_sites(["13"] * 4, width_mm=Decimal(width)))
    assert [("narrow_site" in list_keys(jaw, o)) for o in OPTIONS] == [False, raised, raised]


@pytest.mark.parametrize(("distance", "key"), [
    ("17.9", "ridge_to_ridge_less"), ("18", "ridge_to_ridge"), ("20", "ridge_to_ridge"), ("20.1", None),
])  # fmt: skip
def test_eighteen_to_twenty_millimetres_between_the_ridges_are_limited(distance: str, key: str | None) -> None:
    """Prosthodontic Diagnostic Index, McGarry et al. 1999 (chapter); applies to every option."""
    jaw = make_jaw("13", ridge_to_ridge_mm=Decimal(distance))
    for option in OPTIONS:
        assert {k for k in list_keys(jaw, option) if k.startswith("ridge_")} == ({key} if key else set())


def test_four_attachments_say_what_they_hold_together() -> None:
    """7 and 22 N each; four strong ones may be impossible to take out (practice)."""
    cautions = estimate_jaw(make_jaw("13"))["individual_attachments"].clearance.cautions
    assert any(c.key == "total_retention" and "28 N" in c.text and "88 N" in c.text for c in cautions)
    assert "total_retention" not in list_keys(make_jaw("13", implants=3), "individual_attachments")


def test_the_total_retention_of_a_bar_counts_its_attachments_not_its_implants() -> None:
    assert "total_retention" not in list_keys(make_jaw("13", attachments_on_bar=2), "connecting_bar")


@pytest.mark.parametrize(("tooth", "at", "raised"), [("41", "3", True), ("43", "0", True), ("43", "10", False)])
def test_a_central_incisor_site_or_the_very_midline_is_said(tooth: str, at: str, raised: bool) -> None:
    """Haggerty 2023 (chapter)."""
    jaw = make_jaw("13", implants=2, sites=(make_site(tooth, at=at), make_site("33", at="-13")))
    assert ("midline" in list_keys(jaw, "individual_attachments")) is raised


@pytest.mark.parametrize(("apart", "raised"), [("7.1", False), ("6.9", True)])
def test_implants_less_than_seven_millimetres_apart_are_said(apart: str, raised: bool) -> None:
    """Implants of 4 mm 7 apart leave 3 of bone: Block 2023, ch. 12 (chapter)."""
    jaw = make_jaw("13", implants=2, sites=(make_site("44", at="20"), make_site("43", at=str(20 - Decimal(apart)))))
    assert ("implants_crowded" in list_keys(jaw, "connecting_bar")) is raised


@pytest.mark.parametrize(("lean", "placement", "present", "raised"), [
    ("6", Placement.GUIDED, False, False), ("7", Placement.GUIDED, False, True),
    ("1", Placement.FREEHAND, False, True), ("7", Placement.GUIDED, True, False),
])  # fmt: skip
def test_a_planned_lean_that_placement_may_carry_past_ten_degrees_is_said(
    lean: str, placement: Placement, present: bool, raised: bool
) -> None:
    """Up to 3.9 degrees guided, 9.9 freehand in jaws without teeth: Block 2022, table 11.1; Emery 2022 (chapter)."""
    sites = (make_site("43", md=lean, fl="0", at="13"), make_site("33", md="0", fl="0", at="-13"))
    jaw = make_jaw("13", implants=2, sites=sites, placement=placement, implants_present=present)
    assert ("lean_planned" in list_keys(jaw, "individual_attachments")) is raised


def test_a_small_space_under_a_bar_is_said() -> None:
    """1 mm or less collects plaque: Shafie, Obeid p. 18 (chapter)."""
    practice, bar = load_demo_practice(), find_option("connecting_bar")
    low = replace(bar.stack[0], figure=replace(bar.stack[0].figure, value=Decimal(1)))
    options = (*practice.options[:2], replace(bar, stack=(low, *bar.stack[1:])))
    jaw = make_jaw("13", implants=2, sites=(make_site("43", at="13"), make_site("33", at="-13")))
    assert list_keys(jaw, "connecting_bar", practice=replace(practice, options=options)) == {"bar_space_small"}


def list_retention(grade: Retention, implants: int) -> dict[str, str]:
    made = estimate_jaw(make_jaw(implants=implants, retention=grade), years=1)["individual_attachments"]
    return {c.key: c.text for c in made.clearance.cautions if "retention" in c.key}


def test_inserts_that_start_light_raise_nothing_on_two_implants() -> None:
    assert list_retention(Retention.LIGHT, 2) == {}


@pytest.mark.parametrize(("grade", "one", "whole"), [
    (Retention.MEDIUM, "13 N (3 lbf) each", "26 N (6 lbf) in all"),
    (Retention.STRONG, "22 N (5 lbf) each", "44 N (10 lbf) in all"),
])  # fmt: skip
def test_inserts_that_start_harder_are_said_in_newtons_first(grade: Retention, one: str, whole: str) -> None:
    """Light about 7 N, medium 13, strong 22 (1.5, 3, 5 lbf); start light (practice)."""
    text = list_retention(grade, 2)["retention_not_light"]
    assert f"about {one}, {whole}. Start light" in text


def test_the_total_of_four_is_said_in_all_three_grades() -> None:
    text = list_retention(Retention.LIGHT, 4)["total_retention"]
    assert "28 N (6.5 lbf)" in text
    assert "52 N (11.5 lbf)" in text
    assert "88 N (20 lbf)" in text


def test_lower_molars_that_lean_distally_are_not_called_divergent() -> None:
    """12 degrees each on a curved arch are 7 apart, not 24."""
    sites = (make_site("46", md="12", fl="0"), make_site("36", md="12", fl="0"))
    assert "divergence" not in list_keys(make_jaw("13", implants=2, sites=sites), "individual_attachments")


def test_upper_premolars_that_lean_facially_are_called_divergent() -> None:
    """16 degrees each on a curved arch are 30 apart, not parallel."""
    sites = (make_site("15", md="0", fl="16"), make_site("25", md="0", fl="16"))
    jaw = make_jaw("13", implants=2, arch=Arch.MAXILLA, sites=sites)
    assert "divergence_upper" in list_keys(jaw, "individual_attachments")
