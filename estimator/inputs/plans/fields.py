"""What the readers of plans and of their answers have in common: amounts, scopes, days of the past."""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

from estimator.base.declared import FieldKind, Reader
from estimator.base.fields import Fields
from estimator.base.money import get_quantum, offer_amount
from estimator.base.problems import offer_names

_MOST = Decimal(10) ** 8


def read_amount(fields: Fields, name: str, currency: str, *, below: str = "", **said: str) -> Decimal:
    """An amount of 0 or more in that currency; the field is required.

    `below` is the code of what is said of an amount below 0, `said` what fills it.
    """
    value = fields.get_raw(name)
    number = Decimal(value) if isinstance(value, int) and not isinstance(value, bool) else value
    if isinstance(number, Decimal) and number.is_finite() and abs(number) < _MOST:
        rounded = number.quantize(get_quantum(currency))
        if rounded == number and number >= 0:
            return rounded
    if below and isinstance(number, Decimal) and number.is_finite() and number < 0:
        fields.add_problem(name, below, **offer_amount(currency), **said)
    else:
        fields.add_problem(name, "plans.amount", **offer_amount(currency))
    return Decimal(0)


def read_lines(table: Fields, name: str, known: Sequence[str] | None) -> tuple[str, ...]:
    """Keys of fee lines; each must stand in the schedule where there is one."""
    lines = table.read_texts(name)
    for line in lines:
        check_line(table, name, line, known)
    return lines


def check_line(table: Fields, name: str, line: str, known: Sequence[str] | None) -> None:
    """Note a line that the fee schedule does not have."""
    if line and known is not None and line not in known:
        table.add_problem(name, "known", found=line, **offer_names(line, _shorten(line, known)))


def _shorten(line: str, known: Iterable[str]) -> tuple[str, ...]:
    """Known lines with the same first letter: a whole fee schedule is too long for a message."""
    known = tuple(known)
    return tuple(name for name in known if name[:1] == line[:1]) or known


def read_past_day(table: Fields, name: str, *, today: date, born: date | None, code: str) -> date | None:
    """A day that is neither after today nor before the patient was born; None where absent or wrong.

    `code` is that of what day it is.
    """
    day = table.read_date(name)
    if day is None:
        return None
    if day > today:
        table.add_problem(name, "plans.after_today", day=code, today=today)
    elif born is not None and day < born:
        table.add_problem(name, "plans.before_birth", day=code, born=born)
    else:
        return day
    return None


def make_day_readers(*, today: date, born: date | None) -> dict[FieldKind, Reader]:
    """How declared days of the past are read."""
    return {
        FieldKind.PAST_DAY: lambda table, field, _: read_past_day(
            table, field.key, today=today, born=born, code=field.code
        )
    }


def make_line_readers(known_lines: Sequence[str] | None, classes: Sequence[str] = ()) -> dict[FieldKind, Reader]:
    """How declared fee lines and benefit classes are read."""
    return {
        FieldKind.FEE_LINES: lambda table, field, _: read_lines(table, field.key, known_lines),
        FieldKind.CLASSES: lambda table, field, _: table.read_texts(field.key, classes),
    }
