"""Benefit plans of a practice folder or as text, and what a plan answered."""

from datetime import date
from pathlib import Path

import tomli_w

from estimator.base.problems import InputError
from estimator.files.reading import load_toml, parse_toml
from estimator.inputs.fees.schedule import FeeSchedule
from estimator.inputs.plans.model import BenefitPlan
from estimator.inputs.plans.predetermination import PlanAnswer, read_plan_answer
from estimator.inputs.plans.reader import read_plan
from estimator.inputs.plans.writer import make_plan_document


def load_plan(path: Path, *, today: date, born: date | None = None, fees: FeeSchedule | None = None) -> BenefitPlan:
    """A benefit plan from disk, held against the patient's birth and a fee schedule where they are given."""
    return read_plan(load_toml(path), file=path.name, today=today, born=born, fees=fees)


def load_plan_answer(path: Path, *, today: date) -> PlanAnswer:
    """A plan's answer from disk."""
    return read_plan_answer(load_toml(path), file=path.name, today=today)


def read_plan_text(
    text: str, file: str, *, today: date, born: date | None = None, fees: FeeSchedule | None = None
) -> BenefitPlan:
    """A benefit plan from the text of a plan file. Raises InputError with all problems."""
    return read_plan(parse_toml(text, file), file=file, today=today, born=born, fees=fees)


def write_plan_text(plan: BenefitPlan) -> str:
    """A plan as the text of a plan file, for the plans of a practice folder."""
    return tomli_w.dumps(make_plan_document(plan))


def read_answer_text(text: str, file: str, *, today: date) -> PlanAnswer:
    """A plan's answer from the text of its file. Raises InputError with all problems."""
    return read_plan_answer(parse_toml(text, file), file=file, today=today)


def name_plan(path: Path) -> str:
    """What a plan file calls its plan; the name of the file where it cannot be read or does not say."""
    try:
        name = load_toml(path).get("name")
    except InputError:
        name = None
    return name if isinstance(name, str) and name.strip() else path.name
