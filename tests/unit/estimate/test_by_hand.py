"""One case worked by hand as plain arithmetic, every line visible.

A lower jaw, two implants in place, measured on mounted casts from the soft tissue crest: 11.00 mm at 43, 10.50 at 33.
Connecting bar, five years, demo fees (invented). Only stdlib arithmetic on the right-hand sides.
"""

import math
from decimal import Decimal

import pytest

from estimator.estimate.clearance.verdict import Verdict
from estimator.inputs.case.model import Site
from tests.builders import estimate_jaw, make_jaw

SITES = (
    Site(tooth="43", restorative_space_mm=Decimal("11.00"), position_mm=Decimal(10)),
    Site(tooth="33", restorative_space_mm=Decimal("10.50"), position_mm=Decimal(-10)),
)
BAR = estimate_jaw(make_jaw("1", implants=2, sites=SITES), years=5)["connecting_bar"]


def test_the_stack_and_the_margin() -> None:
    usual = (
        Decimal("1.5") + Decimal("2.0") + Decimal("2.25") + Decimal("2.0") + Decimal("3.0")
    )  # space bar attachment resin tooth
    least = Decimal("1.0") + Decimal("2.0") + Decimal("2.25") + Decimal("2.0") + Decimal("1.0")
    assert (BAR.clearance.required_mm, BAR.clearance.least_mm) == (usual, least)
    assert BAR.clearance.margin_mm == Decimal("10.50") - usual == Decimal("-0.25")
    assert (BAR.clearance.limiting_site, BAR.clearance.verdict) == ("33", Verdict.TIGHT)


def test_the_chance_of_fit_by_a_plain_sum() -> None:
    """Margins 0.25 and -0.25, SD 0.5, half of the variance shared: a sum over 16 001 biases."""

    def phi(z: float) -> float:
        return 0.5 * math.erfc(-z / math.sqrt(2))

    shared = own = 0.5 * math.sqrt(0.5)
    step = 0.001
    total = 0.0
    for i in range(-8000, 8001):
        b = i * step
        density = math.exp(-b * b / 2) / math.sqrt(2 * math.pi)
        total += density * phi((0.25 + shared * b) / own) * phi((-0.25 + shared * b) / own) * step
    assert BAR.clearance.chance_of_fit == pytest.approx(total, abs=1e-6)


def test_the_first_cost() -> None:
    visits = 140 + 150 + 420 + 260 + 160 + 190 + 260 + 480
    parts = 2 * 390 + 2 * 95 + 2 * 120 + 2 * 180 + 2 * 110
    laboratory = 150 + 1000 + 160 + 260 + 480 + 1 * 300
    assert BAR.fees.total == visits + parts + laboratory == 6200


def test_the_expected_count_and_cost_of_each_memoryless_event() -> None:
    """First-year rate once, later rate four times; 2 inserts a service; a lost implant is replaced."""
    by_hand = {
        "retention_service": (0.8 + 4 * 0.4, 90 + 2 * 40),
        "sore_spot": (3 + 4 * 0.3, 75),
        "reline": (5 * 0.10, 480),
        "base_fracture": (5 * 0.03, 260),
        "tooth_replaced": (5 * 0.03, 190),
        "housing_refit": (5 * 0.03, 160),
        "bar_screw": (5 * 0.03, 90),
        "bar_cleaning": (5 * 0.05, 280),
        "bar_repair": (5 * 0.015, 650),
        "bar_remake": (5 * 0.006, 2900),
        "implant_lost_lower": (2 * 5 * 0.0022, 380 + 1350 + 450 + 95 + 390),
        "recall": (5.0, 150),
    }
    found = {event.key: event for event in BAR.upkeep.events if event.key != "denture_renewal"}
    assert set(found) == set(by_hand)
    for key, (count, fee) in by_hand.items():
        assert found[key].count == pytest.approx(count)
        assert found[key].cost == Decimal(str(round(count * fee, 2)))


def test_the_renewals_by_a_plain_recursion() -> None:
    """M(t) = F(t) + integral of M(t - x) dF(x), Weibull of shape 2.4, means 7, 11 and 15 at 0.3, 0.4 and 0.3."""
    steps = 1000
    expected = 0.0
    for mean, weight in ((7, 0.3), (11, 0.4), (15, 0.3)):
        scale = mean / math.gamma(1 + 1 / 2.4)
        cdf = [1 - math.exp(-((5 * i / steps / scale) ** 2.4)) for i in range(steps + 1)]
        m = [0.0] * (steps + 1)
        for i in range(1, steps + 1):
            m[i] = cdf[i] + sum((m[i - j] + m[i - j + 1]) / 2 * (cdf[j] - cdf[j - 1]) for j in range(1, i + 1))
        expected += weight * m[steps]
    renewal = next(event for event in BAR.upkeep.events if event.key == "denture_renewal")
    assert renewal.count == pytest.approx(expected, abs=2e-4)
    assert renewal.cost == pytest.approx(Decimal(str(expected)) * (2900 + 2 * 110 + 3 * 75), abs=1)


def test_the_totals_add_up() -> None:
    assert BAR.total_over_years == BAR.fees.total + BAR.upkeep.expected
    assert abs(BAR.upkeep.expected - sum(event.cost for event in BAR.upkeep.events)) <= Decimal("0.07")
    factor = (1 - 1.03**-5) / 0.03
    assert float(BAR.equivalent_annual_cost) == pytest.approx(
        float(BAR.fees.total + BAR.upkeep.discounted) / factor, abs=0.006
    )
