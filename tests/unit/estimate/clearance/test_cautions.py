"""Cautions: raised where the source says so, never where it does not."""

from decimal import Decimal
from typing import Any

import pytest

from estimator.estimate.clearance.cautions import find_divergence, find_lean
from estimator.inputs.case import Arch, DenturePlan, Jaw, Site
from tests.builders import estimate_jaw, make_jaw, make_sites


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


@pytest.mark.parametrize(("left", "right", "raised"), [("-9.5", "9.5", True), ("-10", "10", False)])
def test_two_lower_implants_under_twenty_millimetres_apart_are_said(left: str, right: str, raised: bool) -> None:
    """20 mm: Muller, Salinas 2022 (chapter)."""
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
    jaw = make_jaw("13", implants=2, sites=(make_site("43", md="11", fl="0"), make_site("33", md="11", fl="0")))
    cautions = estimate_jaw(jaw)["individual_attachments"].clearance.cautions
    assert any(c.key == "divergence" and "22 degrees" in c.text for c in cautions)


def test_two_leans_of_unknown_direction_are_nought_to_their_sum_apart() -> None:
    """Two 6 degree leans are 0 to 12 apart: Haggerty 2023, ch. 10 (chapter)."""
    low, high = find_divergence(make_site("43", md="6"), make_site("33", md="6"))
    assert (low, high) == pytest.approx((0, 12))


def test_parallel_implants_on_one_side_are_not_apart() -> None:
    assert find_divergence(make_site("43", md="8", fl="3"), make_site("44", md="8", fl="3")) == pytest.approx(
        (0, 0), abs=1e-6
    )


def test_a_lean_has_two_directions() -> None:
    assert find_lean(make_site("43", md="45", fl="45")) == pytest.approx(54.7356, abs=1e-3)


def test_clearly_divergent_upper_implants_say_that_the_source_prefers_a_bar() -> None:
    sites = (
        make_site("13", md="12", fl="0"),
        make_site("23", md="12", fl="0"),
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
    assert list_keys(make_jaw("13"), "connecting_bar") == set()
