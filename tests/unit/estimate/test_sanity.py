"""The sanity band: shares by hand, and what is judged at all."""

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.estimate.sanity import Finding, SanityCheck, check_sanity
from estimator.inputs.case.model import DenturePlan, Jaw
from estimator.inputs.practice_bundle import Practice
from tests.builders import estimate_jaw, find_option, load_demo_practice, make_jaw

PLANNED = make_jaw(implants_present=False)


def check(key: str = "connecting_bar", jaw: Jaw = PLANNED, practice: Practice | None = None) -> tuple[SanityCheck, ...]:
    return check_sanity(jaw, find_option(key), practice or load_demo_practice())


def multiply_aftercare(factor: str) -> Practice:
    practice = load_demo_practice()
    aftercare = {key: line for key, line in practice.fees.lines.items() if line.kind.value == "aftercare"}
    dearer = {key: replace(line, fee=line.fee * Decimal(factor)) for key, line in aftercare.items()}
    return replace(practice, fees=replace(practice.fees, lines={**practice.fees.lines, **dearer}))


def test_five_years_are_a_share_of_the_first_cost_and_eight_a_share_of_the_total() -> None:
    five, eight = (estimate_jaw(PLANNED, years=years)["connecting_bar"] for years in (5, 8))
    first, later = check()
    assert first.share == pytest.approx(float(five.upkeep.expected / five.fees.total), abs=1e-5)
    assert later.share == pytest.approx(float(eight.upkeep.expected / eight.total_over_years), abs=1e-5)


def test_the_band_is_a_factor_of_two_around_the_published_share() -> None:
    """Matthys et al. 2019: 11 % of the first cost; Stoker et al. 2007: first cost 75 % of the total (abstract)."""
    assert [c.years for c in check()] == [5, 8]
    assert [end for c in check() for end in (c.low, c.high)] == pytest.approx([0.055, 0.22, 0.125, 0.5])


@pytest.mark.parametrize(("factor", "finding"), [("0.05", Finding.BELOW), ("1", Finding.INSIDE), ("6", Finding.ABOVE)])
def test_cheap_and_dear_aftercare_fall_outside(factor: str, finding: Finding) -> None:
    assert {c.finding for c in check(practice=multiply_aftercare(factor))} == {finding}


@pytest.mark.parametrize("end", ["low", "high"])
def test_the_ends_of_the_band_are_inside(end: str) -> None:
    found = check()[0]
    assert replace(found, share=getattr(found, end)).finding is Finding.INSIDE


def test_a_jaw_that_has_implants_or_keeps_its_denture_is_judged_as_if_all_were_to_be_made() -> None:
    begun = make_jaw(implants_present=True, denture=DenturePlan.CONVERT, extractions=3)
    assert check(jaw=begun) == check()


def test_a_denture_without_implants_is_not_judged_by_trials_of_overdentures() -> None:
    assert check("conventional_denture") == ()


def test_an_option_without_a_first_cost_is_not_judged() -> None:
    practice = load_demo_practice()
    free = {key: replace(line, fee=Decimal(0)) for key, line in practice.fees.lines.items()}
    assert check(practice=replace(practice, fees=replace(practice.fees, lines=free))) == ()
