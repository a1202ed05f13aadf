"""Days as a plan counts them: months ahead, benefit years, the day a line is begun and the day it is delivered."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from estimator.inputs.options.model import Option


@dataclass(frozen=True, slots=True, kw_only=True)
class ServiceDays:
    """The day a line is begun (prepared, or done at once) and the day it is in the patient's mouth."""

    prepared_on: date
    delivered_on: date


def find_benefit_year(day: date, begins_month: int) -> int:
    """The calendar year in which the benefit year of that day begins."""
    return day.year - (day.month < begins_month)


def find_service_days(
    option: Option, days: Mapping[str, date], *, first_visit: date, teeth_on: date
) -> Mapping[str, ServiceDays]:
    """Days of each line an option charges: begun at the first visit that charges it, delivered with the final teeth.

    `days` are those of the visits that take place, by the key of their step. What is charged after the final teeth is
    delivered at once. What no visit charges (a laboratory's work) begins at the first visit after healing.
    """
    steps = [step for step in option.visits if step.key in days]
    begun: dict[str, date] = {}
    for step in steps:
        for charge in (*step.charges, *step.added):
            begun[charge.fee] = min(days[step.key], begun.get(charge.fee, days[step.key]))
    healed = min((days[step.key] for step in steps if step.healed), default=first_visit)
    for charge in option.charges:
        begun.setdefault(charge.fee, healed)
    return {key: ServiceDays(prepared_on=day, delivered_on=max(day, teeth_on)) for key, day in begun.items()}
