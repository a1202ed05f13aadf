"""The demo fees and visits against a dry run by hand (dry_run.csv: practice, invented prices)."""

import csv
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.inputs.case.model import DenturePlan
from estimator.inputs.fees.schedule import FeeKind
from tests.builders import estimate_jaw, make_jaw

ROWS = list(csv.DictReader((Path(__file__).parent / "dry_run.csv").read_text(encoding="utf-8").splitlines()))


@pytest.mark.parametrize("row", ROWS, ids=[row["id"] for row in ROWS])
def test_first_cost_and_visits_agree_with_the_dry_run(row: dict[str, str]) -> None:
    jaw = make_jaw(
        implants=int(row["implants"]),
        implants_present=row["implants_present"] == "true",
        denture=DenturePlan(row["denture"]),
    )
    estimate = estimate_jaw(jaw)[row["option"]]
    found = (estimate.fees.total, estimate.visits.count, estimate.visits.chair_time_min, estimate.visits.weeks_to_teeth)
    assert found == (Decimal(row["total"]), int(row["visits"]), int(row["minutes"]), Decimal(row["teeth_week"]))


def test_the_laboratory_charges_about_two_thousand_more_for_a_bar_on_four_implants() -> None:
    """A milled bar raises the laboratory bill by roughly 2 000 US dollars (how sure: practice)."""
    estimates = estimate_jaw(make_jaw())
    laboratory = {key: dict(estimate.fees.by_kind)[FeeKind.LABORATORY] for key, estimate in estimates.items()}
    assert abs(laboratory["connecting_bar"] - laboratory["individual_attachments"] - 2000) <= 100
