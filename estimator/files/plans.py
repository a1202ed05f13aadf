"""Benefit plans of a practice folder, and what a plan answered."""

from datetime import date
from pathlib import Path

from estimator.files.reading import load_toml
from estimator.inputs.fees import FeeSchedule
from estimator.inputs.plan_answer import PlanAnswer, read_plan_answer
from estimator.inputs.plan_file import read_plan
from estimator.inputs.plans import BenefitPlan


def load_plan(path: Path, *, today: date, born: date | None = None, fees: FeeSchedule | None = None) -> BenefitPlan:
    """A benefit plan from disk, held against the patient's birth and a fee schedule where they are given."""
    return read_plan(load_toml(path), file=path.name, today=today, born=born, fees=fees)


def load_plan_answer(path: Path, *, today: date) -> PlanAnswer:
    """A plan's answer from disk."""
    return read_plan_answer(load_toml(path), file=path.name, today=today)
