"""Numbers, money and dates as a reader of some locale writes them (Babel)."""

from datetime import date
from decimal import Decimal

from babel.dates import format_date
from babel.numbers import format_decimal, get_currency_name

from estimator.base.money import round_money

TRUE_MINUS = "\N{MINUS SIGN}"


def format_amount(amount: Decimal, locale: str, *, decimals: int = 0) -> str:
    """An amount without its currency, half up: 2,250 or 2,250.00."""
    pattern = "#,##0" + ("." + "0" * decimals if decimals else "")
    amount = round_money(amount, Decimal(1).scaleb(-decimals))
    return format_decimal(amount, format=pattern, locale=locale).replace("-", TRUE_MINUS)


def format_mm(length: Decimal, locale: str, *, short: bool = False) -> str:
    """A length in millimetres: 0.75 mm; for a patient without zeros at the end: 6 mm."""
    pattern = "0.##" if short else "0.00"
    return format_decimal(length, format=pattern, locale=locale).replace("-", TRUE_MINUS) + "\N{NO-BREAK SPACE}mm"


def format_count(number: Decimal, locale: str) -> str:
    """A small number, such as weeks, without zeros at the end."""
    return format_decimal(number, format="0.#", locale=locale)


def format_day(day: date, locale: str) -> str:
    """A long date: November 25, 2026."""
    return format_date(day, format="long", locale=locale)


def format_short_day(day: date, locale: str) -> str:
    """A day of the week and a date that stay on one line: Tue, Dec 1, 2026."""
    text = format_date(day, format="EEE, ", locale=locale) + format_date(day, format="medium", locale=locale)
    return text.replace(" ", "\N{NO-BREAK SPACE}")


def format_month(day: date, locale: str) -> str:
    """A month on an axis: Dec, then the year in place of January, then Feb."""
    return format_date(day, format="y" if day.month == 1 else "MMM", locale=locale)


def name_currency(currency: str, locale: str) -> str:
    """The currency as said of many: US dollars."""
    return get_currency_name(currency, count=2, locale=locale)
