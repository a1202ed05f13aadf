"""A practice's own count in the estimate: it moves what it counts, is marked as own, and changes nothing else."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.estimate.bands import list_costs_so_far
from estimator.estimate.look_ahead import find_rates, plan_upkeep
from estimator.estimate.own_rates import OWN_SOURCE, list_own_rates
from estimator.estimate.snapshot import take_snapshot
from estimator.inputs.options.model import Per
from estimator.inputs.practice.experience import Observation, Period, add_own_counts
from estimator.inputs.practice_bundle import Practice
from tests.builders import estimate_all, estimate_jaw, load_demo_practice, make_jaw

BAR = "connecting_bar"


def observe(item: str, events: int, years: str, *, period: Period = Period.LATER, per: Per = Per.JAW) -> Observation:
    return Observation(
        option=BAR, item=item, period=period, counted_per=per, years_at_risk=Decimal(years), events=events,
        start=date(2025, 1, 1), end=date(2025, 12, 31),
    )  # fmt: skip


def make_practice(*log: Observation) -> Practice:
    practice = load_demo_practice()
    return replace(practice, experience=log, options=add_own_counts(practice.options, log))


RETENTION = observe("retention_service", 60, "50")


def test_without_a_log_every_estimate_is_as_it_was() -> None:
    assert estimate_jaw(make_jaw("12"), practice=make_practice()) == estimate_jaw(make_jaw("12"))


def test_a_log_moves_the_count_of_its_item_to_the_blended_rate() -> None:
    made = estimate_jaw(make_jaw("12"), practice=make_practice(RETENTION))[BAR]
    bar = next(o for o in make_practice(RETENTION).options if o.key == BAR)
    rates = find_rates(next(i for i in bar.upkeep if i.key == "retention_service"))
    count = next(e.count for e in made.upkeep.events if e.key == "retention_service")
    assert count == pytest.approx(rates.first_year.value + 9 * rates.later.value, abs=1e-6)
    assert rates.later.value == pytest.approx(1.2, rel=0.05)


def test_a_log_of_one_option_leaves_the_others() -> None:
    own, plain = estimate_jaw(make_jaw("12"), practice=make_practice(RETENTION)), estimate_jaw(make_jaw("12"))
    assert own["individual_attachments"].upkeep.expected == plain["individual_attachments"].upkeep.expected
    assert own[BAR].upkeep.expected > plain[BAR].upkeep.expected


def test_a_log_of_implants_counts_implant_years() -> None:
    log = observe("implant_lost_lower", 4, "400", per=Per.IMPLANT)
    (first, later) = list_own_rates(make_practice(log).options)
    assert (first.own, later.own) == (None, 0.01)
    made = estimate_jaw(make_jaw("12"), practice=make_practice(log))[BAR]
    count = next(e.count for e in made.upkeep.events if e.key == "implant_lost_lower")
    assert count == pytest.approx(4 * 10 * later.blended.value, rel=1e-3)


def test_the_basis_holds_the_blended_rate_as_own_beside_the_published_one() -> None:
    basis = {f.key: f for f in estimate_jaw(make_jaw("12"), practice=make_practice(RETENTION))[BAR].basis}
    own = basis["own_connecting_bar_retention_service_later"]
    assert "retention_service_later" in basis
    assert (own.own, own.how_sure, own.assumption, own.source) == (True, "own", False, OWN_SOURCE)
    assert own.place.startswith("60 in 50 years at risk, weight of the own count 9")
    assert own.low < own.value < own.high


def test_without_a_log_nothing_in_the_basis_is_own() -> None:
    assert not [f for f in estimate_jaw(make_jaw("12"))[BAR].basis if f.own]


def test_the_snapshot_says_own_and_cites_the_count() -> None:
    shot = take_snapshot(estimate_all(make_jaw("12"), practice=make_practice(RETENTION)))
    own = next(f for f in shot["basis"] if f["figure"] == "own_connecting_bar_retention_service_later")
    assert own["own"]
    assert own["source"].startswith("This practice's own count, 60 in 50 years at risk")
    assert own["implied_low"] < float(own["value"]) < own["implied_high"]


def test_the_cost_so_far_ends_at_the_estimate_with_own_data() -> None:
    made = estimate_all(make_jaw("12"), practice=make_practice(RETENTION))
    bar = next(o for o in list_costs_so_far(made, made.jaws[0]) if o.key == BAR)
    estimate = next(o for o in made.jaws[0].estimates if o.key == BAR)
    assert abs(bar.years[-1].expected - estimate.total_over_years) < Decimal("0.1")


def test_a_new_denture_settles_with_the_sore_spots_that_the_practice_counts() -> None:
    log = observe("sore_spot", 0, "100", period=Period.FIRST_YEAR)
    plain, own = (
        plan_upkeep(make_jaw("12"), next(o for o in practice.options if o.key == BAR), practice.fees).lifetime
        for practice in (load_demo_practice(), make_practice(log))
    )
    assert plain is not None
    assert own is not None
    assert own.severity[0][0] < plain.severity[0][0]
