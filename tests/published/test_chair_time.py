"""Chair time of denture visits beside what studies measured; surgery is in none of them."""

from dataclasses import replace

import pytest

from estimator.estimate.visits.appointments import plan_visits
from estimator.estimate.visits.chair_time import Beside, check_chair_time
from estimator.inputs.case.model import DenturePlan, Jaw
from tests.builders import find_option, load_demo_practice, make_jaw

PRACTICE = load_demo_practice()

# figure, minutes, source, how sure
PUBLISHED = [
    ("chair_denture_takanashi", 282, "Takanashi et al. Int J Prosthodont 2002;15:397-403", "abstract"),
    ("chair_overdenture_takanashi", 296, "Takanashi et al. Int J Prosthodont 2002;15:397-403", "abstract"),
    ("chair_denture_hobkirk", 268, "Hobkirk et al. Int J Prosthodont 2008;21:489-495", "abstract"),
    ("chair_overdenture_hobkirk", 327, "Hobkirk et al. Int J Prosthodont 2008;21:489-495", "abstract"),
    ("chair_denture_muehlemann", 218, "Muehlemann, J Prosthodont 2025;35:243-251", "quoted"),
]


@pytest.mark.parametrize(("key", "minutes", "source", "sure"), PUBLISHED, ids=[row[0] for row in PUBLISHED])
def test_a_published_chair_time_stands_as_its_source_gives_it(key: str, minutes: int, source: str, sure: str) -> None:
    figure = PRACTICE.evidence.get(key)
    assert (int(figure.value), PRACTICE.evidence.cite(figure), figure.how_sure.value) == (minutes, source, sure)


def check(key: str, jaw: Jaw) -> tuple[int, Beside]:
    option = find_option(key)
    found = check_chair_time(jaw, option, plan_visits(jaw, option, PRACTICE.evidence, PRACTICE.fees), PRACTICE.evidence)
    assert found is not None
    return found.minutes, found.finding


def test_the_demo_practice_lies_within_what_was_published_for_a_denture_and_for_posts() -> None:
    assert check("conventional_denture", make_jaw()) == (280, Beside.WITHIN)
    assert check("individual_attachments", make_jaw(implants_present=False)) == (305, Beside.WITHIN)


def test_a_bar_takes_longer_than_the_overdentures_that_were_timed() -> None:
    assert check("connecting_bar", make_jaw(implants_present=False)) == (420, Beside.MORE)


@pytest.mark.parametrize("implants", [2, 4, 8])
def test_surgery_is_never_compared(implants: int) -> None:
    planned = make_jaw(implants=implants, implants_present=False)
    assert check("individual_attachments", planned)[0] == 305


def test_a_practice_that_is_quicker_than_all_of_them_is_told() -> None:
    fees = PRACTICE.fees
    quick = replace(fees, lines={key: replace(line, minutes=line.minutes // 2) for key, line in fees.lines.items()})
    option = find_option("conventional_denture")
    found = check_chair_time(
        make_jaw(), option, plan_visits(make_jaw(), option, PRACTICE.evidence, quick), PRACTICE.evidence
    )
    assert found is not None
    assert found.finding is Beside.LESS


def test_a_converted_denture_is_compared_with_nothing() -> None:
    jaw, option = make_jaw(denture=DenturePlan.CONVERT), find_option("individual_attachments")
    plan = plan_visits(jaw, option, PRACTICE.evidence, PRACTICE.fees)
    assert check_chair_time(jaw, option, plan, PRACTICE.evidence) is None
