"""What is taken off a quote, and the ways to pay it: the values that a form or a file becomes."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from estimator.base.money import round_money

HUNDRED = Decimal(100)
MOST_WAYS = 4
MOST_STAGES = 12
MOST_INSTALMENTS = 120


class Interval(StrEnum):
    """The time between two instalments."""

    WEEK = "week"
    TWO_WEEKS = "two_weeks"
    FOUR_WEEKS = "four_weeks"
    MONTH = "month"
    TWO_MONTHS = "two_months"
    THREE_MONTHS = "three_months"


class Spread(StrEnum):
    """What an adjustment is worked out on: each line by itself, or the total, then shared out over the lines."""

    LINES = "lines"
    TOTAL = "total"


class Direction(StrEnum):
    """Whether an adjustment lowers what is owed or raises it."""

    DISCOUNT = "discount"
    INCREASE = "increase"


def is_percentage(number: Decimal) -> bool:
    """Whether a number can be meant as a percentage: 0, or from 1 to 100. A number between 0 and 1 is a slip for it."""
    return number.is_finite() and (number == 0 or 1 <= number <= HUNDRED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Portion:
    """A part of a sum, by percent or by amount: exactly one of them."""

    percent: Decimal | None = None
    amount: Decimal | None = None

    def __post_init__(self) -> None:
        if (self.percent is None) == (self.amount is None):
            raise ValueError("either 'percent' or 'amount' must be given")
        if self.percent is not None and not is_percentage(self.percent):
            raise ValueError(f"'percent' must be 0 or from 1 to 100, so 80 and not 0.8 (got {self.percent})")
        if self.amount is not None and not (self.amount.is_finite() and self.amount >= 0):
            raise ValueError(f"'amount' must be 0 or more (got {self.amount})")

    def take_of(self, whole: Decimal, quantum: Decimal) -> Decimal:
        """What the portion of a sum comes to: a percentage rounded half up, an amount as it stands."""
        if self.percent is not None:
            return round_money(whole * self.percent / HUNDRED, quantum)
        return (self.amount or Decimal(0)).quantize(quantum)


@dataclass(frozen=True, slots=True, kw_only=True)
class Adjustment:
    """A discount or increase with the reason that is printed; `lines` are the keys it concerns, empty for all."""

    reason: str
    portion: Portion
    direction: Direction = Direction.DISCOUNT
    spread: Spread = Spread.TOTAL
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PayInFull:
    """All at once, perhaps for less; `in_advance` is at signing, `when` says it in words."""

    key: str
    label: str
    when: str = ""
    in_advance: bool = True
    discount: Portion | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Milestone:
    """A milestone of the treatment, its share of what is to pay, and its day where that is known.

    `percent` None is an equal share: thirds cannot be said in percent.
    """

    what: str
    percent: Decimal | None = None
    due: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Milestones:
    """A part at each milestone, such as surgery, impressions, delivery: shares that sum to 100, or equal ones."""

    key: str
    label: str
    stages: tuple[Milestone, ...]
    deposit: Portion | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Instalments:
    """Equal instalments after a deposit. `rate_percent` is nominal and yearly; the set-up fee is paid at signing.

    `anchor_day` is the day of the month that is meant, where the first instalment falls in a shorter one.
    """

    key: str
    label: str
    number: int
    first: date
    interval: Interval = Interval.MONTH
    anchor_day: int | None = None
    rate_percent: Decimal = Decimal(0)
    set_up_fee: Decimal = Decimal(0)
    deposit: Portion | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lender:
    """An outside lender: one neutral line, whose terms are the lender's own."""

    key: str
    label: str
    text: str = ""


Way = PayInFull | Milestones | Instalments | Lender
WAY_KINDS: Mapping[str, type[Way]] = {
    "in_full": PayInFull,
    "milestones": Milestones,
    "instalments": Instalments,
    "lender": Lender,
}
"""What each is called in files and JSON, in the order in which they are offered."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PaymentTerms:
    """What is taken off, in the order in which it is worked out, and up to four ways to pay the rest."""

    adjustments: tuple[Adjustment, ...] = ()
    ways: tuple[Way, ...] = ()
