"""A further version of a quote, and what changed since the one before; that one stays as it is."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from estimator.inputs.payment.jurisdiction import Profile
from estimator.inputs.payment.model import HUNDRED, Adjustment, Lender
from estimator.quote.payment.instalments import Payment
from estimator.quote.payment.plans import CREDIT_TEXTS, PlannedWay, list_series
from estimator.quote.quote import CountedAnswer, Quote, QuoteChange

HEAD_PLACES = ("title", "made_by", "valid_until", "profile", "currency", "price_date", "options", "answered")
_NOT_CONTENT = ("number", "version", "state", "made_by", "changes")
TOTAL_PLACES = ("total", "tax", "write_off", "plan_pays", "left", "at_most")


def revise_quote(before: Quote, after: Quote) -> Quote:
    """`after` as the version that follows `before`, with what changed.

    Raises ValueError for another number or case, or a day before that of the version it follows.
    """
    if (after.number, after.reference) != (before.number, before.reference):
        raise ValueError(f"'after' must be number {before.number} of case {before.reference} (got {after.number})")
    if after.made_on < before.made_on:
        raise ValueError(f"'made_on' must not be before {before.made_on.isoformat()} (got {after.made_on.isoformat()})")
    return replace(after, version=before.version + 1, changes=list_changes(before, after))


def list_changes(before: Quote, after: Quote) -> tuple[QuoteChange, ...]:
    """What differs, in the order of the sheet: heading, lines, adjustments, totals, ways, texts."""
    described = (
        _describe_head,
        _describe_lines,
        _describe_adjustments,
        _describe_totals,
        _describe_ways,
        _describe_texts,
    )
    subjects = _list_subjects(before) | _list_subjects(after)
    return tuple(change for describe in described for change in _compare(describe(before), describe(after), subjects))


def is_same(before: Quote, after: Quote) -> bool:
    """Whether two quotes say the same until the same day; number, version, state and who made them do not count."""
    same = {name: getattr(before, name) for name in _NOT_CONTENT}
    return replace(after, **same) == before


def _compare(before: dict[str, str], after: dict[str, str], subjects: dict[str, str]) -> Iterable[QuoteChange]:
    for place in dict.fromkeys([*before, *after]):
        old, new = before.get(place, ""), after.get(place, "")
        if old != new:
            yield QuoteChange(place=place, before=old, after=new, subject=subjects.get(place, ""))


def _list_subjects(quote: Quote) -> dict[str, str]:
    """What is printed at each place of a line, a discount, a way."""
    lines = {f"lines.{one.line.key}": one.line.label for one in quote.lines}
    applied = enumerate(quote.adjusted.applied, 1)
    discounts = {f"adjustments[{number}]": one.adjustment.reason for number, one in applied}
    return lines | discounts | {f"ways.{one.way.key}": one.way.label for one in quote.ways}


def _describe_head(quote: Quote) -> dict[str, str]:
    return {name: _say(getattr(quote, name)) for name in HEAD_PLACES}


def _say(value: Any) -> str:
    if isinstance(value, CountedAnswer):
        return f"{value.plan}, {value.answered_on.isoformat()}"
    if value is None:
        return ""
    return "; ".join(": ".join(part) for part in value) if isinstance(value, tuple) else str(value)


def _describe_lines(quote: Quote) -> dict[str, str]:
    return {
        f"lines.{one.line.key}": f"{one.line.label}, {one.line.quantity} x {one.line.unit_fee} = {one.line.amount}"
        + (f" to {one.line.amount_to}" if one.line.amount_to is not None else "")
        + f", you pay {one.left}"
        for one in quote.lines
    }


def _describe_adjustments(quote: Quote) -> dict[str, str]:
    return {
        f"adjustments[{number}]": f"{one.adjustment.reason}, {_describe_portion(one.adjustment)}{one.change}"
        for number, one in enumerate(quote.adjusted.applied, 1)
    }


def _describe_portion(adjustment: Adjustment) -> str:
    return f"{adjustment.portion.percent} %, " if adjustment.portion.percent is not None else ""


def _describe_totals(quote: Quote) -> dict[str, str]:
    return {name: f"{getattr(quote, name)}" for name in TOTAL_PLACES}


def _describe_ways(quote: Quote) -> dict[str, str]:
    return {f"ways.{one.way.key}": "; ".join(_list_parts(one)) for one in quote.ways}


def _list_parts(one: PlannedWay) -> Iterable[str]:
    yield one.way.label
    yield f"{one.total} in all"
    yield f"{one.at_signing} at signing"
    if isinstance(one.way, Lender) and one.way.text:
        yield one.way.text
    if any(payment.what for payment in one.payments):
        yield from (f"{_say_stage(payment)}: {payment.amount}" for payment in one.payments)
        return
    for series in list_series(one.payments):
        days = " to ".join(dict.fromkeys(day.isoformat() for day in (series.first, series.last) if day is not None))
        yield f"{series.number} x {series.amount}" + (f" ({days})" if days else "")


def _say_stage(payment: Payment) -> str:
    return payment.what + (f" ({payment.due.isoformat()})" if payment.due is not None else "")


def _describe_texts(quote: Quote) -> dict[str, str]:
    """The practice's texts: those beside every agreement, and those of the terms of credit."""
    boxes = [one.box for one in quote.ways if one.box is not None]
    credit = {f"texts.{key}": text for key in CREDIT_TEXTS for box in boxes if (text := getattr(box, key))}
    return {f"texts.{text.key}": text.text for text in quote.texts} | credit


def has_overrun(agreed: Quote, now: Quote, profile: Profile) -> bool:
    """Whether the price has risen by more than the place allows before the patient must be told."""
    limit = profile.overrun_percent
    return limit is not None and now.total * HUNDRED > agreed.total * (HUNDRED + limit)
