"""Variants of a case: charges, visits and waits in every option where they apply; nothing where they do not."""

from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator import files
from estimator.base.problems import InputError
from estimator.estimate.result import Estimate
from estimator.inputs.case.model import DenturePlan, Jaw
from estimator.inputs.fees.schedule import FeeKind
from tests.builders import estimate_all, estimate_jaw, load_demo_practice, make_jaw
from tests.problem_builders import say_parts

PLANNED = make_jaw(implants_present=False)
LISTED = sorted(set(files.load_variants()) - {"graft"})


def list_keys(estimate: Estimate) -> list[str]:
    return [line.key for line in estimate.fees.lines]


def list_weeks(estimate: Estimate) -> dict[str, float]:
    return {visit.key: float(visit.week) for visit in estimate.visits.visits}


# What each variant adds to the first cost, demo prices (invented): jaw, then conventional, individual, bar on four.
ADDED = [
    ("unknown_make", make_jaw(), 0, 180, 180),
    ("two_stage", PLANNED, 0, 600, 600),
    ("sedation", PLANNED, 0, 480, 480),
    ("ridge_shaping", PLANNED, 450, 450, 450),
    ("immediate_denture", replace(PLANNED, extractions=1), 1240, 1240, 1240),
    ("interim_denture", PLANNED, 0, 1210, 1210),
    ("soft_lining_reline", make_jaw(), 700, 700, 700),
    ("opposing_denture", make_jaw(), 1440, 1440, 1440),
    ("panoramic_film", make_jaw(), 0, 130, 130),
    ("cone_beam_ct", make_jaw(), 360, 360, 360),
    ("reinforced_base", make_jaw(), 380, 380, 380),
    ("duplicate_denture", make_jaw(), 620, 620 + 440, 620 + 440),
    ("name_marking", make_jaw(), 45, 45, 45),
]


@pytest.mark.parametrize(("key", "jaw", "denture", "posts", "bar"), ADDED, ids=[row[0] for row in ADDED])
def test_a_variant_adds_its_lines_where_it_applies(key: str, jaw: Jaw, denture: int, posts: int, bar: int) -> None:
    before, after = estimate_jaw(jaw), estimate_jaw(replace(jaw, variants=(key,)))
    added = [after[option].fees.total - before[option].fees.total for option in before]
    assert added == [denture, posts, bar]
    assert [key in [v.key for v in after[o].variants] for o in before][1:] == [True, True]


def test_every_shipped_variant_is_priced_by_hand_here() -> None:
    assert sorted(row[0] for row in ADDED) == LISTED


def test_a_bone_graft_is_charged_by_site_and_heals_eight_weeks_longer() -> None:
    before, after = estimate_jaw(PLANNED), estimate_jaw(replace(PLANNED, graft_sites=3))
    for key in ("individual_attachments", "connecting_bar"):
        assert after[key].fees.total - before[key].fees.total == 3 * 750
        assert after[key].visits.weeks_to_teeth - before[key].visits.weeks_to_teeth == 8


def test_two_stage_surgery_adds_a_visit_three_weeks_before_the_abutments() -> None:
    weeks = list_weeks(estimate_jaw(replace(PLANNED, variants=("two_stage",)))["connecting_bar"])
    assert (weeks["uncover"], weeks["abutments"]) == (14, 17)


def test_waits_of_variants_come_before_their_visits_whatever_their_order() -> None:
    """The graft heals before the implants are uncovered."""
    weeks = list_weeks(estimate_jaw(replace(PLANNED, variants=("two_stage",), graft_sites=1))["individual_attachments"])
    assert (weeks["uncover"], weeks["abutments"]) == (22, 25)


def test_a_denture_for_the_time_of_healing_leaves_nobody_without_teeth() -> None:
    made = estimate_jaw(replace(PLANNED, variants=("interim_denture",)))
    assert [made[key].visits.weeks_without_teeth for key in ("individual_attachments", "connecting_bar")] == [0, 0]
    assert estimate_jaw(PLANNED)["connecting_bar"].visits.weeks_without_teeth == 1


def test_a_line_of_a_variant_makes_its_visit_longer() -> None:
    """Sedation takes 30 minutes of the surgery, 20 + 4 × 25 without it."""
    made = estimate_jaw(replace(PLANNED, variants=("sedation",)))["connecting_bar"]
    assert next(v.minutes for v in made.visits.visits if v.key == "surgery") == 120 + 30


def test_a_step_for_the_other_jaw_is_charged_at_every_visit_of_the_denture() -> None:
    made = estimate_jaw(make_jaw(variants=("opposing_denture",)))["conventional_denture"]
    assert next(line.quantity for line in made.fees.lines if line.key == "opposing_denture_step") == 5


def test_an_immediate_denture_is_in_before_the_healed_ridge_is_molded() -> None:
    weeks = list_weeks(estimate_jaw(make_jaw(extractions=2, variants=("immediate_denture",)))["conventional_denture"])
    assert (weeks["immediate_impressions"], weeks["immediate_delivery"], weeks["first_impressions"]) == (1, 4, 16)


@pytest.mark.parametrize("key", LISTED)
@pytest.mark.parametrize("denture", list(DenturePlan))
@pytest.mark.parametrize("present", [True, False])
def test_upkeep_and_room_do_not_change_with_a_variant(key: str, denture: DenturePlan, present: bool) -> None:
    jaw = make_jaw("12", implants_present=present, denture=denture)
    before, after = estimate_jaw(jaw), estimate_jaw(replace(jaw, variants=(key,)))
    for option, estimate in before.items():
        assert after[option].upkeep.expected == estimate.upkeep.expected
        assert after[option].clearance == estimate.clearance
        if key not in [variant.key for variant in after[option].variants]:
            assert after[option].fees == estimate.fees
            assert after[option].visits == estimate.visits


@cache
def list_offered(order: tuple[str, ...], implants: int, present: bool) -> list[tuple[object, ...]]:
    jaw = make_jaw(implants=implants, implants_present=present, extractions=1, variants=order)
    made = estimate_all(jaw, years=1).jaws[0].estimates
    return [(e.fees.total, e.fees.by_kind, sorted((v.week, v.key, v.minutes) for v in e.visits.visits)) for e in made]


@given(st.permutations(LISTED), st.integers(1, 8), st.booleans())
def test_the_order_of_variants_changes_no_total_and_no_visit(keys: list[str], implants: int, present: bool) -> None:
    assert list_offered(tuple(keys), implants, present) == list_offered(tuple(LISTED), implants, present)


def test_aftercare_lines_are_never_charged_by_a_variant() -> None:
    fees = load_demo_practice().fees
    for variant in files.load_variants().values():
        kinds = {fees.get(key).kind for rule in variant.rules for key in rule.list_fees()}
        assert FeeKind.AFTERCARE not in kinds


def test_a_line_that_the_schedule_lacks_is_named_with_option_and_file() -> None:
    practice = load_demo_practice()
    lines = {key: line for key, line in practice.fees.lines.items() if key != "sedation"}
    short = replace(practice, fees=replace(practice.fees, lines=lines))
    with pytest.raises(InputError) as caught:
        estimate_all(replace(PLANNED, variants=("sedation",)), practice=short)
    assert [problem.file for problem in caught.value.problems] == ["demo_fees.csv"] * 2
    for problem, option in zip(caught.value.problems, ("individual_attachments", "connecting_bar"), strict=True):
        assert (
            say_parts(problem)[2] == f'a row with the key "sedation", which the case asks for in the option "{option}"'
        )


def test_sedation_without_an_operation_changes_nothing_and_is_not_named() -> None:
    denture = estimate_jaw(replace(PLANNED, variants=("sedation",)))["conventional_denture"]
    assert denture.variants == ()
    shaped = estimate_jaw(replace(PLANNED, variants=("sedation", "ridge_shaping")))["conventional_denture"]
    assert "sedation" in list_keys(shaped)


def test_a_line_that_nobody_asks_for_may_be_missing() -> None:
    practice = load_demo_practice()
    lines = {key: line for key, line in practice.fees.lines.items() if key != "sedation"}
    assert estimate_all(PLANNED, practice=replace(practice, fees=replace(practice.fees, lines=lines)))
