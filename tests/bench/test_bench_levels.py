"""Six sites and six heights, against a reference in the same run."""

from decimal import Decimal
from typing import Any

from estimator.estimate.clearance.abutment_levels import LevelSite, Rises, choose_heights
from tests.bench.reference import do_transforms, race

SPACES = ("11.25", "12.50", "13.75", "13.25", "12.00", "11.75")
SITES = tuple(
    LevelSite(tooth=str(31 + n), space_mm=Decimal(space), tissue_mm=Decimal("1.5")) for n, space in enumerate(SPACES)
)
HEIGHTS = tuple(Decimal(n) for n in range(1, 7))
RISES = Rises(floor_mm=Decimal("0.5"), usual_mm=Decimal(1), ceiling_mm=Decimal(100))


def test_six_sites_and_six_heights_take_a_small_part_of_the_reference(benchmark: Any) -> None:
    """Under 5 ms where 300 FFT pairs take 40 ms (a quiet machine with two cores)."""
    benchmark(choose_heights, SITES, HEIGHTS, RISES)
    ours, reference = race(lambda: choose_heights(SITES, HEIGHTS, RISES), do_transforms, rounds=15)
    benchmark.extra_info.update(ours_ms=1000 * ours, reference_ms=1000 * reference)
    print(f"\nsix sites {1000 * ours:.3f} ms, reference {1000 * reference:.1f} ms, ratio {ours / reference:.4f}")
    assert ours <= 5 / 40 * reference
