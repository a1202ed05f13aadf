"""What is paid when: milestones, and instalments whose last one clears the balance exactly."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal, localcontext

from estimator.base.days import add_months
from estimator.base.money import round_money, share_out
from estimator.base.problems import InputError, Problem
from estimator.inputs.payment.model import HUNDRED, Instalments, Milestone
from estimator.quote.payment.apr import UnitPeriod, UnitPeriods, choose_unit, find_worth, grow, measure_span

_DIGITS = 28


@dataclass(frozen=True, slots=True, kw_only=True)
class Payment:
    """One payment after signing: `amount` is `interest` and `principal`, `balance` is what is still owed after it."""

    number: int
    amount: Decimal
    interest: Decimal
    principal: Decimal
    balance: Decimal
    due: date | None = None
    what: str = ""


def list_due_dates(way: Instalments) -> tuple[date, ...]:
    """The day of each instalment; in months they keep their anchor day through shorter months."""
    unit = choose_unit(way.interval, 2, way.first, way.first)
    if unit.days:
        return tuple(way.first + timedelta(days=unit.days * n) for n in range(way.number))
    anchor = way.anchor_day or way.first.day
    return tuple(add_months(way.first, unit.months * n, anchor=anchor) for n in range(way.number))


def measure_first(way: Instalments, signed_on: date) -> tuple[UnitPeriod, UnitPeriods]:
    """The unit-period of a plan, and the time from signing to its first instalment."""
    unit = choose_unit(way.interval, way.number, signed_on, way.first)
    return unit, measure_span(signed_on, way.first, unit, anchor=way.anchor_day)


def plan_instalments(way: Instalments, principal: Decimal, *, signed_on: date, quantum: Decimal) -> tuple[Payment, ...]:
    """Equal instalments that pay back `principal`, interest rounded half up at each; the last one takes what is left.

    Raises InputError where the amount is too small for so many instalments.
    """
    if way.first <= signed_on:
        raise ValueError(f"'first' must be after {signed_on.isoformat()} (got {way.first.isoformat()})")
    unit, first = measure_first(way, signed_on)
    with localcontext(prec=_DIGITS):
        rate = way.rate_percent / HUNDRED / unit.per_year
        worth, _ = find_worth([Decimal(1)] * way.number, first, rate)
        level = round_money(principal / worth, quantum)
        growths = [grow(first, rate) - 1] + [rate] * (way.number - 1)
        payments = tuple(_run_down(principal, level, growths, list_due_dates(way), quantum))
    if payments[-1].amount <= 0 or any(payment.balance < 0 or payment.amount <= 0 for payment in payments):
        path, least = (way.key, "number"), {"principal": principal}
        raise InputError([Problem(file="quote", path=path, code="way.number", found=way.number, expected=least)])
    return payments


def _run_down(
    balance: Decimal, level: Decimal, growths: Sequence[Decimal], days: Sequence[date], quantum: Decimal
) -> Iterator[Payment]:
    for number, (growth, day) in enumerate(zip(growths, days, strict=True), 1):
        interest = round_money(balance * growth, quantum)
        amount = balance + interest if number == len(growths) else level
        balance += interest - amount
        yield Payment(
            number=number, amount=amount, interest=interest, principal=amount - interest, balance=balance, due=day
        )


def plan_stages(stages: Sequence[Milestone], amount: Decimal, *, quantum: Decimal) -> tuple[Payment, ...]:
    """The share of each milestone, an equal one where none says its percent; no cent is lost between them."""
    equal = all(stage.percent is None for stage in stages)
    weights = [Decimal(1) if equal else stage.percent or Decimal(0) for stage in stages]
    shares = share_out(amount, weights, quantum)
    payments = []
    balance = amount
    for number, (stage, share) in enumerate(zip(stages, shares, strict=True), 1):
        balance -= share
        payments.append(
            Payment(
                number=number, amount=share, interest=Decimal(0).quantize(quantum), principal=share, balance=balance,
                due=stage.due, what=stage.what,
            )
        )  # fmt: skip
    return tuple(payments)
