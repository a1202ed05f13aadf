"""The annual percentage rate by the actuarial method of 12 CFR 1026 Appendix J (rule).

A = sum of P / ((1 + f i) (1 + i)^t): t whole unit-periods are compounded, the fraction f bears simple interest. The
rate is nominal: i times the unit-periods of a year. Everything is Decimal; no amount ever becomes a float.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal, localcontext

from estimator.base.days import add_months
from estimator.inputs.payment.model import HUNDRED, Interval

_DAYS_OF_MONTH = 30
_DAYS_OF_HALF_MONTH = 15
_DAYS_OF_WEEK = 7
_DAYS_OF_YEAR = 365
_WEEKS_OF_YEAR = 52
_MONTHS_OF_YEAR = 12
_DIGITS = 28
_SMALLEST_STEP = Decimal("1e-18")
_MOST_STEPS = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitPeriod:
    """The interval that rates are counted in: whole months, a half month, or days (exactly one of them).

    `is_term` where the days are the whole term of a single payment: then they are no weeks.
    """

    months: int = 0
    days: int = 0
    half_month: bool = False
    is_term: bool = False

    def __post_init__(self) -> None:
        given = (self.months > 0) + (self.days > 0) + self.half_month
        if given != 1 or self.months > _MONTHS_OF_YEAR or self.days > _DAYS_OF_YEAR or min(self.months, self.days) < 0:
            raise ValueError(f"a unit-period must be months, days or a half month, at most a year (got {self})")

    @property
    def per_year(self) -> Decimal:
        """How many of them a year has: 12 months, 24 half months, 52 weeks, 365 days or 365 over a single term."""
        if self.half_month:
            return Decimal(2 * _MONTHS_OF_YEAR)
        if self.months:
            return Decimal(_MONTHS_OF_YEAR) / self.months
        weeks, rest = divmod(self.days, _DAYS_OF_WEEK)
        return Decimal(_DAYS_OF_YEAR) / self.days if rest or self.is_term else Decimal(_WEEKS_OF_YEAR) / weeks

    @property
    def counted_days(self) -> int:
        """Days of one in the count of days: all months have 30."""
        return self.days or (_DAYS_OF_HALF_MONTH if self.half_month else _DAYS_OF_MONTH * self.months)


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitPeriods:
    """Time from the advance to a payment: whole unit-periods, and odd days over the days of one."""

    whole: int
    odd_days: int
    of_days: int

    @property
    def fraction(self) -> Decimal:
        """The part of a unit-period that bears simple interest."""
        return Decimal(self.odd_days) / self.of_days


UNITS = {
    Interval.WEEK: UnitPeriod(days=_DAYS_OF_WEEK),
    Interval.TWO_WEEKS: UnitPeriod(days=2 * _DAYS_OF_WEEK),
    Interval.FOUR_WEEKS: UnitPeriod(days=4 * _DAYS_OF_WEEK),
    Interval.MONTH: UnitPeriod(months=1),
    Interval.TWO_MONTHS: UnitPeriod(months=2),
    Interval.THREE_MONTHS: UnitPeriod(months=3),
}


def choose_unit(interval: Interval, number: int, advance: date, first: date) -> UnitPeriod:
    """The commonest interval; for a single payment its own term, at most a year: in months where it is a whole number
    of them, else in days (Appendix J (b)(4), (b)(5)(vi) and (vii)).
    """
    if number > 1:
        return UNITS[interval]
    if first >= add_months(advance, _MONTHS_OF_YEAR):
        return UnitPeriod(months=_MONTHS_OF_YEAR)
    whole = [months for months in range(1, _MONTHS_OF_YEAR) if add_months(advance, months) == first]
    if whole:
        return UnitPeriod(months=whole[0])
    return UnitPeriod(days=max((first - advance).days, 1), is_term=True)


def measure_span(advance: date, payment: date, unit: UnitPeriod, *, anchor: int | None = None) -> UnitPeriods:
    """Count unit-periods back from a payment to the advance; a full month counts as 30 days, the odd days as they are.

    `anchor` is the day of the month that payments are meant for (31 for the last). Raises ValueError for a payment
    before the advance. Source: Appendix J (b)(5).
    """
    if payment < advance:
        raise ValueError(
            f"'payment' must not be before the advance of {advance.isoformat()} (got {payment.isoformat()})"
        )
    days = (payment - advance).days if unit.days else _count_in_months(advance, payment, anchor or payment.day)
    whole, odd = divmod(days, unit.counted_days)
    return UnitPeriods(whole=whole, odd_days=odd, of_days=unit.counted_days)


def _count_in_months(advance: date, payment: date, anchor: int) -> int:
    months = (payment.year - advance.year) * _MONTHS_OF_YEAR + payment.month - advance.month
    if add_months(payment, -months, anchor=anchor) < advance:
        months -= 1
    odd: timedelta = add_months(payment, -months, anchor=anchor) - advance
    return _DAYS_OF_MONTH * months + odd.days


def find_unit_rate(amount_financed: Decimal, payments: Sequence[Decimal], first: UnitPeriods) -> Decimal:
    """The rate of one unit-period at which payments, one a unit-period after the first, are worth the amount financed.

    Newton's method from 0: the worth falls and is convex in the rate, so no step passes the answer. Raises ValueError
    where the payments do not cover the amount, or there is nothing to find a rate for.
    """
    if amount_financed <= 0 or any(payment < 0 for payment in payments):
        raise ValueError(f"'amount_financed' must be above 0 and no payment below it (got {amount_financed})")
    with localcontext(prec=_DIGITS):
        missing = amount_financed - sum(payments, Decimal(0))
        if missing > 0:
            raise ValueError(f"'payments' must sum to {amount_financed} or more (missing {missing})")
        if missing == 0:
            return Decimal(0)
        if first.whole == first.odd_days == 0 and payments[0] >= amount_financed:
            raise ValueError("'payments' must not return everything on the day of the advance")
        return _climb(amount_financed, payments, first)


def _climb(amount_financed: Decimal, payments: Sequence[Decimal], first: UnitPeriods) -> Decimal:
    rate = Decimal(0)
    for _ in range(_MOST_STEPS):
        worth, slope = find_worth(payments, first, rate)
        step = (amount_financed - worth) / slope
        rate += step
        if step <= _SMALLEST_STEP:
            return max(rate, Decimal(0))
    raise ValueError(f"'payments' of {sum(payments)} for {amount_financed} have no rate within reach")


def find_worth(payments: Sequence[Decimal], first: UnitPeriods, rate: Decimal) -> tuple[Decimal, Decimal]:
    """Worth on the day of the advance, and its slope, by one pass from the last payment to the first."""
    discount = 1 / (1 + rate)
    worth = slope = Decimal(0)
    for payment in reversed(payments):
        slope = slope * discount + worth
        worth = worth * discount + payment
    odd = 1 + first.fraction * rate
    whole = discount**first.whole / odd
    by_discount = slope + first.whole * worth / discount
    return worth * whole, -(discount * discount * by_discount + first.fraction * worth / odd) * whole


def find_apr(amount_financed: Decimal, payments: Sequence[Decimal], first: UnitPeriods, unit: UnitPeriod) -> Decimal:
    """The annual percentage rate [%], not rounded; payments follow the first at one unit-period each."""
    return find_unit_rate(amount_financed, payments, first) * unit.per_year * HUNDRED


def grow(span: UnitPeriods, unit_rate: Decimal) -> Decimal:
    """What 1 becomes over a span: whole unit-periods compounded, the fraction at simple interest."""
    return (1 + span.fraction * unit_rate) * (1 + unit_rate) ** span.whole
