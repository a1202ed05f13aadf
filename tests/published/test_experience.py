"""Own counts alone meet the published row of a gamma-Poisson count, whose prior is Jeffreys' (shape 1/2, rate 0)."""

import csv
from pathlib import Path

import pytest
from scipy import stats

from estimator.estimate.upkeep.experience import Multiplier


def read_row() -> dict[str, str]:
    with (Path(__file__).parent / "renewal.csv").open(encoding="utf-8", newline="") as file:
        return next(row for row in csv.DictReader(file) if row["id"] == "NB-10")


def learn() -> Multiplier:
    """31 events in 115 patient-years; a published rate of 1 a year makes the multiplier the rate itself."""
    row = read_row()
    assert row["parameters"] == "31 events in 115 patient-years, Jeffreys; next 10 years"
    return Multiplier(shape=0.5, rate=0.0).learn(events=31, expected=115.0)


def test_the_mean_of_the_next_years_is_the_published_one() -> None:
    """Closed form, derived: renewal.csv, NB-10."""
    mean = float(read_row()["value"].split(";")[0])
    assert 10 * learn().mean == pytest.approx(mean, abs=float(read_row()["tolerance"]))


def test_the_law_of_the_next_years_is_the_published_one() -> None:
    expected = [float(value) for value in read_row()["value"].split(";")]
    known = learn()
    law = stats.nbinom(known.shape, known.rate / (known.rate + 10))
    found = [law.mean(), law.var(), law.pmf(0), *law.ppf([0.05, 0.5, 0.95])]
    assert found == pytest.approx(expected, abs=float(read_row()["tolerance"]))


def test_own_data_have_all_the_weight_where_nothing_was_known_before() -> None:
    assert Multiplier(shape=0.5, rate=0.0).weigh(115.0) == 1.0
