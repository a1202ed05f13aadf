"""A TOML document becomes a Profile, on top of a shipped one where it says so, or the whole list of its problems."""

import re
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from typing import Any, TypeVar

from estimator.base.declared import Field, FieldKind, Reader, find_values, read_declared
from estimator.base.fields import Fields
from estimator.base.money import MINOR_UNITS
from estimator.base.problems import InputError, Problem, offer_names
from estimator.inputs.case.model import find_repeated
from estimator.inputs.payment.jurisdiction import (
    ClockRule,
    Disclosure,
    DocumentKind,
    Profile,
    Provider,
    SelfPayRules,
    TaxRule,
)
from estimator.inputs.payment.jurisdiction_fields import CLOCK, DISCLOSURE, PROFILE, PROVIDERS, SELF_PAY, TAXES, TITLES
from estimator.inputs.payment.legal_texts import LegalText, read_legal_tables
from estimator.inputs.payment.reader import read_percentage

Item = TypeVar("Item", TaxRule, LegalText, Provider)
_NPI = re.compile(r"[12][0-9]{9}")
_NPI_PREFIX = "80840"
_TIN = re.compile(r"[0-9]{2}-[0-9]{7}|[0-9]{3}-[0-9]{2}-[0-9]{4}")


def read_profile(document: Mapping[str, Any], *, file: str, known: Mapping[str, Profile] | None = None) -> Profile:
    """A profile from a parsed document; what it leaves out is that of the known profile it is `based_on`.

    Raises InputError with every problem of the document.
    """
    problems: list[Problem] = []
    fields = Fields(document, file=file, problems=problems)
    base = _read_base(fields, known or {})
    said = read_declared(fields, PROFILE, defaults=find_values(PROFILE, base) if base else None, readers=_READERS)
    del said["based_on"]
    profile = Profile(
        **said,
        titles=_read_titles(fields, base),
        disclosure=_read_disclosure(fields, base),
        taxes=_merge(base.taxes if base else (), _read_taxes(fields), lambda tax: tax.kind),
        self_pay=_read_self_pay(fields, base),
        texts=_merge(base.texts if base else (), read_legal_tables(fields, "texts"), lambda text: text.key),
        providers=_merge(base.providers if base else (), _read_providers(fields), lambda one: one.key),
    )
    fields.refuse_others()
    if problems:
        raise InputError(problems)
    return profile


def _read_base(fields: Fields, known: Mapping[str, Profile]) -> Profile | None:
    name = fields.get_raw("based_on")
    if name is None:
        return None
    if not isinstance(name, str) or name not in known:
        fields.add_problem("based_on", "known", **offer_names(name, known))
        return next(iter(known.values()), None)
    return known[name]


def _read_currency(fields: Fields, field: Field, _: object) -> str:
    found = fields.get_raw(field.key)
    if isinstance(found, str) and (found == "" or found in MINOR_UNITS):
        return found
    fields.add_problem(field.key, "profile.currency")
    return ""


def _read_limit(fields: Fields, field: Field, _: object) -> Decimal | None:
    """A percentage, or "none" to lift what the profile below has set."""
    return None if fields.get_raw(field.key) == "none" else read_percentage(fields, field.key)


_READERS: dict[FieldKind, Reader] = {
    FieldKind.CURRENCY: _read_currency,
    FieldKind.PERCENT: _read_limit,
    FieldKind.PROFILE: lambda fields, field, _: fields.get_raw(field.key),
}


def _read_titles(fields: Fields, base: Profile | None) -> tuple[tuple[DocumentKind, str], ...]:
    table = fields.read_table("titles") or Fields({}, file=fields.file, path=("titles",), problems=fields.problems)
    said = read_declared(table, TITLES, defaults=find_values(TITLES, base) if base else None)
    table.refuse_others()
    for title in find_repeated(title for title in said.values() if title):
        fields.add_problem("titles", "profile.title_twice", found=title)
    return tuple((DocumentKind(key), title) for key, title in said.items())


def _read_disclosure(fields: Fields, base: Profile | None) -> Disclosure:
    table = fields.read_table("disclosure") or Fields(
        {}, file=fields.file, path=("disclosure",), problems=fields.problems
    )
    said = read_declared(table, DISCLOSURE, defaults=find_values(DISCLOSURE, base.disclosure) if base else None)
    table.refuse_others()
    return Disclosure(**said)


def _read_taxes(fields: Fields) -> tuple[TaxRule, ...]:
    return tuple(_read_tax(table) for table in fields.read_tables("taxes"))


def _read_tax(table: Fields) -> TaxRule:
    said = read_declared(table, TAXES)
    if said["percent"] == 0 and not str(table.table.get("reason", "")).strip():
        table.add_problem("reason", TAXES.get_field("reason").code)
    table.refuse_others()
    return TaxRule(**said | {"percent": said["percent"] or Decimal(0)})


def _read_self_pay(fields: Fields, base: Profile | None) -> SelfPayRules | None:
    table = fields.read_table("self_pay")
    if table is None:
        return base.self_pay if base else None
    said = read_declared(table, SELF_PAY)
    clock = tuple(_read_clock(rule) for rule in table.read_tables("clock"))
    table.refuse_others()
    return SelfPayRules(**said | {"dispute_amount": said["dispute_amount"] or Decimal(0)}, clock=clock)


def _read_clock(table: Fields) -> ClockRule:
    said = read_declared(table, CLOCK)
    table.refuse_others()
    return ClockRule(**said)


def read_providers(document: Mapping[str, Any], *, file: str) -> tuple[Provider, ...]:
    """Providers as a form has them, under `providers`. Raises InputError with every problem."""
    problems: list[Problem] = []
    providers = _read_providers(Fields(document, file=file, problems=problems))
    if problems:
        raise InputError(problems)
    return providers


def _read_providers(fields: Fields) -> tuple[Provider, ...]:
    return tuple(_read_provider(table) for table in fields.read_tables("providers"))


def _read_provider(table: Fields) -> Provider:
    provider = Provider(**read_declared(table, PROVIDERS))
    if provider.npi and not is_npi(provider.npi):
        table.add_problem("npi", "profile.npi")
    if provider.tin and not _TIN.fullmatch(provider.tin):
        table.add_problem("tin", "profile.tin")
    table.refuse_others()
    return provider


def is_npi(text: str) -> bool:
    """Whether ten digits are a national provider identifier: the last one is the check digit of 80840 and the rest.

    Source: 45 CFR 162.406, ISO/IEC 7812 check digit (how sure: memory).
    """
    if not _NPI.fullmatch(text):
        return False
    digits = [int(digit) for digit in reversed(_NPI_PREFIX + text)]
    doubled = (sum(divmod(2 * digit, 10)) for digit in digits[1::2])
    return (sum(digits[0::2]) + sum(doubled)) % 10 == 0


def _merge(old: Iterable[Item], new: Iterable[Item], key: Callable[[Item], str]) -> tuple[Item, ...]:
    """The old ones with the new in the place of those of the same key, further ones after them."""
    return tuple({**{key(one): one for one in old}, **{key(one): one for one in new}}.values())
