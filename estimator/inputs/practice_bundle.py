"""Practice: everything an estimate needs besides the case."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.base.evidence import Evidence, Figure
from estimator.base.problems import Problem
from estimator.inputs.case.model import Arch
from estimator.inputs.fees.schedule import FeeSchedule
from estimator.inputs.options.model import MOST_PER_YEAR, Option
from estimator.inputs.options.variants import Variant
from estimator.inputs.payment.jurisdiction import Profile
from estimator.inputs.practice.experience import Observation
from estimator.inputs.practice.settings import Settings
from estimator.inputs.reference.cautions import CautionText
from estimator.inputs.reference.decision_aid import AidItem
from estimator.inputs.reference.layers import LayerKey, LayerText
from estimator.inputs.reference.published_minima import Minimum
from estimator.inputs.reference.risk_frames import ChanceFrame
from estimator.inputs.reference.usual_arch import UsualArch

MOST_TRIPS = 50
_HALF_LOST = Decimal("-0.5")
LIMITS = {
    "discount_rate": (_HALF_LOST, Decimal(1), "model.rate", Decimal("0.03")),
    "inflation": (_HALF_LOST, Decimal(1), "model.rate", Decimal("0.02")),
    "maintenance_share_5_years": (Decimal("0.001"), Decimal(10), "model.share", Decimal("0.11")),
    "aftercare_share_8_years": (Decimal("0.001"), Decimal(1), "model.share", Decimal("0.25")),
    "sanity_width": (Decimal(1), Decimal(100), "model.factor", Decimal(2)),
}
"""Least and most of figures that the upkeep model takes from the evidence itself, what they are, and an example."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """Settings, fees, options, and the evidence with the practice's own figures in place.

    `ways` are what could make room, `layers` what the check asks and says, `minima` the published minimum heights,
    `usual_arches` where the crest of a jaw runs when nothing of it was measured, `variants` what a case may ask for
    beside an option, `chances` those shown to patients. `profile` holds how quotes are made where it is. `experience`
    is the log as it stands in the folder; the options hold its sums.
    """

    settings: Settings
    fees: FeeSchedule
    options: tuple[Option, ...]
    evidence: Evidence
    cautions: Mapping[str, CautionText]
    ways: Mapping[str, CautionText]
    layers: Mapping[LayerKey, LayerText]
    minima: tuple[Minimum, ...]
    usual_arches: Mapping[Arch, UsualArch]
    variants: Mapping[str, Variant]
    profile: Profile
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
    problems = _find_outside(evidence)
    for option in options:
        problems += _find_unusable_trips(option)
        for item in option.upkeep:
            for rate in (item.first_year, item.later):
                if rate.low <= 0 < rate.high or rate.low < 0 or rate.high > MOST_PER_YEAR:
                    problems.append(_blame(rate, "model.per_year", option, most=MOST_PER_YEAR))
        if option.renewal and not (option.renewal.mean_life.low >= 1 and option.renewal.mean_life.high <= 100):
            problems.append(_blame(option.renewal.mean_life, "model.life", option))
        if option.renewal and not Decimal("0.5") <= option.renewal.shape.value <= 50:
            problems.append(_blame(option.renewal.shape, "model.shape", option))
    return [problem for number, problem in enumerate(problems) if problem not in problems[:number]]


def _find_outside(evidence: Evidence) -> list[Problem]:
    found = [(evidence.figures[key], limits) for key, limits in LIMITS.items() if key in evidence.figures]
    return [
        _blame(figure, code, low=least, high=most, example=example)
        for figure, (least, most, code, example) in found
        if figure.low < least or figure.high > most
    ]


def _find_unusable_trips(option: Option) -> list[Problem]:
    told = (*(item.trips for item in option.upkeep), option.renewal.trips if option.renewal else None)
    unusable = [figure for figure in told if figure and not 0 <= figure.low <= figure.high <= MOST_TRIPS]
    return [_blame(figure, "model.trips", option, most=MOST_TRIPS) for figure in unusable]


def _blame(figure: Figure, code: str, option: Option | None = None, **expected: object) -> Problem:
    file = f"option {option.key}" if option else "figures.csv"
    known = {"key": figure.key, **expected}
    return Problem(file=file, path=(figure.key,), code=code, found=figure.points, expected=known)


def find_missing_fees(options: tuple[Option, ...], fees: FeeSchedule) -> list[Problem]:
    """A problem for each fee line that an option charges and the schedule does not have."""
    problems = []
    for option in options:
        for key in dict.fromkeys(charge.fee for charge in option.list_charges()):
            if key not in fees.lines:
                expected = {"key": key, "option": option.key}
                problems.append(Problem(file=fees.file, code="fees.no_line_for_option", expected=expected))
    return problems
