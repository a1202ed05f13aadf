"""Reasons and comparisons of a benefit estimate as sentences of the wording, for the office and for the patient."""

from datetime import date
from decimal import Decimal
from enum import StrEnum

from estimator.base.formats import format_amount, format_day, format_number
from estimator.base.money import MINOR_UNITS
from estimator.inputs.reference.wording import Wording
from estimator.quote.benefits.claim import Reason, Value
from estimator.quote.benefits.estimate import find_total
from estimator.quote.benefits.phasing import InOneYear, PhaseComparison
from estimator.quote.quote import CountedAnswer

_NOT_MONEY = ("percent",)


class Audience(StrEnum):
    """Who reads: the trade's words, or the patient's."""

    OFFICE = "office"
    PATIENT = "patient"


def say_reason(reason: Reason, wording: Wording, *, reader: Audience, locale: str, currency: str) -> str:
    """A reason as a sentence."""
    values = {
        name: _count(name, value, wording) if isinstance(value, int) else _show(name, value, locale, currency)
        for name, value in reason.values
    }
    return wording.say(f"benefits.reason_{reader}.{reason.key}", **values)


def say_promise(answered: CountedAnswer | None, wording: Wording, *, locale: str) -> str:
    """That nothing is promised: neither by an estimate nor by a plan's own answer, with its day, that is counted."""
    if answered is None:
        return wording.get("benefits.not_a_guarantee")
    key = "benefits.answered.every_line" if answered.every_line else "benefits.answered.some_lines"
    return wording.say(key, plan=answered.plan, day=format_day(answered.answered_on, locale))


def say_phases(compared: PhaseComparison, wording: Wording, *, locale: str, currency: str) -> tuple[str, ...]:
    """Both ways to count the benefit years, with gain or loss; nothing where it is one year anyway."""
    if not compared.straddles:
        return ()
    paid = _show("paid", find_total(compared.as_planned), locale, currency)
    others = tuple(_say_one_year(other, wording, locale, currency) for other in compared.in_one_year)
    return (wording.say("benefits.phases.straddles", paid=paid), *others, wording.say("benefits.phases.dates"))


def _say_one_year(other: InOneYear, wording: Wording, locale: str, currency: str) -> str:
    finding = "gain" if other.gain > 0 else "loss" if other.gain < 0 else "same"
    paid = _show("paid", find_total(other.estimate), locale, currency)
    difference = _show("difference", abs(other.gain), locale, currency)
    return wording.say(f"benefits.phases.{other.which}_{finding}", paid=paid, difference=difference)


def _count(name: str, number: int, wording: Wording) -> str:
    """A number with what it counts, in the form that it takes; none may have words of its own."""
    key = f"benefits.counted.{name}"
    chosen = f"{key}_none" if number == 0 and wording.has(f"{key}_none") else wording.choose_plural(key, number)
    return wording.say(chosen, number=number) if wording.has(chosen) else str(number)


def _show(name: str, value: Value, locale: str, currency: str) -> str:
    """An amount with its decimals, a percentage with the decimals it has, a long date, anything else as it is."""
    if isinstance(value, date):
        return format_day(value, locale)
    if isinstance(value, Decimal):
        if name in _NOT_MONEY:
            return format_number(value, locale)
        return format_amount(value, locale, decimals=MINOR_UNITS[currency])
    return str(value)
