"""Published tables and closed forms of renewals and counts; every row says where it is from and how sure it is."""

import csv
import math
import re
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest
from scipy import stats
from scipy.optimize import brentq

from estimator.estimate.upkeep.distribution import (
    CostDistribution,
    Floats,
    Total,
    choose_step,
    distribute_total,
    event_cost,
    severity_of,
)
from estimator.estimate.upkeep.plan import Lifetime, MeanLife, UpkeepEvent, UpkeepPlan
from estimator.estimate.upkeep.rates import Rate
from estimator.estimate.upkeep.renewal import LifeCdf, expect_renewals_by_year, renewal_counts, weibull_cdf
from estimator.estimate.upkeep.years import Upkeep, estimate_upkeep

Row = dict[str, str]


def read_rows() -> list[Row]:
    with (Path(__file__).parent / "renewal.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


ROWS = read_rows()
RENEWAL_ROWS = [row for row in ROWS if row["quantity"] == "M"]


def find_number(pattern: str, row: Row) -> float:
    found = re.search(pattern + r" ([\d.]+\d|\d)", row["parameters"])
    assert found is not None
    return float(found.group(1))


def build_life(row: Row) -> Callable[[Floats], Floats]:
    if row["model"] == "weibull":
        return weibull_cdf(1.0, find_number("shape", row))
    if row["model"] == "erlang-2":
        return lambda ages: stats.gamma.cdf(ages, 2, scale=1 / find_number("stage rate", row))
    if row["model"] == "gamma":
        mean, sd = find_number("mean", row), find_number("sd", row)
        return lambda ages: stats.gamma.cdf(ages, (mean / sd) ** 2, scale=sd**2 / mean)
    assert row["model"] == "uniform(0;1)"
    return lambda ages: np.clip(ages, 0.0, 1.0)


def put_on_grid(total: Total) -> CostDistribution:
    return distribute_total(total, choose_step((total,), spread=Decimal(0), quantum=Decimal("0.01")))


def run_plan(plan: UpkeepPlan, row: Row) -> Upkeep:
    fine = Decimal("1e-9")
    return estimate_upkeep((plan,), years=int(row["at"]), discount_rate=0.03, inflation=0.0, quantum=fine)[0]


def run_poisson(row: Row) -> tuple[float, ...]:
    rate = find_number("rate", row)
    steady = Rate(low=rate, value=rate, high=rate)
    event = UpkeepEvent(key="e", label="e", units=1, first_year=steady, later=steady, severity=severity_of(Decimal(1)))
    return (float(run_plan(UpkeepPlan(events=(event,), lifetime=None, recall_fee=Decimal(0)), row).discounted),)


def run_fixed_life(row: Row) -> tuple[float, ...]:
    mean = MeanLife(low=8.0, value=8.0, high=8.0)
    lifetime = Lifetime(mean_years=mean, shape=math.inf, severity=severity_of(Decimal(int(find_number("cost", row)))))
    return (float(run_plan(UpkeepPlan(events=(), lifetime=lifetime, recall_fee=Decimal(0)), row).discounted),)


def run_compound_poisson(row: Row) -> tuple[float, ...]:
    mean = find_number("severity mean", row)
    sd = mean * find_number("cv", row)
    severity = ((Decimal(mean - sd), 0.5), (Decimal(mean + sd), 0.5))
    total = Total(parts=(event_cost(find_number("rate", row) * float(row["at"]), math.inf, severity),))
    found = put_on_grid(total)
    amounts = np.arange(found.chances.size) * float(found.step)
    return found.mean, float(found.chances @ (amounts - found.mean) ** 2)


def run_gamma_poisson(row: Row) -> tuple[float, ...]:
    shape = 31 + 0.5
    rate = shape / 115
    cost = event_cost(rate * float(row["at"]), shape, severity_of(Decimal(1)))
    found = distribute_total(Total(parts=(cost,)), Decimal(1))
    places = np.arange(found.chances.size)
    variance = float(found.chances @ (places - found.mean) ** 2)
    quantiles = (float(found.find_quantile(chance)) for chance in (0.05, 0.5, 0.95))
    return found.mean, variance, float(found.chances[0]), *quantiles


def expect_renewals(cdf: LifeCdf, years: float) -> float:
    """The renewals within any time: a life in its units, stretched over 16 years for a fine lattice."""
    return float(expect_renewals_by_year(lambda ages: cdf(ages * years / 16), 16).by_year[-1])


def find_shape(mean: float, sd: float) -> float:
    """The Weibull shape of a life with this mean and SD."""

    def miss(shape: float) -> float:
        return math.lgamma(1 + 2 / shape) - 2 * math.lgamma(1 + 1 / shape) - math.log1p((sd / mean) ** 2)

    found: float = brentq(miss, 0.1, 100)
    return found


def run_renewals(row: Row) -> tuple[float, ...]:
    return (expect_renewals(build_life(row), float(row["at"])),)


RUNS = {
    "weibull": run_renewals,
    "erlang-2": run_renewals,
    "uniform(0;1)": run_renewals,
    "gamma": run_renewals,
    "poisson": run_poisson,
    "fixed life 8": run_fixed_life,
    "compound poisson": run_compound_poisson,
    "gamma-poisson": run_gamma_poisson,
}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_row_is_met_within_its_tolerance(row: Row) -> None:
    expected = [float(value) for value in row["value"].split(";")]
    assert list(RUNS[row["model"]](row)) == pytest.approx(expected, abs=float(row["tolerance"]), rel=0)


@pytest.mark.parametrize("row", RENEWAL_ROWS, ids=lambda row: row["id"])
def test_sum_of_the_count_chances_meets_the_row_too(row: Row) -> None:
    counts = renewal_counts(build_life(row), float(row["at"]))
    assert counts.sum() == pytest.approx(float(row["value"]), abs=float(row["tolerance"]))


@pytest.mark.parametrize("row", [row for row in ROWS if row["model"] == "weibull"], ids=lambda row: row["id"])
def test_weibull_scale_is_the_one_the_table_states(row: Row) -> None:
    """At the scale all but 1 of e lives have ended."""
    ended = build_life(row)(np.array([find_number("scale", row)]))
    assert float(ended[0]) == pytest.approx(1 - math.exp(-1), abs=1e-5)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_row_names_its_source_and_how_sure_it_is(row: Row) -> None:
    assert row["source"]
    assert row["how_sure"] in {"abstract", "chapter", "rule", "quoted", "memory", "practice", "derived"}


@pytest.mark.parametrize(
    ("age", "low", "high"),
    [(2.0, 0.00, 0.10), (5.5, 0.08, 0.16), (10.0, 0.28, 0.53)],
    ids=["at 2 years", "at 5-6 years", "at 10 years"],
)
def test_starting_weibull_lies_in_the_pooled_failure_intervals(age: float, low: float, high: float) -> None:
    """Intervals: Taylor et al., Longevity of complete dentures, J Prosthet Dent (abstract); Weibull: derived."""
    cdf = weibull_cdf(13.1 * math.gamma(1 + 1 / 2.37), 2.37)
    assert low <= float(cdf(np.array([age]))[0]) <= high


def test_years_over_mean_life_overstates_replacements_by_27_percent() -> None:
    """10.1 ± 4.0 years (Taylor et al., abstract) over 20 years: 1.98 against 1.557 (derived)."""
    found = expect_renewals(weibull_cdf(10.1, find_shape(10.1, 4.0)), 20)
    assert (20 / 10.1) / found == pytest.approx(1.27, abs=0.01)


def test_cumulative_hazard_overstates_replacements_by_a_factor_of_3() -> None:
    shape = find_shape(10.1, 4.0)
    scale = 10.1 / math.gamma(1 + 1 / shape)
    found = expect_renewals(weibull_cdf(10.1, shape), 20)
    assert (20 / scale) ** shape / found == pytest.approx(3.0, abs=0.1)
