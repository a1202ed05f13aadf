"""Days as a plan counts them: months ahead, benefit years, the day a line is begun and the day it is delivered."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from estimator.inputs.options import Option


@dataclass(frozen=True, slots=True, kw_only=True)
class ServiceDays:
    """The day a line is begun (prepared, or done at once) and the day it is in the patient's mouth."""

    prepared_on: date
    delivered_on: date


def find_benefit_year(day: date, begins_month: int) -> int:
    """The calendar year in which the benefit year of that day begins."""
    return day.year - (day.month < begins_month)


def find_service_days(
    option: Option, weeks: Mapping[str, Decimal], *, weeks_to_teeth: Decimal, first_visit: date
) -> Mapping[str, ServiceDays]:
    """Days of each line an option charges: begun at the first visit that charges it, delivered with the final teeth.

    `weeks` are those of the visits that take place, by the key of their step. What is charged after the final teeth is
    delivered at once. What no visit charges (a laboratory's work) begins at the first visit after healing.
    """
    steps = [step for step in option.visits if step.key in weeks]
    begun: dict[str, Decimal] = {}
    for step in steps:
        for charge in step.charges:
            begun[charge.fee] = min(weeks[step.key], begun.get(charge.fee, weeks[step.key]))
    healed = min((weeks[step.key] for step in steps if step.healed), default=Decimal(0))
    for charge in option.charges:
        begun.setdefault(charge.fee, healed)
    return {
        key: ServiceDays(
            prepared_on=_count_from(first_visit, week),
            delivered_on=_count_from(first_visit, max(week, weeks_to_teeth)),
        )
        for key, week in begun.items()
    }


def _count_from(first_visit: date, week: Decimal) -> date:
    return first_visit + timedelta(days=int(week * 7))
