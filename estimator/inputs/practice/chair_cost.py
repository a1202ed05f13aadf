"""What an hour of a chair costs: typed in, or worked out from a year's overhead and the hours chairs are in use."""

from decimal import Decimal

from estimator.base.fields import Fields

_HOURS = (
    ("chairs", Decimal(1), Decimal(100), "chairs from 1 to 100", "2"),
    ("weeks", Decimal("0.1"), Decimal(53), "working weeks a year, up to 53", "46"),
    ("days", Decimal("0.1"), Decimal(7), "working days a week, up to 7", "4.5"),
    ("hours", Decimal("0.1"), Decimal(24), "working hours a day, up to 24", "8"),
)


def find_chair_cost(
    overhead_per_year: Decimal, *, chairs: Decimal, weeks: Decimal, days: Decimal, hours: Decimal, share_in_use: Decimal
) -> Decimal:
    """A year's overhead over the hours in which chairs are in use, not rounded [money per hour].

    `weeks` a year, `days` a week, `hours` a day; `share_in_use` from above 0 to 1.
    """
    return overhead_per_year / (chairs * weeks * days * hours * share_in_use)


def read_chair_cost(cost: Fields) -> Decimal | None:
    """`chair_hour`, or `overhead_per_year` with the hours it is spread over; None where neither is there."""
    typed = cost.read_decimal("chair_hour", 0, 10**8, what="what an hour of a chair costs", example="240.00")
    overhead = cost.read_decimal(
        "overhead_per_year", 0, 10**10, what="what a year costs beside laboratory and parts", example="600000"
    )
    numbers = {
        name: cost.read_decimal(name, low, high, what=what, example=example)
        for name, low, high, what, example in _HOURS
    }
    share = cost.read_decimal(
        "share_in_use", Decimal("0.01"), 1, what="a share above 0 and up to 1", example="0.8", default=Decimal(1)
    )
    if "overhead_per_year" not in cost:
        return typed
    if "chair_hour" in cost:
        cost.add_problem("chair_hour", "chair_hour or overhead_per_year, not both")
        return None
    for name, _, _, what, example in _HOURS:
        if name not in cost:
            cost.add_problem(name, f"{what}, such as {example}: overhead_per_year is spread over them")
    known = {name: number for name, number in numbers.items() if number is not None}
    if overhead is None or share is None or len(known) < len(_HOURS):
        return None
    return find_chair_cost(overhead, share_in_use=share, **known)
