"""The estimate as a whole: every option, every jaw, the basis of every number."""

from dataclasses import replace
from decimal import Decimal
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.estimate.bands import list_costs_so_far
from estimator.estimate.compare import NO_TREATMENT, list_rows, round_to_fourth_digit
from estimator.estimate.result import NotApplicable
from estimator.inputs.case.model import Arch, DenturePlan
from tests.builders import estimate_all, estimate_jaw, load_demo_practice, make_jaw

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


def test_no_treatment_says_that_it_is_not_estimated_and_what_that_would_take() -> None:
    jaw = estimate_all(make_jaw("12")).jaws[0]
    assert list_rows(jaw, no_treatment=("", ""))[-1].not_estimated == jaw.no_treatment.reason
    assert jaw.no_treatment.reason.startswith("not estimated")
    assert len(jaw.no_treatment.needed) == 3


def test_a_denture_that_is_kept_says_that_its_age_is_left_out() -> None:
    kept = estimate_jaw(make_jaw(denture=DenturePlan.CONVERT))
    assert "not estimated" in kept["conventional_denture"].upkeep_note
    assert kept["connecting_bar"].upkeep_note == ""
    assert estimate_jaw(make_jaw())["conventional_denture"].upkeep_note == ""


def test_every_option_stands_beside_each_later_one() -> None:
    pairs = estimate_all(make_jaw("12")).jaws[0].pairs
    assert [(pair.first, pair.second) for pair in pairs] == list(combinations(KEYS, 2))


def test_an_option_that_does_not_apply_stands_beside_none() -> None:
    pairs = estimate_all(make_jaw("12", implants=1)).jaws[0].pairs
    assert [(pair.first, pair.second) for pair in pairs] == [(KEYS[0], KEYS[1])]


def test_posts_and_bar_share_the_life_of_the_denture() -> None:
    """They rest on one row; an own row with the same numbers would give another chance."""
    pair = estimate_all(make_jaw("12"), years=30).jaws[0].pairs[2]
    practice = load_demo_practice()
    bar = practice.options[2]
    assert bar.renewal is not None
    own = replace(bar.renewal, mean_life=replace(bar.renewal.mean_life, key="own_life"))
    options = (*practice.options[:2], replace(bar, renewal=own))
    apart = estimate_all(make_jaw("12"), years=30, practice=replace(practice, options=options)).jaws[0].pairs[2]
    assert abs(pair.chance - apart.chance) > 0.005


def test_the_crossing_year_is_where_the_pictured_lines_meet() -> None:
    made = estimate_all(make_jaw("12"), years=30)
    costs = {
        cost.key: [cost.first_cost, *(band.expected for band in cost.years)]
        for cost in list_costs_so_far(made, made.jaws[0])
    }
    for pair in made.jaws[0].pairs:
        apart = [a - b for a, b in zip(costs[pair.first], costs[pair.second], strict=True)]
        met = [year for year, gap in enumerate(apart) if gap * apart[0] <= 0]
        assert pair.crossing_year == (met[0] if met else None)


def test_pairs_move_with_what_is_charged_first_and_stay_where_the_difference_does() -> None:
    jaw = estimate_all(make_jaw("12")).jaws[0]
    listed = {made.key: made.fees.total for made in jaw.estimates}
    assert jaw.compare_at({key: amount - 100 for key, amount in listed.items()}) == jaw.pairs
    level = jaw.compare_at(listed | {"connecting_bar": listed["individual_attachments"]})[2]
    assert (level.ahead, level.crossing_year) == (Decimal(0), 0)
    assert level.chance > jaw.pairs[2].chance


def test_chance_above_an_amount_counts_the_first_cost() -> None:
    bar = estimate_jaw(make_jaw("12"))["connecting_bar"]
    first = bar.fees.total
    assert bar.find_chance_above(first, first) == 1
    assert bar.find_chance_above(first + bar.upkeep.p90, first) == pytest.approx(0.1, abs=0.01)


def test_an_option_without_room_keeps_its_row_with_reason_and_price() -> None:
    row = list_rows(estimate_all(make_jaw("7.65")).jaws[0], no_treatment=("", ""))[2]
    assert row.clearance is not None
    assert (row.clearance.shortage_mm, row.first_cost) == (Decimal("0.60"), Decimal(8590))


def test_estimates_are_rounded_to_the_fourth_digit_of_the_largest() -> None:
    rows = list_rows(estimate_all(make_jaw("12")).jaws[0], no_treatment=("", ""))
    assert round_to_fourth_digit(max(row.total[2] for row in rows if row.total)) == 10
