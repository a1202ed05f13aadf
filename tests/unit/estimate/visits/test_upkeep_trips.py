"""Trips and chair time of upkeep, by hand from the demo fee lines."""

import math
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from estimator.estimate.visits.upkeep_trips import EventVisits
from estimator.files.reading import load_toml
from estimator.files.shipped import DATA
from estimator.inputs.options.model import Option
from estimator.inputs.options.reader import read_option
from tests.builders import estimate_jaw, find_option, load_demo_practice, make_jaw
from tests.problem_builders import refuses


def find_events(key: str, practice: Any = None) -> dict[str, EventVisits]:
    made = estimate_jaw(make_jaw(implants=2), years=5, practice=practice)[key]
    return {event.key: event for event in made.upkeep_visits.events}


@pytest.mark.parametrize(
    ("key", "event", "trips", "minutes"),
    [
        ("individual_attachments", "retention_service", 1, 20),
        ("individual_attachments", "sore_spot", 1, 15),
        ("individual_attachments", "implant_lost_lower", 2, 30 + 25 + 5),
        ("connecting_bar", "bar_remake", 1, 120),
        ("conventional_denture", "denture_renewal", 5 + 3 * 1, 25 + 50 + 40 + 30 + 40 + 3 * 15),
        ("connecting_bar", "denture_renewal", 5 + 3 * 1, 270 + 2 * 5 + 3 * 15),
        ("conventional_denture", "recall", 1, 30),
    ],
)
def test_one_event_takes_the_trips_and_minutes_of_its_fee_lines(key: str, event: str, trips: int, minutes: int) -> None:
    made = estimate_jaw(make_jaw(implants=2), years=5)[key]
    count = next(e.count for e in made.upkeep.events if e.key == event)
    found = find_events(key)[event]
    assert (found.trips, found.chair_time_min) == pytest.approx((count * trips, count * minutes))


@pytest.mark.parametrize("key", ["conventional_denture", "individual_attachments", "connecting_bar"])
def test_trips_and_minutes_are_the_sums_over_all_events(key: str) -> None:
    visits = estimate_jaw(make_jaw())[key].upkeep_visits
    assert visits.trips == pytest.approx(math.fsum(event.trips for event in visits.events))
    assert visits.chair_time_min == pytest.approx(math.fsum(event.chair_time_min for event in visits.events))


def test_an_option_without_recalls_has_no_trips_for_them() -> None:
    practice = load_demo_practice()
    options = tuple(replace(o, recall_fee="") for o in practice.options)
    found = find_events("connecting_bar", replace(practice, options=options))["recall"]
    assert (found.trips, found.chair_time_min) == (0, 0)


def test_a_free_trip_is_still_a_trip() -> None:
    practice = load_demo_practice()
    lines = {**practice.fees.lines, "sore_spot": replace(practice.fees.get("sore_spot"), fee=Decimal(0))}
    free = find_events("connecting_bar", replace(practice, fees=replace(practice.fees, lines=lines)))
    assert free["sore_spot"] == find_events("connecting_bar")["sore_spot"]


def read(**upkeep: Any) -> Option:
    document = load_toml(DATA / "options" / "3_connecting_bar.toml")
    document["upkeep"][2] |= upkeep
    return read_option(document, file="bar.toml", evidence=load_demo_practice().evidence)


def test_an_option_file_may_say_how_many_trips_an_event_takes() -> None:
    trips = {"low": 1, "value": 2, "high": 3, "source": "ours", "how_sure": "practice"}
    option = read(trips=trips)
    practice = load_demo_practice()
    options = tuple(option if o.key == option.key else o for o in practice.options)
    plain, told = find_events("connecting_bar"), find_events("connecting_bar", replace(practice, options=options))
    assert told["reline"].trips == pytest.approx(2 * plain["reline"].trips)
    assert any(f.key == "connecting_bar_reline_trips" for f in option.list_figures())


def test_trips_that_are_no_figure_are_a_problem() -> None:
    with refuses("the key of a figure"):
        read(trips=2)


def test_trips_of_a_shipped_overdenture_are_an_assumption_of_the_basis() -> None:
    basis = {figure.key: figure for figure in estimate_jaw(make_jaw())["connecting_bar"].basis}
    assert basis["trips_new_overdenture"].assumption
    assert find_option("conventional_denture").renewal is not None
