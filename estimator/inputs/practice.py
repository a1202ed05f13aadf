"""Practice: everything an estimate needs besides the case."""

from collections.abc import Mapping
from dataclasses import dataclass

from estimator.base.evidence import Evidence
from estimator.base.problems import Problem
from estimator.inputs.cautions import CautionText
from estimator.inputs.fees import FeeSchedule
from estimator.inputs.options import Option
from estimator.inputs.settings import Settings


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """Settings, fees, options, and the evidence with the practice's own figures in place."""

    settings: Settings
    fees: FeeSchedule
    options: tuple[Option, ...]
    evidence: Evidence
    cautions: Mapping[str, CautionText]


def find_missing_fees(options: tuple[Option, ...], fees: FeeSchedule) -> list[Problem]:
    """A problem for each fee line that an option charges and the schedule does not have."""
    problems = []
    for option in options:
        for key in dict.fromkeys(charge.fee for charge in option.list_charges()):
            if key not in fees.lines:
                expected = f'a row with the key "{key}", which the option "{option.key}" charges (fee 0 prints as included)'
                problems.append(Problem(file=fees.file, place="", found=f'no row "{key}"', expected=expected))
    return problems
