"""Numbers, money and dates as a reader of some locale writes them (Babel)."""

from datetime import date
from decimal import Decimal
from functools import cache, lru_cache

from babel import Locale, UnknownLocaleError
from babel.dates import format_date
from babel.numbers import format_decimal, get_currency_name, get_decimal_symbol, get_group_symbol

from estimator.base.money import round_money

TRUE_MINUS = "\N{MINUS SIGN}"


def format_amount(amount: Decimal, locale: str, *, decimals: int = 0) -> str:
    """An amount without its currency, half up: 2,250 or 2,250.00."""
    pattern = "#,##0" + ("." + "0" * decimals if decimals else "")
    amount = round_money(amount, Decimal(1).scaleb(-decimals))
    return format_decimal(amount, format=pattern, locale=locale).replace("-", TRUE_MINUS)


@lru_cache(maxsize=1024)
def format_mm(length: Decimal, locale: str, *, short: bool = False) -> str:
    """A length in millimetres: 0.75 mm; for a patient without zeros at the end: 6 mm."""
    pattern = "0.##" if short else "0.00"
    return format_decimal(length, format=pattern, locale=locale).replace("-", TRUE_MINUS) + "\N{NO-BREAK SPACE}mm"


def say_in_100(chance: float) -> str:
    """A chance out of 100, never quite none and never quite all."""
    if chance > 0.99:
        return "over 99"
    return "under 1" if chance < 0.01 else f"{round(100 * chance)}"


def show_chance(chance: float) -> str:
    """A chance in percent; never quite sure, never quite hopeless."""
    return f"{say_in_100(chance)} %"


def format_count(number: Decimal, locale: str) -> str:
    """A small number, such as weeks, without zeros at the end."""
    return format_decimal(number, format="0.#", locale=locale)


def format_day(day: date, locale: str) -> str:
    """A long date: November 25, 2026."""
    return format_date(day, format="long", locale=locale)


def format_short_day(day: date, locale: str) -> str:
    """A day of the week and a date that stay on one line: Tue, Dec 1, 2026."""
    weekday = format_date(day, format="EEE, ", locale=locale).replace(" ", "\N{NO-BREAK SPACE}")
    return weekday + format_table_day(day, locale)


def format_table_day(day: date, locale: str) -> str:
    """A date that stays on one line of a narrow column: Dec 1, 2026."""
    return str(format_date(day, format="medium", locale=locale)).replace(" ", "\N{NO-BREAK SPACE}")


def format_month(day: date, locale: str) -> str:
    """A month on an axis: Dec, then the year in place of January, then Feb."""
    return format_date(day, format="y" if day.month == 1 else "MMM", locale=locale)


def name_currency(currency: str, locale: str) -> str:
    """The currency as said of many: US dollars."""
    return get_currency_name(currency, count=2, locale=locale)


def find_locale(language: str, locale: str) -> str:
    """The locale of a language in the region of another locale, as far as it is known: es_US for es and en_US.

    Spanish where no such region is known is that of Latin America, with a decimal point.
    """
    region = locale.partition("_")[2]
    for tried in (f"{language}_{region}", f"{language}_419", language):
        if _is_known(tried):
            return tried
    return locale


@cache
def _is_known(locale: str) -> bool:
    try:
        Locale.parse(locale)
    except UnknownLocaleError:
        return False
    return True


def find_plural(number: int | Decimal, language: str) -> str:
    """The form that a number takes in a language: one, other, in some languages few or many as well."""
    return Locale.parse(language).plural_form(number) if _is_known(language) else "other"


def name_language(language: str, locale: str) -> str:
    """A language as a reader of some locale names it: Spanish."""
    return Locale.parse(language).get_display_name(locale) or language


def find_number_signs(locale: str) -> tuple[str, str]:
    """The decimal sign and what stands between thousands."""
    return get_decimal_symbol(locale), get_group_symbol(locale)


def format_number(number: Decimal, locale: str) -> str:
    """A number with the decimals it has, and no zeros at the end: 0.0022."""
    number = number.normalize()
    decimals = max(0, -int(number.as_tuple().exponent))
    return format_decimal(number, format="0" + ("." + "0" * decimals if decimals else ""), locale=locale).replace(
        "-", TRUE_MINUS
    )
