"""A TOML document or a form becomes PaymentTerms, or the whole list of its problems."""

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from estimator.base.days import add_months
from estimator.base.fields import Fields
from estimator.base.money import get_quantum, offer_amount, round_money
from estimator.base.problems import InputError, Problem
from estimator.inputs.case.model import find_repeated
from estimator.inputs.payment.model import (
    HUNDRED,
    MOST_INSTALMENTS,
    MOST_STAGES,
    MOST_WAYS,
    WAY_KINDS,
    Adjustment,
    Direction,
    Instalments,
    Interval,
    Lender,
    Milestone,
    Milestones,
    PayInFull,
    PaymentTerms,
    Portion,
    Spread,
    Way,
    is_percentage,
)

_LINE = "line.plain"
_MOST = Decimal(10**8)
_LATEST_FIRST_MONTHS = 60
"""How long after signing the first instalment may be due: later than that is a slip of the year."""


def read_payment_terms(
    document: Mapping[str, Any], *, file: str, currency: str, signed_on: date, lines: Iterable[str] | None = None
) -> PaymentTerms:
    """Terms from a parsed document in a currency; no payment is due before `signed_on`.

    `lines` are the keys that adjustments may name, None where they are not known yet. Raises InputError with every
    problem of the document.
    """
    problems: list[Problem] = []
    fields = Fields(document, file=file, problems=problems)
    _check_currency(fields, currency)
    known = tuple(lines) if lines is not None else None
    terms = PaymentTerms(
        adjustments=tuple(_read_adjustment(table, currency, known) for table in fields.read_tables("adjustments")),
        ways=_read_ways(fields, currency, signed_on),
    )
    fields.refuse_others()
    if problems:
        raise InputError(problems)
    return terms


def _check_currency(fields: Fields, currency: str) -> None:
    found = fields.get_raw("currency")
    if found is not None and found != currency:
        fields.add_problem("currency", "payment.currency", currency=currency)


def read_money(fields: Fields, name: str, currency: str) -> Decimal | None:
    """An amount of 0 or more with no more decimals than its currency has; None if absent or wrong."""
    value = fields.get_raw(name)
    if value is None:
        return None
    number = Decimal(value) if isinstance(value, int) and not isinstance(value, bool) else value
    if isinstance(number, Decimal) and number.is_finite() and 0 <= number < _MOST:
        rounded = round_money(number, get_quantum(currency))
        if rounded == number:
            return rounded
    fields.add_problem(name, "payment.amount", **offer_amount(currency))
    return None


def read_percentage(fields: Fields, name: str) -> Decimal | None:
    """A percentage of 0, or from 1 to 100; 0.8 is refused, because 80 is meant. None if absent or wrong."""
    value = fields.get_raw(name)
    if value is None:
        return None
    number = Decimal(value) if isinstance(value, int) and not isinstance(value, bool) else value
    if isinstance(number, Decimal) and is_percentage(number):
        return number
    if isinstance(number, Decimal) and number.is_finite() and 0 < number < 1:
        fields.add_problem(name, "payment.share", percent=(number * HUNDRED).normalize())
    else:
        fields.add_problem(name, "payment.percentage")
    return None


def read_portion(fields: Fields, stem: str, currency: str) -> Portion | None:
    """`<stem>percent` or `<stem>amount` of a table; None where neither stands."""
    percent_name, amount_name = f"{stem}percent", f"{stem}amount"
    percent, amount = read_percentage(fields, percent_name), read_money(fields, amount_name, currency)
    if percent_name in fields and amount_name in fields:
        fields.add_problem(amount_name, "payment.both", percent=percent_name, amount=amount_name)
        return None
    if percent is not None:
        return Portion(percent=percent)
    return Portion(amount=amount) if amount is not None else None


def _read_adjustment(fields: Fields, currency: str, known: tuple[str, ...] | None) -> Adjustment:
    before = len(fields.problems)
    portion = read_portion(fields, "", currency)
    if portion is None and len(fields.problems) == before:
        fields.add_problem("percent", "payment.neither")
    spread = fields.read_choice("spread", Spread, default=Spread.TOTAL)
    adjustment = Adjustment(
        reason=fields.read_line("reason", code="payment.reason", required=True),
        portion=portion or Portion(amount=Decimal(0)),
        direction=fields.read_choice("direction", Direction, default=Direction.DISCOUNT),
        spread=spread,
        lines=fields.read_texts("lines", known),
    )
    if adjustment.lines and spread is Spread.TOTAL:
        fields.add_problem("lines", "payment.spread")
    fields.refuse_others()
    return adjustment


def _read_ways(fields: Fields, currency: str, signed_on: date) -> tuple[Way, ...]:
    tables = fields.read_tables("ways")
    if len(tables) > MOST_WAYS:
        fields.add_problem("ways", "payment.ways", found=len(tables), most=MOST_WAYS)
    ways = tuple(_read_way(table, currency, signed_on) for table in tables)
    for key in find_repeated(way.key for way in ways if way.key):
        fields.add_problem("ways", "payment.key_twice", found=key)
    return ways


def _read_way(fields: Fields, currency: str, signed_on: date) -> Way:
    readers: dict[str, Callable[[Fields, str, date], Way]] = dict(
        zip(WAY_KINDS, (_read_in_full, _read_milestones, _read_instalments, _read_lender), strict=True)
    )
    kind = fields.get_raw("kind")
    if not isinstance(kind, str) or kind not in readers:
        fields.add_problem("kind", "known", known=tuple(readers))
        return Lender(key="", label="")
    way = readers[kind](fields, currency, signed_on)
    fields.refuse_others()
    return way


def _read_label(fields: Fields) -> str:
    return fields.read_line("label", code=_LINE, required=True)


def _read_in_full(fields: Fields, currency: str, _: date) -> PayInFull:
    return PayInFull(
        key=fields.read_key("key"),
        label=_read_label(fields),
        when=fields.read_line("when", code=_LINE),
        in_advance=fields.read_flag("in_advance", default=True),
        discount=read_portion(fields, "discount_", currency),
    )


def _read_lender(fields: Fields, _: str, __: date) -> Lender:
    return Lender(
        key=fields.read_key("key"),
        label=_read_label(fields),
        text=fields.read_line("text", code=_LINE, longest=300),
    )


def _read_milestones(fields: Fields, currency: str, signed_on: date) -> Milestones:
    tables = fields.read_tables("stages")
    stages = tuple(_read_stage(table, signed_on) for table in tables)
    if not 1 <= len(tables) <= MOST_STAGES:
        fields.add_problem("stages", "payment.stages", found=len(tables), most=MOST_STAGES)
    elif any("percent" in table for table in tables):
        _check_shares(fields, tables, stages)
    days = [stage.due for stage in stages if stage.due is not None]
    if days != sorted(days):
        fields.add_problem("stages", "payment.order")
    return Milestones(
        key=fields.read_key("key"),
        label=_read_label(fields),
        stages=stages,
        deposit=read_portion(fields, "deposit_", currency),
    )


def _check_shares(fields: Fields, tables: list[Fields], stages: tuple[Milestone, ...]) -> None:
    """Where one milestone says its share, each has to."""
    total = sum((stage.percent or Decimal(0) for stage in stages), Decimal(0))
    if total != HUNDRED:
        fields.add_problem("stages", "payment.sum", found=total)
    for table in tables:
        if table.table.get("percent", 0) == 0:
            table.add_problem("percent", "payment.stage_share")


def _read_stage(fields: Fields, signed_on: date) -> Milestone:
    stage = Milestone(
        what=fields.read_line("what", code="payment.milestone", required=True),
        percent=read_percentage(fields, "percent"),
        due=_read_due(fields, "due", signed_on),
    )
    fields.refuse_others()
    return stage


def _read_due(fields: Fields, name: str, signed_on: date) -> date | None:
    day = fields.read_date(name)
    if day is not None and day < signed_on:
        fields.add_problem(name, "payment.due", signed_on=signed_on)
    return day


def _read_instalments(fields: Fields, currency: str, signed_on: date) -> Instalments:
    first = fields.read_date("first")
    if first is None and "first" not in fields:
        fields.add_problem("first", "payment.first")
    elif first is not None and first <= signed_on:
        fields.add_problem("first", "payment.first_early", signed_on=signed_on)
    elif first is not None and first > add_months(signed_on, _LATEST_FIRST_MONTHS):
        fields.add_problem("first", "payment.first_late", signed_on=signed_on)
        first = None
    first = first or signed_on
    anchor = fields.read_whole("anchor_day", 1, 31, default=first.day)
    if first.day != anchor and not (anchor > first.day and _is_last_of_month(first)):
        fields.add_problem("anchor_day", "payment.anchor_day", day=first.day)
    return Instalments(
        key=fields.read_key("key"),
        label=_read_label(fields),
        number=fields.read_whole("number", 1, MOST_INSTALMENTS),
        first=first,
        interval=fields.read_choice("interval", Interval, default=Interval.MONTH),
        anchor_day=anchor,
        rate_percent=read_percentage(fields, "rate_percent") or Decimal(0),
        set_up_fee=read_money(fields, "set_up_fee", currency) or Decimal(0),
        deposit=read_portion(fields, "deposit_", currency),
    )


def _is_last_of_month(day: date) -> bool:
    return date.fromordinal(day.toordinal() + 1).day == 1
