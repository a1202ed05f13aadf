"""Estimates side by side, as plain rows for tables and pictures; no treatment now is a row like the others."""

from dataclasses import dataclass
from decimal import Decimal

from estimator.estimate.clearance.verdict import Clearance
from estimator.estimate.result import NO_TREATMENT_NOW, Estimate, JawEstimate, NotApplicable

NO_TREATMENT = NO_TREATMENT_NOW.key


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparisonRow:
    """One option beside the others. Money in the currency of the fees; what is unknown is None.

    `upkeep` and `total` are low, expected and high: 8 chances in 10 lie between low and high. Where they are None for a
    row that can be chosen, `not_estimated` says why. `upkeep_trips` are those expected after the treatment.
    """

    key: str
    name: str
    patient_name: str
    reason: str = ""
    clearance: Clearance | None = None
    trips: int = 0
    trip_weeks: tuple[Decimal, ...] = ()
    weeks_to_teeth: Decimal | None = None
    weeks_without_teeth: Decimal | None = None
    first_cost: Decimal | None = None
    upkeep: tuple[Decimal, Decimal, Decimal] | None = None
    total: tuple[Decimal, Decimal, Decimal] | None = None
    upkeep_trips: float | None = None
    not_estimated: str = ""


def list_rows(jaw: JawEstimate, *, no_treatment: tuple[str, str]) -> tuple[ComparisonRow, ...]:
    """A row an option in their fixed order, then no treatment now under its office and patient name."""
    none = ComparisonRow(
        key=jaw.no_treatment.key,
        name=no_treatment[0],
        patient_name=no_treatment[1],
        first_cost=Decimal(0),
        not_estimated=jaw.no_treatment.reason,
    )
    return (*(_make_row(option) for option in jaw.options), none)


def round_to_fourth_digit(largest: Decimal) -> Decimal:
    """The step of the fourth digit of an amount, 1 at the least: 10 for 18 880."""
    return Decimal(1).scaleb(max(0, largest.adjusted() - 3))


def _make_row(option: Estimate | NotApplicable) -> ComparisonRow:
    if isinstance(option, NotApplicable):
        return ComparisonRow(key=option.key, name=option.name, patient_name=option.patient_name, reason=option.reason)
    first, ahead = option.fees.total, option.upkeep
    return ComparisonRow(
        key=option.key,
        name=option.name,
        patient_name=option.patient_name,
        clearance=option.clearance,
        trips=option.visits.count,
        trip_weeks=tuple(visit.week for visit in option.visits.visits),
        weeks_to_teeth=option.visits.weeks_to_teeth,
        weeks_without_teeth=option.visits.weeks_without_teeth,
        first_cost=first,
        upkeep=(ahead.p10, ahead.expected, ahead.p90),
        total=(first + ahead.p10, first + ahead.expected, first + ahead.p90),
        upkeep_trips=option.upkeep_visits.trips,
    )
