"""Bite and plane inside the chance of the height, as long as the set-up of the teeth is not accepted."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from estimator.estimate.clearance.chance.room_errors import face_open_set_ups, find_room_errors
from estimator.estimate.clearance.verdict import Clearance, check_clearance
from estimator.inputs.case.model import Arch, Jaw, Opposing
from estimator.inputs.reference.layers import LayerKey, LayerState
from tests.builders import CASTS, check_room, estimate_all, find_option, load_demo_practice, make_case, make_jaw

OPEN = replace(CASTS, set_up_accepted=False)
EVIDENCE = load_demo_practice().evidence
DENTURE = "conventional_denture"


def make_open(room: str, **more: Any) -> Jaw:
    return make_jaw(room, measurement=OPEN, **more)


def find_height(clearance: Clearance) -> tuple[LayerState, float]:
    layer = next(one for one in clearance.layers if one.key is LayerKey.HEIGHT)
    assert layer.chance_usual is not None
    return layer.state, layer.chance_usual


def test_a_bite_of_2_mm_is_taken_by_its_lever_where_the_other_jaw_has_teeth() -> None:
    """2.0 × (88 − 9.5) / 88 = 1.784 at 9.5 behind the front, all of it in this jaw."""
    jaw = make_open("12", implants=1, opposing=Opposing.TEETH)
    tooth = jaw.sites[0].tooth
    errors = find_room_errors(make_case(jaw), jaw, {tooth: 9.5}, EVIDENCE)
    assert errors.bite_mm[tooth] == pytest.approx(1.784, abs=1e-3)
    assert errors.plane_mm == 0


@pytest.mark.parametrize(
    ("arch", "other", "plane"), [(Arch.MAXILLA, Arch.MANDIBLE, 1), (Arch.MANDIBLE, Arch.MAXILLA, -1)]
)
def test_two_open_jaws_share_the_bite_and_the_plane_gives_one_what_it_takes_from_the_other(
    arch: Arch, other: Arch, plane: float
) -> None:
    jaw = make_open("12", arch=arch)
    errors = find_room_errors(make_case(jaw, make_open("12", arch=other)), jaw, {}, EVIDENCE)
    assert set(errors.bite_mm.values()) == {1.0}
    assert errors.plane_mm == plane


def test_a_set_up_accepted_in_the_other_jaw_settles_the_plane() -> None:
    jaw, other = make_open("12"), make_jaw("12", arch=Arch.MAXILLA)
    assert not face_open_set_ups(make_case(jaw, other), jaw)
    assert face_open_set_ups(make_case(jaw, replace(other, measurement=None)), jaw)


@pytest.mark.parametrize("option", [DENTURE, "connecting_bar"])
def test_accepting_the_set_up_takes_bite_and_plane_out_of_the_chance(option: str) -> None:
    jaw = make_jaw("12")
    errors = find_room_errors(make_case(jaw), jaw, {}, EVIDENCE)
    assert (dict(errors.bite_mm), errors.plane_mm) == ({}, 0)
    assert find_height(check_room(jaw, option))[1] > find_height(check_room(make_open("12"), option))[1]


def test_the_chance_of_one_site_in_front_is_the_normal_law_of_all_its_errors() -> None:
    """1.25 to spare, 0.5 of measuring and 2.0 of the bite at the front of the crest."""
    jaw = make_open("12", implants=1)
    site = replace(jaw.sites[0], tooth="41", position_mm=Decimal(0))
    clearance = check_room(replace(jaw, sites=(site,)), "connecting_bar")
    assert find_height(clearance)[1] == pytest.approx(norm.cdf(1.25 / (0.5**2 + 2.0**2) ** 0.5), abs=1e-4)
    assert clearance.sites[0].chance == pytest.approx(find_height(clearance)[1], abs=1e-4)


def test_a_provisional_room_that_was_called_over_99_in_100_is_no_longer() -> None:
    """2.25 to spare is sure with the set-up accepted; a bite open by 2 mm makes it close."""
    said = {
        jaw.measurement: find_height(check_room(jaw, "connecting_bar")) for jaw in (make_jaw("13"), make_open("13"))
    }
    assert said[CASTS][1] > 0.99
    assert said[OPEN][1] < 0.90


@settings(max_examples=15, deadline=None)
@given(st.integers(40, 200).map(lambda n: Decimal(n) / 10), st.sampled_from([DENTURE, "connecting_bar"]))
def test_over_99_in_100_stands_beside_provisional_only_with_over_four_millimetres_to_spare(
    room: Decimal, option: str
) -> None:
    """2.33 standard deviations of a bite open by 2.0 at the site in front are 4.65."""
    clearance = check_room(make_open(f"{room}"), option)
    assert clearance.margin_mm is not None
    if clearance.provisional and find_height(clearance)[1] > 0.99:
        assert clearance.margin_mm > Decimal("4.6")


def test_two_open_jaws_are_less_sure_than_one_with_the_plane_settled_at_the_same_share() -> None:
    lower, upper = make_open("12"), make_open("12", arch=Arch.MAXILLA)
    practice = load_demo_practice()
    still = replace(practice.evidence.get("plane_error"), low=Decimal(0), value=Decimal(0), high=Decimal(0))
    settled = replace(practice, evidence=replace(EVIDENCE, figures={**EVIDENCE.figures, still.key: still}))
    case, option = make_case(lower, upper), find_option("connecting_bar")
    with_plane = find_height(check_clearance(case, lower, option, practice))[1]
    assert with_plane < find_height(check_clearance(case, lower, option, settled))[1]


@pytest.mark.parametrize(("jaws", "keys"), [(1, 2), (2, 4)])
def test_the_figures_of_an_open_set_up_are_among_the_sources(jaws: int, keys: int) -> None:
    made = estimate_all(*(make_open("12", arch=arch) for arch in list(Arch)[:jaws]))
    named = {figure.key for figure in made.jaws[0].estimates[0].basis}
    wanted = ("bite_height_error", "hinge_distance", "bite_share_both_open", "plane_error")
    assert {key for key in wanted if key in named} == set(wanted[:keys])
    accepted = estimate_all(make_jaw("12")).jaws[0].estimates[0]
    assert not set(wanted) & {figure.key for figure in accepted.basis}
