"""Changes as quotes kept them in words, before they were values: the only place that reads such words again."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from estimator.inputs.case.model import Arch
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
from estimator.quote.payment.plans import Series

_N = r"-?\d+(?:\.\d+)?"
_D = r"\d{4}-\d{2}-\d{2}"
_LINE = re.compile(rf"(.*), (\d+) x ({_N}) = ({_N})(?: to ({_N}))?, you pay ({_N})")
_OFF = re.compile(rf"(.*?), (?:({_N}) %, )?({_N})")
_WAY = re.compile(rf"(.*); ({_N}) in all; ({_N}) at signing(?:; (.*))?")
_SERIES = re.compile(rf"(\d+) x ({_N})(?: \(({_D})(?: to ({_D}))?\))?")
_STAGE = re.compile(rf"(.*?)(?: \(({_D})\))?: ({_N})")
_ANSWERED = re.compile(rf"(.*), ({_D})")
_OPTION = re.compile(rf"({'|'.join(Arch)}): (.*)")
_DISCOUNT = re.compile(r"adjustments\[(\d+)]")
_GROUPS = {"lines": ChangeKind.LINE, "ways": ChangeKind.WAY, "texts": ChangeKind.TEXT}


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeInWords:
    """A change as it was kept: a place, its text before and after, and what is printed at a place of its own."""

    place: str
    before: str
    after: str
    subject: str = ""


def read_old_change(place: str, before: str, after: str, subject: str = "") -> QuoteChange:
    """A change that was kept as texts, as values; as it was written where it says something else."""
    kind, about = _find_subject(place, subject)
    try:
        values = tuple(_READERS[kind](text) if text else None for text in (before, after))
    except (KeyError, ValueError, ArithmeticError):
        kind, about, values = ChangeKind.AS_WRITTEN, ChangeSubject(key=place, label=subject), (before, after)
    labels = [label for value in values if (label := _find_label(value))]
    if not about.label and labels:
        about = ChangeSubject(key=about.key, label=labels[-1], arch=about.arch)
    return QuoteChange(kind=kind, subject=about, before=values[0], after=values[1])


def _find_subject(place: str, label: str) -> tuple[ChangeKind, ChangeSubject]:
    if found := _DISCOUNT.fullmatch(place):
        return ChangeKind.ADJUSTMENT, ChangeSubject(key=found[1], label=label)
    group, _, key = place.partition(".")
    if group in _GROUPS and key:
        arch, _, fee = key.partition(".")
        of_jaw = group == "lines" and arch in tuple(Arch) and fee
        return _GROUPS[group], ChangeSubject(key=fee if of_jaw else key, label=label, arch=arch if of_jaw else "")
    return (ChangeKind(place) if place in tuple(ChangeKind) else ChangeKind.AS_WRITTEN), ChangeSubject(label=label)


def _find_label(value: ChangedValue | None) -> str:
    match value:
        case LinePrice() | WayTerms():
            return value.label
        case TakenOff():
            return value.reason
        case _:
            return ""


def _expect(found: re.Match[str] | None) -> re.Match[str]:
    if found is None:
        raise ValueError("other words than a version tells")
    return found


def _read_line(text: str) -> LinePrice:
    label, quantity, fee, amount, most, left = _expect(_LINE.fullmatch(text)).groups()
    return LinePrice(
        label=label, quantity=int(quantity), unit_fee=Decimal(fee), amount=Decimal(amount), left=Decimal(left),
        amount_to=Decimal(most) if most else None,
    )  # fmt: skip


def _read_off(text: str) -> TakenOff:
    reason, percent, change = _expect(_OFF.fullmatch(text)).groups()
    return TakenOff(reason=reason, change=Decimal(change), percent=Decimal(percent) if percent else None)


def _read_way(text: str) -> WayTerms:
    label, total, signing, rest = _expect(_WAY.fullmatch(text)).groups()
    parts = rest.split("; ") if rest else []
    series, stages = (tuple(pattern.fullmatch(part) for part in parts) for pattern in (_SERIES, _STAGE))
    way = WayTerms(label=label, total=Decimal(total), at_signing=Decimal(signing))
    if all(series):
        return replace(way, series=tuple(_make_series(found) for found in series if found))
    if all(stages):
        return replace(way, stages=tuple(_make_stage(found) for found in stages if found))
    return replace(way, text=rest or "")


def _make_series(found: re.Match[str]) -> Series:
    number, amount, first, last = found.groups()
    begin = date.fromisoformat(first) if first else None
    end = date.fromisoformat(last) if last else begin
    return Series(number=int(number), amount=Decimal(amount), first=begin, last=end)


def _make_stage(found: re.Match[str]) -> StageAmount:
    what, due, amount = found.groups()
    return StageAmount(what=what, amount=Decimal(amount), due=date.fromisoformat(due) if due else None)


def _read_options(text: str) -> tuple[tuple[str, str], ...]:
    found = (_expect(_OPTION.fullmatch(part)) for part in text.split("; "))
    return tuple((one[1], one[2]) for one in found)


def _read_answered(text: str) -> PlanAnswered:
    found = _expect(_ANSWERED.fullmatch(text))
    return PlanAnswered(plan=found[1], answered_on=date.fromisoformat(found[2]))


_READERS: Mapping[ChangeKind, Callable[[str], ChangedValue]] = {
    **dict.fromkeys((ChangeKind.TITLE, ChangeKind.MADE_BY, ChangeKind.PROFILE, ChangeKind.CURRENCY), str),
    **dict.fromkeys((ChangeKind.TEXT, ChangeKind.AS_WRITTEN), str),
    **dict.fromkeys((ChangeKind.VALID_UNTIL, ChangeKind.PRICE_DATE), date.fromisoformat),
    **dict.fromkeys((ChangeKind.TOTAL, ChangeKind.TAX, ChangeKind.WRITE_OFF), Decimal),
    **dict.fromkeys((ChangeKind.PLAN_PAYS, ChangeKind.LEFT, ChangeKind.AT_MOST), Decimal),
    ChangeKind.OPTIONS: _read_options,
    ChangeKind.ANSWERED: _read_answered,
    ChangeKind.LINE: _read_line,
    ChangeKind.ADJUSTMENT: _read_off,
    ChangeKind.WAY: _read_way,
}
