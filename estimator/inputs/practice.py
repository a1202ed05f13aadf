"""Practice: everything an estimate needs besides the case."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from estimator.base.evidence import Evidence
from estimator.base.problems import Problem
from estimator.inputs.cautions import CautionText
from estimator.inputs.experience import Observation
from estimator.inputs.fees import FeeSchedule
from estimator.inputs.options import MOST_PER_YEAR, Option
from estimator.inputs.settings import Settings


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """Settings, fees, options, and the evidence with the practice's own figures in place.

    `experience` is the log as it stands in the folder; the options hold its sums.
    """

    settings: Settings
    fees: FeeSchedule
    options: tuple[Option, ...]
    evidence: Evidence
    cautions: Mapping[str, CautionText]
    experience: tuple[Observation, ...] = ()


def find_unusable_figures(options: tuple[Option, ...]) -> list[Problem]:
    """A problem for each rate or life that the upkeep model cannot take, such as a rate from 0 to more than 0."""
    problems = []
    for option in options:
        file = f"option {option.key}"
        for item in option.upkeep:
            for rate in (item.first_year, item.later):
                if rate.low <= 0 < rate.high or rate.low < 0 or rate.high > MOST_PER_YEAR:
                    expected = f"low above 0 (or all three 0), and at most {MOST_PER_YEAR} a year"
                    found = f"{rate.low} to {rate.high}"
                    problems.append(Problem(file=file, place=f"figure {rate.key}", found=found, expected=expected))
        if option.renewal and not (option.renewal.mean_life.low >= 1 and option.renewal.mean_life.high <= 100):
            life = option.renewal.mean_life
            found = f"{life.low} to {life.high}"
            problems.append(Problem(file=file, place=f"figure {life.key}", found=found, expected="1 to 100 years"))
        if option.renewal and not Decimal("0.5") <= option.renewal.shape.value <= 50:
            shape = option.renewal.shape
            place, found = f"figure {shape.key}", f"{shape.value}"
            problems.append(Problem(file=file, place=place, found=found, expected="a Weibull shape from 0.5 to 50"))
    return list(dict.fromkeys(problems))


def find_missing_fees(options: tuple[Option, ...], fees: FeeSchedule) -> list[Problem]:
    """A problem for each fee line that an option charges and the schedule does not have."""
    problems = []
    for option in options:
        for key in dict.fromkeys(charge.fee for charge in option.list_charges()):
            if key not in fees.lines:
                expected = (
                    f'a row with the key "{key}", which the option "{option.key}" charges (fee 0 prints as included)'
                )
                problems.append(Problem(file=fees.file, place="", found=f'no row "{key}"', expected=expected))
    return problems
