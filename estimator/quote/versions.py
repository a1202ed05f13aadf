"""A further version of a quote, and what changed since the one before; that one stays as it is."""

from collections.abc import Iterable
from dataclasses import replace

from estimator.inputs.payment.jurisdiction import Profile
from estimator.inputs.payment.model import HUNDRED, Lender
from estimator.quote.changes import (
    ChangedValue,
    ChangeKind,
    ChangeSubject,
    LinePrice,
    PlanAnswered,
    QuoteChange,
    StageAmount,
    TakenOff,
    WayTerms,
)
from estimator.quote.payment.plans import CREDIT_TEXTS, PlannedWay, list_series
from estimator.quote.quote import Quote

_NOT_CONTENT = ("number", "version", "state", "made_by", "changes")
TOTAL_KINDS = (
    ChangeKind.TOTAL,
    ChangeKind.TAX,
    ChangeKind.WRITE_OFF,
    ChangeKind.PLAN_PAYS,
    ChangeKind.LEFT,
    ChangeKind.AT_MOST,
)


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
    return tuple(change for describe in described for change in _compare(describe(before), describe(after)))


def is_same(before: Quote, after: Quote) -> bool:
    """Whether two quotes say the same until the same day; number, version, state and who made them do not count."""
    same = {name: getattr(before, name) for name in _NOT_CONTENT}
    return replace(after, **same) == before


_Place = tuple[ChangeKind, str, str]
"""The kind of a value, the key of what it is of, and the jaw of that."""
_Described = dict[_Place, tuple[str, ChangedValue]]
"""What a version says at each place, with what stands there by name."""


def _compare(before: _Described, after: _Described) -> Iterable[QuoteChange]:
    """What differs, under the name that it has now."""
    for place in dict.fromkeys([*before, *after]):
        old, new = before.get(place), after.get(place)
        if old is None or new is None or old[1] != new[1]:
            kind, key, arch = place
            label = (new or old or ("", ""))[0]
            yield QuoteChange(
                kind=kind,
                subject=ChangeSubject(key=key, label=label, arch=arch),
                before=old and old[1],
                after=new and new[1],
            )


def _describe_head(quote: Quote) -> _Described:
    answered = quote.answered
    values: dict[ChangeKind, ChangedValue | None] = {
        ChangeKind.TITLE: quote.title,
        ChangeKind.MADE_BY: quote.made_by,
        ChangeKind.VALID_UNTIL: quote.valid_until,
        ChangeKind.PROFILE: quote.profile,
        ChangeKind.CURRENCY: quote.currency,
        ChangeKind.PRICE_DATE: quote.price_date,
        ChangeKind.OPTIONS: quote.options,
        ChangeKind.ANSWERED: PlanAnswered(plan=answered.plan, answered_on=answered.answered_on) if answered else None,
    }
    return {(kind, "", ""): ("", value) for kind, value in values.items() if value}


def _describe_lines(quote: Quote) -> _Described:
    return {
        (ChangeKind.LINE, one.line.fee_key, one.line.arch): (
            one.line.label,
            LinePrice(
                label=one.line.label,
                quantity=one.line.quantity,
                unit_fee=one.line.unit_fee,
                amount=one.line.amount,
                amount_to=one.line.amount_to,
                left=one.left,
            ),
        )
        for one in quote.lines
    }


def _describe_adjustments(quote: Quote) -> _Described:
    return {
        (ChangeKind.ADJUSTMENT, f"{number}", ""): (
            one.adjustment.reason,
            TakenOff(reason=one.adjustment.reason, percent=one.adjustment.portion.percent, change=one.change),
        )
        for number, one in enumerate(quote.adjusted.applied, 1)
    }


def _describe_totals(quote: Quote) -> _Described:
    return {(kind, "", ""): ("", getattr(quote, kind.value)) for kind in TOTAL_KINDS}


def _describe_ways(quote: Quote) -> _Described:
    return {(ChangeKind.WAY, one.way.key, ""): (one.way.label, _describe_way(one)) for one in quote.ways}


def _describe_way(one: PlannedWay) -> WayTerms:
    """With stages where its payments have names, else in series of the same amount."""
    staged = any(payment.what for payment in one.payments)
    return WayTerms(
        label=one.way.label,
        total=one.total,
        at_signing=one.at_signing,
        text=one.way.text if isinstance(one.way, Lender) else "",
        stages=tuple(StageAmount(what=p.what, amount=p.amount, due=p.due) for p in one.payments) if staged else (),
        series=() if staged else list_series(one.payments),
    )


def _describe_texts(quote: Quote) -> _Described:
    """The practice's texts: those beside every agreement, and those of the terms of credit."""
    boxes = [one.box for one in quote.ways if one.box is not None]
    credit = {key: text for key in CREDIT_TEXTS for box in boxes if (text := getattr(box, key))}
    texts = {text.key: text.text for text in quote.texts} | credit
    return {(ChangeKind.TEXT, key, ""): ("", text) for key, text in texts.items()}


def has_overrun(agreed: Quote, now: Quote, profile: Profile) -> bool:
    """Whether the price has risen by more than the place allows before the patient must be told."""
    limit = profile.overrun_percent
    return limit is not None and now.total * HUNDRED > agreed.total * (HUNDRED + limit)
