"""Quotes and self-pay estimates as plain JSON values and back: money is text, days are ISO dates, nothing is lost."""

import re
from collections.abc import Mapping
from dataclasses import MISSING, Field, fields, is_dataclass, replace
from datetime import date
from decimal import Decimal
from enum import StrEnum
from functools import cache
from types import NoneType, UnionType
from typing import Any, TypeVar, cast, get_args, get_origin, get_type_hints

from estimator.base.days import parse_day
from estimator.base.problems import FieldPath, InputError, Problem, offer_names
from estimator.inputs.payment.model import WAY_KINDS
from estimator.quote.changes import VALUE_KINDS, ChangeKind, QuoteChange
from estimator.quote.old_changes import ChangeInWords, read_old_change
from estimator.quote.quote import Quote
from estimator.quote.self_pay.good_faith_estimate import SelfPayEstimate

Json = dict[str, Any]
Made = TypeVar("Made")
FORMAT = 3
"""How a quote is kept: 1 had no key of that name; 2 has it, the headline verdicts of options, and changes as data; 3
has what it was made of beside it."""
_MADE_OF = ("proposal", "statement")
"""Beside a kept quote: what was offered, as the text of a case file, and the statement; it is read without them."""
_TOTALS = ("total", "tax", "write_off", "plan_pays", "left", "at_most")
_NUMBER = re.compile(r"-?[0-9]{1,30}(\.[0-9]{1,30})?")


def quote_to_dict(quote: Quote) -> Json:
    """A quote with its totals; keys may be added later, never renamed."""
    return {**_show(quote), "totals": {name: f"{getattr(quote, name):f}" for name in _TOTALS}}


def kept_to_dict(quote: Quote, *, proposal: str, statement: Json) -> Json:
    """A quote as it is kept, with what it was made of: the text of the case file, and all that is told of it.

    Its format stands first, so that a program that does not know it says so before all else.
    """
    return {"format": FORMAT, **quote_to_dict(quote), **dict(zip(_MADE_OF, (proposal, statement), strict=True))}


def read_quote(plain: object, *, file: str = "quote") -> Quote:
    """The quote of `quote_to_dict` or `kept_to_dict`; without a format, as it was kept before there was one.

    Raises InputError for a later format, and for what is missing, misspelt, or no sum of its lines.
    """
    document = dict(_expect_table(plain, file, ()))
    kept_as = document.pop("format", 1)
    if type(kept_as) is not int or not 1 <= kept_as <= FORMAT:
        _blame(file, ("format",), "kept.format", kept_as, newest=FORMAT)
    for name in _MADE_OF:
        document.pop(name, None)
    totals = _expect_table(document.pop("totals", {}), file, ("totals",))
    quote = _SnapshotReader(file).read(Quote, document)
    for name, found in totals.items():
        total = f"{getattr(quote, name):f}" if name in _TOTALS else ""
        if found != total:
            _blame(file, ("totals", name), "kept.total" if total else "kept.no_total", found, total=total)
    return quote


def self_pay_to_dict(estimate: SelfPayEstimate) -> Json:
    """A self-pay estimate."""
    return cast(Json, _show(estimate))


def read_self_pay(plain: object, *, file: str = "self-pay estimate") -> SelfPayEstimate:
    """The estimate of `show_self_pay`. Raises InputError where something is missing or misspelt."""
    return _SnapshotReader(file).read(SelfPayEstimate, plain)


def _show(value: Any) -> Any:
    if is_dataclass(value):
        kind = next((name for name, made in WAY_KINDS.items() if isinstance(value, made)), None)
        table = {field.name: _show(getattr(value, field.name)) for field in fields(value)}
        return {"kind": kind, **table} if kind else table
    if isinstance(value, tuple):
        return [_show(one) for one in value]
    if isinstance(value, Decimal):
        return f"{value:f}"
    return value.isoformat() if isinstance(value, date) else value.value if isinstance(value, StrEnum) else value


def _blame(file: str, path: FieldPath, code: str, found: object = None, **expected: object) -> None:
    raise InputError([Problem(file=file, path=path, code=code, found=found, expected=expected)])


def _expect_table(value: object, file: str, path: FieldPath) -> Mapping[str, Any]:
    if not isinstance(value, dict):
        _blame(file, path, "kept.table", value)
    return cast(Mapping[str, Any], value)


@cache
def _list_fields(kind: type) -> tuple[tuple[Field[Any], Any], ...]:
    hints = get_type_hints(kind)
    return tuple((field, hints[field.name]) for field in fields(kind))


class _SnapshotReader:
    """Reads plain values as what a field's type says, and names the place of what it cannot read."""

    def __init__(self, file: str) -> None:
        self.file = file

    def read(self, kind: type[Made], value: object) -> Made:
        return cast(Made, self.read_value(kind, value, ()))

    def read_value(self, kind: Any, value: object, path: FieldPath) -> Any:
        if get_origin(kind) is UnionType:
            return self.read_union(get_args(kind), value, path)
        if get_origin(kind) is tuple:
            return self.read_tuple(get_args(kind), value, path)
        if is_dataclass(kind):
            return self.read_table(cast(type, kind), value, path)
        return self.read_plain(kind, value, path)

    def read_union(self, kinds: tuple[Any, ...], value: object, path: FieldPath) -> Any:
        if value is None and NoneType in kinds:
            return None
        known = tuple(kind for kind in kinds if kind is not NoneType)
        if len(known) == 1:
            return self.read_value(known[0], value, path)
        table = dict(_expect_table(value, self.file, path))
        name = table.pop("kind", None)
        if name not in WAY_KINDS:
            _blame(self.file, (*path, "kind"), "known", name, **offer_names(name, WAY_KINDS))
        return self.read_table(WAY_KINDS[name], table, path)

    def read_tuple(self, kinds: tuple[Any, ...], value: object, path: FieldPath) -> tuple[Any, ...]:
        if not isinstance(value, list) or (kinds[-1] is not Ellipsis and len(value) != len(kinds)):
            _blame(self.file, path, "kept.list", value)
        each = cast(list[object], value)
        wanted = kinds[:1] * len(each) if kinds[-1] is Ellipsis else kinds
        pairs = enumerate(zip(wanted, each, strict=True), 1)
        return tuple(self.read_value(kind, one, (*path, number)) for number, (kind, one) in pairs)

    def read_table(self, kind: type, value: object, path: FieldPath) -> Any:
        table = _expect_table(value, self.file, path)
        if kind is QuoteChange:
            return self.read_change(table, path)
        return self.read_fields(kind, table, path)

    def read_change(self, table: Mapping[str, Any], path: FieldPath) -> QuoteChange:
        """A change with the values of its kind; one that was kept as texts has a place in their stead."""
        if "place" in table:
            old = self.read_fields(ChangeInWords, table, path)
            return read_old_change(old.place, old.before, old.after, old.subject)
        kind = self.read_value(ChangeKind, table.get("kind"), (*path, "kind"))
        values = {
            name: self.read_value(VALUE_KINDS[kind], table[name], (*path, name))
            for name in ("before", "after")
            if table.get(name) is not None
        }
        others = {name: value for name, value in table.items() if name not in ("before", "after")}
        return replace(self.read_fields(QuoteChange, others, path), **values)

    def read_fields(self, kind: type[Made], table: Mapping[str, Any], path: FieldPath) -> Made:
        known = {field.name: (field, hint) for field, hint in _list_fields(cast(type, kind))}
        for name in table:
            if name not in known:
                _blame(self.file, (*path, name), "kept.unknown", name, **offer_names(name, known))
        read = {}
        for name, (field, hint) in known.items():
            if name in table:
                read[name] = self.read_value(hint, table[name], (*path, name))
            elif field.default is MISSING:
                _blame(self.file, (*path, name), "kept.value")
        try:
            return kind(**read)
        except ValueError as error:
            found = str(error)
        return cast(Made, _blame(self.file, path, "kept.together", found))

    def read_plain(self, kind: type, value: object, path: FieldPath) -> Any:
        if kind in (str, int, bool):
            if type(value) is not kind:
                _blame(self.file, path, "kept.kind", value, kind=kind.__name__)
            return value
        if isinstance(value, str):
            try:
                return _parse(kind, value)
            except ValueError:  # an impossible day, or no such word
                pass
        return _blame(self.file, path, _CODES.get(kind, "kept.word"), value)


_CODES: Mapping[type, str] = {Decimal: "kept.number", date: "kept.day"}


def _parse(kind: type, text: str) -> Any:
    value = parse_day(text) if kind is date else kind(text) if kind is not Decimal or _NUMBER.fullmatch(text) else None
    if value is None:
        raise ValueError(text)
    return value
