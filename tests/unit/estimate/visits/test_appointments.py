"""Appointments by route, healing, weeks without teeth."""

import pytest

from estimator.estimate.visits.appointments import plan_visits
from estimator.inputs.case.model import Arch, DenturePlan
from estimator.inputs.options.model import Teeth
from tests.builders import find_option, load_demo_practice, make_jaw

EVIDENCE, FEES = load_demo_practice().evidence, load_demo_practice().fees


def test_an_upper_jaw_heals_longer_when_implants_are_planned() -> None:
    """Upper jaw 4 to 8 weeks more, 6 taken (memory)."""
    option = find_option("connecting_bar")
    lower = plan_visits(make_jaw(implants_present=False), option, EVIDENCE, FEES)
    upper = plan_visits(make_jaw(implants_present=False, arch=Arch.MAXILLA), option, EVIDENCE, FEES)
    assert upper.weeks_to_teeth - lower.weeks_to_teeth == 6
    assert [v.week for v in upper.visits[:5]] == [v.week for v in lower.visits[:5]]


def test_implants_in_place_need_no_longer_healing_in_an_upper_jaw() -> None:
    option = find_option("connecting_bar")
    assert plan_visits(make_jaw(arch=Arch.MAXILLA), option, EVIDENCE, FEES) == plan_visits(
        make_jaw(), option, EVIDENCE, FEES
    )


@pytest.mark.parametrize(("planned", "weeks"), [(True, 1), (False, 0)])
def test_weeks_without_teeth_run_from_surgery_to_the_soft_lining(planned: bool, weeks: int) -> None:
    plan = plan_visits(make_jaw(implants_present=not planned), find_option("individual_attachments"), EVIDENCE, FEES)
    assert plan.weeks_without_teeth == weeks


@pytest.mark.parametrize("key", ["conventional_denture", "individual_attachments", "connecting_bar"])
@pytest.mark.parametrize("present", [True, False])
@pytest.mark.parametrize("denture", list(DenturePlan))
def test_every_route_has_visits_in_order_with_final_teeth_once(key: str, present: bool, denture: DenturePlan) -> None:
    plan = plan_visits(make_jaw(implants_present=present, denture=denture), find_option(key), EVIDENCE, FEES)
    weeks = [visit.week for visit in plan.visits]
    assert weeks == sorted(weeks)
    assert weeks[0] == 0
    assert sum(visit.teeth is Teeth.FINAL for visit in plan.visits) == 1


def test_surgery_takes_longer_with_more_implants() -> None:
    plans = [
        plan_visits(make_jaw(implants=n, implants_present=False), find_option("connecting_bar"), EVIDENCE, FEES)
        for n in (2, 4)
    ]
    assert plans[1].chair_time_min - plans[0].chair_time_min == 50
