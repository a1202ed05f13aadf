"""Every charge has a visit that does it, or says why not; teeth to be removed are removed on a day."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import combinations

import pytest

from estimator import files
from estimator.estimate.cost.charges import price_option
from estimator.estimate.result import CaseEstimate, Estimate
from estimator.estimate.variants import apply_variants
from estimator.estimate.visits.appointments import VisitPlan
from estimator.estimate.visits.calendar import date_visits
from estimator.estimate.visits.charged import UNNAMED, list_charged
from estimator.estimate.visits.snapshot import visits_to_dict
from estimator.inputs.case.model import Arch, DenturePlan, Jaw
from estimator.inputs.fees.schedule import FeeKind
from estimator.inputs.options.model import Charge, Teeth
from estimator.inputs.practice.working_days import ClosedDays
from tests.builders import estimate_all, estimate_jaw, find_option, load_demo_practice, make_jaw

PRACTICE = load_demo_practice()
VARIANTS = sorted(set(files.load_variants()) - {"graft"})
PAIRS = [(), *((key,) for key in VARIANTS), *combinations(VARIANTS, 2), tuple(VARIANTS)]
EXCLUDED = {"immediate_denture", "interim_denture"}
OFF_VISIT = {FeeKind.LABORATORY, FeeKind.IMAGING}
NO_CLOSED = ClosedDays(weekdays=())


def list_jaws(variants: tuple[str, ...]) -> Iterator[Jaw]:
    """Every route, with and without teeth to remove."""
    for denture in DenturePlan:
        for present in (True, False):
            for teeth in (0, 3) if denture is DenturePlan.NEW else (0,):
                yield make_jaw(
                    implants_present=present, denture=denture, extractions=teeth, variants=variants, graft_sites=1
                )


def plan(**more: object) -> VisitPlan:
    return estimate_jaw(make_jaw(**more))["conventional_denture"].visits  # type: ignore[arg-type]


def list_weeks(visits: VisitPlan) -> dict[str, float]:
    return {visit.key: float(visit.week) for visit in visits.visits}


@pytest.mark.parametrize("variants", [p for p in PAIRS if not set(p) >= EXCLUDED], ids="+".join)
def test_every_line_charged_has_a_visit_that_does_it_or_a_reason_in_the_option_file(variants: tuple[str, ...]) -> None:
    for jaw in list_jaws(variants):
        for option in PRACTICE.options:
            asked = apply_variants(option, jaw, PRACTICE.variants)
            charged = {line.fee: line for line in list_charged(jaw, asked, PRACTICE.fees)}
            lines = price_option(jaw, asked, PRACTICE.fees).lines
            assert set(charged) == {line.key for line in lines}
            for line in lines:
                told = charged[line.key]
                assert bool(told.visits) != bool(told.no_visit)
                assert told.visits or (line.kind in OFF_VISIT and told.no_visit != UNNAMED)


@pytest.mark.parametrize(
    "variants", [(), ("immediate_denture",), ("ridge_shaping",), ("opposing_denture",)], ids="+".join
)
@pytest.mark.parametrize("arch", list(Arch))
def test_teeth_to_be_removed_are_removed_at_exactly_one_visit_that_takes_place(
    arch: Arch, variants: tuple[str, ...]
) -> None:
    made = estimate_jaw(make_jaw(arch=arch, implants_present=False, extractions=3, variants=variants))
    for estimate in made.values():
        [line] = [line for line in estimate.visits.charged if line.fee == "extraction"]
        assert len(line.visits) == 1
        assert line.visits[0] in {visit.key for visit in estimate.visits.visits}


def test_three_teeth_are_removed_on_a_day_and_the_ridge_heals_before_it_is_molded() -> None:
    weeks = list_weeks(plan(extractions=3))
    assert (weeks["examination"], weeks["extraction"], weeks["first_impressions"], weeks["delivery"]) == (0, 1, 9, 14)


def test_without_teeth_to_remove_nothing_is_removed_and_nobody_waits() -> None:
    weeks = list_weeks(plan())
    assert "extraction" not in weeks
    assert (weeks["first_impressions"], weeks["delivery"]) == (1, 6)


def test_a_patient_is_without_teeth_from_their_removal_to_the_new_denture() -> None:
    visits = plan(extractions=3)
    assert visits.weeks_without_teeth == 13
    assert date_visits(visits, date(2027, 3, 1), NO_CLOSED).days_without_teeth == 13 * 7
    assert plan().weeks_without_teeth == 0


def test_an_immediate_denture_is_put_in_the_same_day_and_nobody_is_without_teeth() -> None:
    visits = plan(extractions=3, variants=("immediate_denture",))
    assert visits.weeks_without_teeth == 0
    [line] = [line for line in visits.charged if line.fee == "extraction"]
    assert line.visits == ("immediate_delivery",)
    assert "extraction" not in list_weeks(visits)


def test_a_ridge_is_shaped_after_the_teeth_are_out_and_healed() -> None:
    weeks = list_weeks(plan(extractions=2, variants=("ridge_shaping",)))
    assert (weeks["extraction"], weeks["ridge_shaping"], weeks["first_impressions"]) == (1, 9, 15)


def test_a_tooth_takes_its_minutes_and_the_removal_is_no_visit_of_the_denture() -> None:
    [visit] = [visit for visit in plan(extractions=3).visits if visit.key == "extraction"]
    assert (visit.minutes, visit.surgical, visit.operation, visit.teeth) == (45, True, True, Teeth.OUT)


def test_the_total_is_what_it_was_whichever_visit_removes_the_teeth() -> None:
    """Demo prices (invented): 2,250 for the denture, 220 a tooth, 1,240 for an immediate denture."""

    def find_total(**more: object) -> Decimal:
        return estimate_jaw(make_jaw(**more))["conventional_denture"].fees.total  # type: ignore[arg-type]

    assert find_total(extractions=3) == 2250 + 3 * 220
    assert find_total(extractions=3, variants=("immediate_denture",)) == 2250 + 3 * 220 + 1240


def test_a_charge_that_an_older_option_file_gives_no_reason_for_says_so() -> None:
    option = replace(find_option("conventional_denture"), charges=(Charge(fee="name_marking"), Charge(fee="sore_spot")))
    told = {line.fee: line.no_visit for line in list_charged(make_jaw(), option, PRACTICE.fees)}
    assert (told["name_marking"], told["sore_spot"]) == ("laboratory work between visits", UNNAMED)


def find_bar(estimate: CaseEstimate) -> Estimate:
    return next(made for made in estimate.jaws[0].estimates if made.key == "connecting_bar")


def test_json_says_of_every_line_which_visits_do_it_or_why_none_does() -> None:
    estimate = estimate_all(make_jaw("11.5"))
    bar = find_bar(estimate)
    shown = visits_to_dict(estimate.jaws[0].jaw, find_option("connecting_bar"), bar.visits, PRACTICE, None)["charges"]
    assert {"fee": "review", "visits": ["review", "review_later"], "no_visit": None} in shown
    assert {"fee": "bar_segment", "visits": [], "no_visit": "laboratory work between visits"} in shown
    assert len(shown) == len(bar.fees.lines)
