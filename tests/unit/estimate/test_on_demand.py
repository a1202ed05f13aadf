"""The tornado and the check by simulation of a whole estimate."""

from decimal import Decimal

import numpy as np
import pytest

from estimator.estimate.on_demand import check_by_simulation, list_swings
from estimator.estimate.upkeep.sensitivity import Worth
from estimator.inputs.case.model import Arch
from tests.builders import estimate_all, make_jaw

MADE = estimate_all(make_jaw("12"), make_jaw(arch=Arch.MAXILLA, implants=1))
JAW, ONE_IMPLANT = MADE.jaws
CHARGED = {made.key: made.fees.total for made in JAW.estimates}


def test_the_tornado_lies_around_the_difference_of_the_two_totals() -> None:
    first, second = JAW.estimates[1:]
    difference = first.total_over_years - second.total_over_years
    swings = list_swings(MADE, JAW, first.key, second.key, first_costs=CHARGED)
    assert all(min(s.at_low, s.at_high) <= difference <= max(s.at_low, s.at_high) for s in swings)
    assert [s.size for s in swings] == sorted((s.size for s in swings), reverse=True)


def test_the_tornado_of_worth_at_delivery_has_the_discount_rate() -> None:
    first, second = JAW.estimates[:2]
    assert "discount_rate" not in {s.figure for s in list_swings(MADE, JAW, first.key, second.key, first_costs=CHARGED)}
    at_delivery = list_swings(MADE, JAW, first.key, second.key, first_costs=CHARGED, worth=Worth.AT_DELIVERY)
    assert "discount_rate" in {s.figure for s in at_delivery}


def test_a_discount_moves_both_ends_of_the_tornado_by_as_much() -> None:
    first, second = JAW.estimates[1:]
    full = list_swings(MADE, JAW, first.key, second.key, first_costs=CHARGED)
    less = list_swings(
        MADE, JAW, first.key, second.key, first_costs=CHARGED | {first.key: CHARGED[first.key] - Decimal(100)}
    )
    assert [(s.at_low - 100, s.at_high - 100) for s in full] == [(s.at_low, s.at_high) for s in less]


def test_an_option_that_does_not_apply_has_no_tornado() -> None:
    with pytest.raises(KeyError, match="must be an option that applies in this jaw"):
        list_swings(MADE, ONE_IMPLANT, "individual_attachments", "connecting_bar", first_costs=CHARGED)


def test_a_whole_jaw_agrees_with_its_simulation() -> None:
    check = check_by_simulation(MADE, JAW, people=50_000, generator=np.random.default_rng(20240229))
    assert [option.key for option in check.options] == [option.key for option in JAW.estimates]
    assert len(check.pairs) == 3
    assert check.most_errors < 4


def test_options_that_do_not_apply_are_not_simulated() -> None:
    check = check_by_simulation(MADE, ONE_IMPLANT, people=200, generator=np.random.default_rng(1))
    assert [option.key for option in check.options] == ["conventional_denture", "individual_attachments"]
    assert [(pair.first, pair.second) for pair in check.pairs] == [("conventional_denture", "individual_attachments")]
