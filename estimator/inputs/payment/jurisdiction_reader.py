"""A TOML document becomes a Profile, on top of a shipped one where it says so, or the whole list of its problems."""

import re
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from typing import Any, TypeVar

from estimator.base.evidence import HowSure
from estimator.base.fields import Fields
from estimator.base.money import MINOR_UNITS
from estimator.base.problems import InputError, Problem, show_found, suggest_name
from estimator.inputs.case.model import find_repeated
from estimator.inputs.fees.schedule import FeeKind
from estimator.inputs.payment.jurisdiction import (
    Asked,
    ClockRule,
    Disclosure,
    DocumentKind,
    Profile,
    Provider,
    SelfPayRules,
    TaxRule,
)
from estimator.inputs.payment.legal_texts import LegalText, read_legal_tables
from estimator.inputs.payment.reader import read_percentage
from estimator.inputs.practice.settings import Paper

Item = TypeVar("Item", TaxRule, LegalText, Provider)
_LINE = "one line of at most 120 characters"
_NPI = re.compile(r"[12][0-9]{9}")
_NPI_PREFIX = "80840"
_TIN = re.compile(r"[0-9]{2}-[0-9]{7}|[0-9]{3}-[0-9]{2}-[0-9]{4}")
_LONGEST_DAYS = 731


def read_profile(document: Mapping[str, Any], *, file: str, known: Mapping[str, Profile] | None = None) -> Profile:
    """A profile from a parsed document; what it leaves out is that of the known profile it is `based_on`.

    Raises InputError with every problem of the document.
    """
    problems: list[Problem] = []
    fields = Fields(document, file=file, place="", problems=problems)
    base = _read_base(fields, known or {})
    profile = Profile(
        key=fields.read_key("key") if base is None or "key" in fields else base.key,
        name=_read_text(fields, "name", base.name if base else None),
        currency=_read_currency(fields, base),
        paper=fields.read_choice("paper", Paper, default=base.paper if base else None),
        titles=_read_titles(fields, base),
        valid_days=fields.read_whole("valid_days", 1, _LONGEST_DAYS, default=base.valid_days if base else None),
        disclosure=_read_disclosure(fields, base),
        ranges=fields.read_flag("ranges", default=bool(base and base.ranges)),
        signature_required=fields.read_flag("signature_required", default=bool(base and base.signature_required)),
        laboratory_kinds=_read_kinds(fields, base),
        deposit_cap_percent=_read_limit(fields, "deposit_cap_percent", base.deposit_cap_percent if base else None),
        overrun_percent=_read_limit(fields, "overrun_percent", base.overrun_percent if base else None),
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
        fields.add_problem("based_on", suggest_name(str(name), known))
        return next(iter(known.values()), None)
    return known[name]


def _read_text(fields: Fields, name: str, default: str | None) -> str:
    if default is not None and name not in fields:
        return default
    return fields.read_line(name, expected=_LINE, required=True)


def _read_currency(fields: Fields, base: Profile | None) -> str:
    found = fields.get_raw("currency")
    if found is None:
        return base.currency if base else ""
    if isinstance(found, str) and (found == "" or found in MINOR_UNITS):
        return found
    fields.add_problem("currency", "a three-letter ISO 4217 code, such as USD, or nothing for that of the fee schedule")
    return ""


def _read_titles(fields: Fields, base: Profile | None) -> tuple[tuple[DocumentKind, str], ...]:
    table = fields.read_table("titles") or Fields({}, file=fields.file, place="titles", problems=fields.problems)
    titles = tuple((kind, _read_text(table, kind, base.name_document(kind) if base else None)) for kind in DocumentKind)
    table.refuse_others()
    for title in find_repeated(title for _, title in titles if title):
        fields.add_problem("titles", "three titles that differ", found=show_found(title) + " more than once")
    return titles


def _read_disclosure(fields: Fields, base: Profile | None) -> Disclosure:
    old = base.disclosure if base else None
    table = fields.read_table("disclosure") or Fields(
        {}, file=fields.file, place="disclosure", problems=fields.problems
    )
    disclosure = Disclosure(
        free_instalments=table.read_whole("free_instalments", 0, 99, default=old.free_instalments if old else None),
        always=table.read_flag("always", default=bool(old and old.always)),
        source=_read_text(table, "source", old.source if old else None),
        how_sure=table.read_choice("how_sure", HowSure, default=old.how_sure if old else None),
    )
    table.refuse_others()
    return disclosure


def _read_kinds(fields: Fields, base: Profile | None) -> tuple[FeeKind, ...]:
    if base is not None and "laboratory_kinds" not in fields:
        return base.laboratory_kinds
    return tuple(FeeKind(word) for word in fields.read_texts("laboratory_kinds", FeeKind))


def _read_limit(fields: Fields, name: str, default: Decimal | None) -> Decimal | None:
    """A percentage, or "none" to lift what the profile below has set."""
    if fields.table.get(name) == "none":
        fields.get_raw(name)
        return None
    return read_percentage(fields, name) if name in fields else default


def _read_taxes(fields: Fields) -> tuple[TaxRule, ...]:
    return tuple(_read_tax(table) for table in fields.read_tables("taxes"))


def _read_tax(table: Fields) -> TaxRule:
    percent = table.read_decimal("percent", 0, 100, what="a tax from 0 to 100 %", example="19")
    if "percent" not in table:
        table.add_problem("percent", "a tax from 0 to 100 %, such as 19")
    tax = TaxRule(
        kind=table.read_choice("kind", FeeKind),
        percent=percent or Decimal(0),
        reason=table.read_line("reason", expected="why no tax is due, which is printed", required=percent == 0),
    )
    table.refuse_others()
    return tax


def _read_self_pay(fields: Fields, base: Profile | None) -> SelfPayRules | None:
    table = fields.read_table("self_pay")
    if table is None:
        return base.self_pay if base else None
    amount = table.read_decimal("dispute_amount", 0, 10**8, what="an amount of 0 or more", example="400.00")
    if "dispute_amount" not in table:
        table.add_problem("dispute_amount", "the difference from which a bill can be disputed, such as 400.00")
    rules = SelfPayRules(
        country=table.read_line("country", expected="a country whose holidays count, such as US", required=True),
        subdivision=table.read_line("subdivision", expected="a state or province, such as OR"),
        dispute_amount=amount or Decimal(0),
        clock=tuple(_read_clock(rule) for rule in table.read_tables("clock")),
        source=table.read_line("source", expected="the rule", required=True, longest=300),
        how_sure=table.read_choice("how_sure", HowSure),
    )
    table.refuse_others()
    return rules


def _read_clock(table: Fields) -> ClockRule:
    rule = ClockRule(
        asked=table.read_choice("asked", Asked),
        within=table.read_whole("within", 0, 99),
        at_least_ahead=table.read_whole("at_least_ahead", 0, 99, default=0),
    )
    table.refuse_others()
    return rule


def read_providers(document: Mapping[str, Any], *, file: str) -> tuple[Provider, ...]:
    """Providers as a form has them, under `providers`. Raises InputError with every problem."""
    problems: list[Problem] = []
    providers = _read_providers(Fields(document, file=file, place="", problems=problems))
    if problems:
        raise InputError(problems)
    return providers


def _read_providers(fields: Fields) -> tuple[Provider, ...]:
    return tuple(_read_provider(table) for table in fields.read_tables("providers"))


def _read_provider(table: Fields) -> Provider:
    provider = Provider(
        key=table.read_key("key"),
        name=table.read_line("name", expected=_LINE, required=True),
        npi=table.read_line("npi", expected=_LINE),
        tin=table.read_line("tin", expected=_LINE),
        state=table.read_line("state", expected=_LINE),
        place=table.read_line("place", expected=_LINE),
    )
    if provider.npi and not is_npi(provider.npi):
        table.add_problem("npi", "ten digits whose last one checks the others, in quotes")
    if provider.tin and not _TIN.fullmatch(provider.tin):
        table.add_problem("tin", 'a taxpayer number in quotes, such as "12-3456789"')
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
