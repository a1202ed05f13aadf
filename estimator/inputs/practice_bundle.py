"""Practice: everything an estimate needs besides the case."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.base.evidence import Evidence, Figure
from estimator.base.problems import Problem
from estimator.inputs.fees.schedule import FeeSchedule
from estimator.inputs.options.model import MOST_PER_YEAR, Option
from estimator.inputs.options.variants import Variant
from estimator.inputs.practice.experience import Observation
from estimator.inputs.practice.settings import Settings
from estimator.inputs.reference.cautions import CautionText
from estimator.inputs.reference.decision_aid import AidItem
from estimator.inputs.reference.published_minima import Minimum
from estimator.inputs.reference.risk_frames import ChanceFrame

MOST_TRIPS = 50
LIMITS = {
    "discount_rate": (Decimal("-0.5"), Decimal(1), "a yearly rate from -0.5 to 1, such as 0.03"),
    "inflation": (Decimal("-0.5"), Decimal(1), "a yearly rate from -0.5 to 1, such as 0.02"),
    "maintenance_share_5_years": (Decimal("0.001"), Decimal(10), "a share from 0.001 to 10, such as 0.11"),
    "aftercare_share_8_years": (Decimal("0.001"), Decimal(1), "a share from 0.001 to 1, such as 0.25"),
    "sanity_width": (Decimal(1), Decimal(100), "a factor from 1 to 100, such as 2"),
}
"""Least and most of figures that the upkeep model takes from the evidence itself, and how to say it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """Settings, fees, options, and the evidence with the practice's own figures in place.

    `ways` are what could make room, `minima` the published minimum heights, `variants` what a case may ask
    for beside an option, `chances` those shown to patients.
    `experience` is the log as it stands in the folder; the options hold its sums.
    """

    settings: Settings
    fees: FeeSchedule
    options: tuple[Option, ...]
    evidence: Evidence
    cautions: Mapping[str, CautionText]
    ways: Mapping[str, CautionText]
    minima: tuple[Minimum, ...]
    variants: Mapping[str, Variant]
    experience: tuple[Observation, ...] = ()
    chances: tuple[ChanceFrame, ...] = ()
    decision_aid: tuple[AidItem, ...] = ()

    def change_figures(self, values: Mapping[str, Decimal]) -> "Practice":
        """This practice with other values for some figures; a rate keeps its spread, low and high moving with it."""

        def change(figure: Figure) -> Figure:
            value = values.get(figure.key, figure.value)
            if value == figure.value:
                return figure
            if figure.low <= 0:
                return replace(figure, value=value, low=min(figure.low, value), high=max(figure.high, value))
            ratio = value / figure.value
            return replace(figure, value=value, low=figure.low * ratio, high=figure.high * ratio)

        figures = {key: change(figure) for key, figure in self.evidence.figures.items()}
        return replace(
            self,
            evidence=replace(self.evidence, figures=figures),
            options=tuple(option.change_figures(change) for option in self.options),
        )


def find_unusable_figures(options: tuple[Option, ...], evidence: Evidence) -> list[Problem]:
    """A problem for each figure that the upkeep model cannot take, such as a rate from 0 to more than 0."""
    problems = [_blame(figure, expected) for figure, expected in _find_outside(evidence)]
    for option in options:
        problems += _find_unusable_trips(option)
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


def _find_outside(evidence: Evidence) -> list[tuple[Figure, str]]:
    found = [(evidence.figures[key], limits) for key, limits in LIMITS.items() if key in evidence.figures]
    return [(figure, expected) for figure, (least, most, expected) in found if figure.low < least or figure.high > most]


def _find_unusable_trips(option: Option) -> list[Problem]:
    told = (*(item.trips for item in option.upkeep), option.renewal.trips if option.renewal else None)
    expected = f"trips from 0 to {MOST_TRIPS}"
    unusable = [figure for figure in told if figure and not 0 <= figure.low <= figure.high <= MOST_TRIPS]
    return [_blame(figure, expected, file=f"option {option.key}") for figure in unusable]


def _blame(figure: Figure, expected: str, *, file: str = "figures.csv") -> Problem:
    found = f"{figure.low} to {figure.high}"
    return Problem(file=file, place=f"figure {figure.key}", found=found, expected=expected)


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
