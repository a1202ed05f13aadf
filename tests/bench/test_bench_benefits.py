"""20 lines, two plans, two benefit years compared both ways, against a reference in the same run."""

from datetime import date
from decimal import Decimal
from typing import Any

from estimator.inputs.plans.model import EVERYTHING, Alternate, Frequency, SecondRule
from estimator.quote.benefits.claim import ClaimLine
from estimator.quote.benefits.phasing import PhaseComparison, compare_phases
from tests.bench.reference import do_transforms, race
from tests.benefit_builders import make_limit, make_line, make_plan

DAYS = (date(2026, 12, 1), date(2027, 1, 20))
TERMS: dict[str, Any] = {
    "deductible": make_limit("50"),
    "annual_maximum": make_limit("1500"),
    "lifetime_maximum": make_limit("4000"),
    "frequencies": (Frequency(times=20, months=60, scope=EVERYTHING),),
    "alternates": (Alternate(instead="full denture", amount=Decimal(5000), scope=EVERYTHING),),
}
PLANS = (
    make_plan("50", in_network=True, **TERMS),
    make_plan("80", key="other", as_second=SecondRule.MAINTENANCE_OF_BENEFITS, **TERMS),
)


def make_lines() -> list[ClaimLine]:
    return [make_line(f"{100 + 37 * n}.35", DAYS[n % 2], key=f"line{n}") for n in range(20)]


def compare() -> PhaseComparison:
    return compare_phases(make_lines(), PLANS, currency="USD")


def test_twenty_lines_two_plans_and_two_years_take_a_part_of_the_reference(benchmark: Any) -> None:
    """Under 20 ms where 300 FFT pairs take 40 ms (a quiet machine with two cores)."""
    assert compare().straddles
    benchmark(compare)
    ours, reference = race(compare, do_transforms, rounds=15)
    benchmark.extra_info.update(ours_ms=1000 * ours, reference_ms=1000 * reference)
    print(f"\nbenefits {1000 * ours:.2f} ms, reference {1000 * reference:.1f} ms, ratio {ours / reference:.3f}")
    assert ours <= 20 / 40 * reference
