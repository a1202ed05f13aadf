"""Moving the plane between two open jaws: what it gives both, said in words, and never more than is offered."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.estimate.clearance.further.plane import PlaneOffer, offer_plane
from estimator.estimate.clearance.sites import SiteCheck
from estimator.estimate.clearance.stack import Stack
from estimator.inputs.case.model import Arch
from estimator.ui.clearance.further import say_plane
from tests.builders import load_demo_practice

TWO = Decimal(2)
EVIDENCE = load_demo_practice().evidence
STACK = Stack(least_mm=Decimal(8), usual_mm=Decimal(10), most_mm=Decimal(12))
steps = st.integers(-40, 40).map(lambda n: Decimal(n) / 10)
jaws = st.lists(steps, min_size=1, max_size=4)


def make_checks(*margins: Decimal) -> tuple[SiteCheck, ...]:
    return tuple(SiteCheck(tooth="13", room_mm=10 + m, stack=STACK, own_sd_mm=0, chance=0.5) for m in margins)


def offer(upper: list[Decimal], lower: list[Decimal]) -> PlaneOffer:
    found = offer_plane(Arch.MAXILLA, make_checks(*upper), make_checks(*lower), EVIDENCE)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("upper", "lower", "said"),
    [
        ("1.0", "-0.5", "raised by 0.50 to 1.00 mm, the plane gives both the usual room."),
        ("-0.5", "3.0", "lowered by 0.50 to 2.00 mm, the plane gives both the usual room."),
        ("5", "-0.5", "raised by 0.50 to 2.00 mm, the plane gives both the usual room."),
        ("0.5", "1", "both have the usual room; the plane may be raised by up to 0.50 mm or lowered by up to 1.00 mm."),
        ("-0.5", "0.4", "no plane gives both the usual room; 0.10 mm are missing in all."),
        ("4", "-2.5", "the plane would have to be raised by 2.50 mm; over 2 mm is not offered."),
    ],
)
def test_what_moving_the_plane_gives_is_said_in_words(upper: str, lower: str, said: str) -> None:
    assert say_plane(offer([Decimal(upper)], [Decimal(lower)])) == said


@settings(max_examples=60, deadline=None)
@given(jaws, jaws, st.integers(0, 20).map(lambda n: Decimal(n) / 10))
def test_the_offer_shrinks_as_either_jaw_loses_room(upper: list[Decimal], lower: list[Decimal], lost: Decimal) -> None:
    def measure(found: PlaneOffer) -> Decimal:
        return Decimal(-1) if found.from_mm is None or found.to_mm is None else found.to_mm - found.from_mm

    whole = measure(offer(upper, lower))
    assert measure(offer([m - lost for m in upper], lower)) <= whole
    assert measure(offer(upper, [m - lost for m in lower])) <= whole


@settings(max_examples=60, deadline=None)
@given(jaws, jaws)
def test_just_what_serves_both_jaws_within_two_millimetres_is_offered(
    upper: list[Decimal], lower: list[Decimal]
) -> None:
    found = offer(upper, lower)
    for tenth in range(-30, 31):
        shift = Decimal(tenth) / 10
        served = all(m - shift >= 0 for m in upper) and all(m + shift >= 0 for m in lower) and abs(shift) <= TWO
        offered = found.from_mm is not None and found.to_mm is not None and found.from_mm <= shift <= found.to_mm
        assert served == offered


@given(jaws, jaws)
def test_the_offer_is_the_same_seen_from_either_jaw(upper: list[Decimal], lower: list[Decimal]) -> None:
    below = offer_plane(Arch.MANDIBLE, make_checks(*lower), make_checks(*upper), EVIDENCE)
    assert below == offer(upper, lower)


def test_until_both_jaws_are_measured_nothing_is_offered() -> None:
    assert offer_plane(Arch.MAXILLA, make_checks(Decimal(1)), (), EVIDENCE) is None
