"""The estimate as a whole: every option, every jaw, the basis of every number."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.estimate.compare import NO_TREATMENT, find_step, list_rows
from estimator.estimate.result import NotApplicable
from estimator.inputs.case import Arch, DenturePlan
from tests.builders import estimate_all, estimate_jaw, make_jaw

KEYS = ["conventional_denture", "individual_attachments", "connecting_bar"]


def test_the_options_come_in_their_fixed_order() -> None:
    assert [option.key for option in estimate_all(make_jaw("12")).jaws[0].options] == KEYS


def test_a_bar_on_one_implant_is_not_applicable_and_says_why() -> None:
    bar = estimate_all(make_jaw("12", implants=1)).jaws[0].options[2]
    assert isinstance(bar, NotApplicable)
    assert bar.reason == "needs at least 2 implants; this jaw has 1"


def test_two_jaws_are_estimated_each_by_itself() -> None:
    made = estimate_all(make_jaw("12"), make_jaw(arch=Arch.MAXILLA, implants=6, implants_present=False))
    assert [jaw.jaw.arch for jaw in made.jaws] == ["mandible", "maxilla"]
    assert made.jaws[0].estimates[2].fees.total == estimate_jaw(make_jaw("12"))["connecting_bar"].fees.total
    assert [e.fees.per_case for e in made.jaws[1].estimates] == [Decimal(270), Decimal(500), Decimal(500)]


def test_an_upper_jaw_loses_implants_at_its_own_rates() -> None:
    """Kern et al. 2016: lower 0.0022; upper on 4 or more 0.02, on fewer 0.07 (starting values)."""
    for arch, implants, rate in ((Arch.MANDIBLE, 4, 0.0022), (Arch.MAXILLA, 4, 0.02), (Arch.MAXILLA, 3, 0.07)):
        upkeep = estimate_jaw(make_jaw(arch=arch, implants=implants))["individual_attachments"].upkeep
        (lost,) = [event for event in upkeep.events if event.key.startswith("implant_lost")]
        assert lost.count == pytest.approx(10 * implants * rate)


def test_a_conversion_renames_the_options_it_changes() -> None:
    estimates = estimate_jaw(make_jaw(denture=DenturePlan.CONVERT))
    assert estimates["conventional_denture"].name == "Keep or reline the present denture"
    assert estimates["connecting_bar"].name == "Connecting bar"


def test_every_figure_of_the_basis_has_a_source() -> None:
    made = estimate_all(make_jaw("12", implants_present=False), make_jaw(arch=Arch.MAXILLA, implants=3))
    cite = made.practice.evidence.cite
    assert len(made.basis) > 35
    assert all(cite(figure) for figure in made.basis)


def test_the_basis_of_a_bar_names_its_stack_its_rates_and_its_error() -> None:
    keys = {figure.key for figure in estimate_jaw(make_jaw("12"))["connecting_bar"].basis}
    assert {"bar_height", "bar_remake", "error_mounted_casts", "fit_level", "life_overdenture", "discount_rate"} <= keys
    assert "collar_rise" not in keys


@settings(max_examples=15, deadline=None)
@given(st.integers(1, 29), st.sampled_from(KEYS))
def test_a_longer_horizon_never_lowers_expected_upkeep(years: int, key: str) -> None:
    jaw = make_jaw()
    shorter, longer = estimate_jaw(jaw, years=years)[key], estimate_jaw(jaw, years=years + 1)[key]
    assert longer.upkeep.expected >= shorter.upkeep.expected
    assert longer.upkeep.by_year[: years - 1] == shorter.upkeep.by_year[: years - 1]


@pytest.mark.parametrize("years", [0, 31])
def test_a_horizon_out_of_range_is_refused(years: int) -> None:
    with pytest.raises(ValueError, match="'years' must be from 1 to 30"):
        estimate_all(make_jaw(), years=years)


def test_upkeep_points_rise_and_hold_the_expectation() -> None:
    for estimate in estimate_jaw(make_jaw()).values():
        assert estimate.upkeep.p10 < estimate.upkeep.p50 < estimate.upkeep.p90
        assert estimate.upkeep.p10 < estimate.upkeep.expected < estimate.upkeep.p90


def test_no_treatment_is_a_row_without_an_invented_number() -> None:
    row = list_rows(estimate_all(make_jaw("12")).jaws[0], no_treatment=("office", "patient"))[-1]
    assert (row.key, row.upkeep, row.clearance, row.weeks_to_teeth) == (NO_TREATMENT, None, None, None)


def test_an_option_without_room_keeps_its_row_with_reason_and_price() -> None:
    row = list_rows(estimate_all(make_jaw("7.65")).jaws[0], no_treatment=("", ""))[2]
    assert row.clearance is not None
    assert (row.clearance.shortage_mm, row.first_cost) == (Decimal("0.60"), Decimal(8590))


def test_estimates_are_rounded_to_the_fourth_digit_of_the_largest() -> None:
    rows = list_rows(estimate_all(make_jaw("12")).jaws[0], no_treatment=("", ""))
    assert find_step(rows) == 10
