"""What changed between two versions in words: the name of each place, and what stood there before and after."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from estimator.inputs.reference.wording import Wording
from estimator.quote.changes import (
    ChangedValue,
    ChangeKind,
    Chosen,
    LinePrice,
    PlanAnswered,
    QuoteChange,
    StageAmount,
    TakenOff,
    WayTerms,
)
from estimator.quote.payment.plans import Series


def name_changed_place(change: QuoteChange, wording: Wording) -> str:
    """The place of a change as it is called: Valid until; Bar, each segment (lower jaw); Way to pay: in full."""
    subject = change.subject
    match change.kind:
        case ChangeKind.LINE:
            return f"{subject.label} ({name_arch(subject.arch, wording)})" if subject.arch else subject.label
        case ChangeKind.ADJUSTMENT | ChangeKind.WAY:
            return wording.say(f"quote.changes.{change.kind}", subject=subject.label)
        case ChangeKind.TEXT:
            return wording.say("quote.changes.text", subject=wording.get(f"quote.texts.{subject.key}"))
        case ChangeKind.AS_WRITTEN:
            return subject.label or wording.get("quote.changes.other")
        case _:
            return wording.get(f"quote.changes.{change.kind}")


def say_values(change: QuoteChange, wording: Wording) -> tuple[str, str]:
    """What stood there and what stands there now, in words; nothing where there was nothing."""
    before, after = (_say(value, wording) for value in (change.before, change.after))
    return before, after


def _say(value: ChangedValue | None, wording: Wording) -> str:
    if value is None:
        return ""
    if isinstance(value, str | date):
        return str(value)
    return f"{value:,}" if isinstance(value, Decimal) else _say_parts(value, wording)


def _say_parts(value: Chosen | LinePrice | TakenOff | WayTerms | PlanAnswered, wording: Wording) -> str:
    match value:
        case LinePrice():
            return _say_line(value, wording)
        case TakenOff():
            key = "adjustment" if value.percent is None else "adjustment_percent"
            return _tell(wording, key, reason=value.reason, percent=value.percent, amount=value.change)
        case WayTerms():
            return "; ".join(_list_parts(value, wording))
        case PlanAnswered():
            return _tell(wording, "answered", plan=value.plan, day=value.answered_on)
        case tuple():
            return "; ".join(_tell(wording, "option", name=name, jaw=name_arch(arch, wording)) for arch, name in value)


def _tell(wording: Wording, key: str, **values: object) -> str:
    return wording.say(f"quote.changed.{key}", **values)


def _say_line(line: LinePrice, wording: Wording) -> str:
    price = f"{line.amount}"
    if line.amount_to is not None:
        price = _tell(wording, "range", amount=line.amount, most=line.amount_to)
    values = {"quantity": line.quantity, "fee": line.unit_fee, "price": price, "left": line.left}
    return _tell(wording, "line", name=line.label, **values)


def _list_parts(way: WayTerms, wording: Wording) -> Iterator[str]:
    yield way.label
    yield _tell(wording, "in_all", amount=way.total)
    yield _tell(wording, "at_signing", amount=way.at_signing)
    if way.text:
        yield way.text
    yield from (_say_stage(stage, wording) for stage in way.stages)
    yield from (_say_series(series, wording) for series in way.series)


def _say_stage(stage: StageAmount, wording: Wording) -> str:
    key = "stage" if stage.due is None else "stage_day"
    return _tell(wording, key, what=stage.what, day=stage.due, amount=stage.amount)


def _say_series(series: Series, wording: Wording) -> str:
    """Its days where they are known, one day where it is one."""
    days = dict.fromkeys(day for day in (series.first, series.last) if day is not None)
    key = ("series", "series_day", "series_days")[len(days)]
    values = {"number": series.number, "amount": series.amount}
    return _tell(wording, key, **values, first=series.first or series.last, last=series.last)


def name_arch(arch: str, wording: Wording) -> str:
    """A jaw as a patient reads it; what is no jaw as it stands."""
    key = f"words.arch.patient_{arch}"
    return wording.get(key) if wording.has(key) else arch
