"""What an hour of a chair costs: typed in, or worked out from a year's overhead and the hours chairs are in use."""

from decimal import Decimal

from estimator.base.declared import Field, FieldKind, Section, read_declared
from estimator.base.fields import Fields

_COST = "chair_cost_per_hour"
_HOURS = (
    Field(key="chairs", kind=FieldKind.NUMBER, label="Chairs", help="How many chairs the overhead is spread over.",
          code="number.chairs", missing="number.chairs_missing",
          low=1, high=100, example="2", attribute=_COST),
    Field(key="weeks", kind=FieldKind.NUMBER, label="Weeks a year", help="Working weeks a year.",
          code="number.working_weeks", missing="number.working_weeks_missing",
          low=Decimal("0.1"), high=53, example="46", attribute=_COST),
    Field(key="days", kind=FieldKind.NUMBER, label="Days a week", help="Working days a week.",
          code="number.working_days", missing="number.working_days_missing",
          low=Decimal("0.1"), high=7, example="4.5", attribute=_COST),
    Field(key="hours", kind=FieldKind.NUMBER, label="Hours a day", help="Working hours a day.",
          code="number.working_hours", missing="number.working_hours_missing",
          low=Decimal("0.1"), high=24, example="8", attribute=_COST),
)  # fmt: skip
COST = Section(
    key="cost",
    help="What work costs the practice; never on anything a patient sees.",
    parts=(
        Field(key="chair_hour", kind=FieldKind.NUMBER, label="Chair hour", help="What an hour of a chair costs.",
              code="number.chair_hour", high=10**8, example="240.00", attribute=_COST),
        Field(key="overhead_per_year", kind=FieldKind.NUMBER, label="Overhead a year",
              help="In place of chair_hour: a year's cost, spread over the hours in which chairs are in use.",
              code="number.overhead", high=10**10, example="600000",
              attribute=_COST),
        *_HOURS,
        Field(key="share_in_use", kind=FieldKind.NUMBER, label="Share in use",
              help="The share of these hours in which a chair is in use.", code="number.share_in_use",
              low=Decimal("0.01"), high=1, example="0.8", default=Decimal(1), attribute=_COST),
        Field(key="laboratory_remakes", kind=FieldKind.NUMBER, label="Laboratory remakes",
              help="The share of laboratory work that is made again, at the practice's cost.",
              code="number.share", high=Decimal("0.5"), example="0.08",
              default=Decimal(0)),
    ),
)  # fmt: skip
"""The table [cost] of the settings."""


def find_chair_cost(
    overhead_per_year: Decimal, *, chairs: Decimal, weeks: Decimal, days: Decimal, hours: Decimal, share_in_use: Decimal
) -> Decimal:
    """A year's overhead over the hours in which chairs are in use, not rounded [money per hour].

    `weeks` a year, `days` a week, `hours` a day; `share_in_use` from above 0 to 1.
    """
    return overhead_per_year / (chairs * weeks * days * hours * share_in_use)


def read_chair_cost(cost: Fields) -> tuple[Decimal | None, Decimal]:
    """What a chair hour costs and the share of laboratory work that is made again.

    The first from `chair_hour`, or from `overhead_per_year` with its hours; None where neither is there.
    """
    said = read_declared(cost, COST)
    remakes: Decimal = said["laboratory_remakes"]
    if "overhead_per_year" not in cost:
        return said["chair_hour"], remakes
    if "chair_hour" in cost:
        cost.add_problem("chair_hour", "practice.chair_hour")
        return None, remakes
    for field in _HOURS:
        if field.key not in cost:
            cost.add_problem(field.key, field.missing, low=field.low, high=field.high, example=field.example)
    known = {field.key: said[field.key] for field in _HOURS}
    if None in (said["overhead_per_year"], said["share_in_use"], *known.values()):
        return None, remakes
    return find_chair_cost(said["overhead_per_year"], share_in_use=said["share_in_use"], **known), remakes
