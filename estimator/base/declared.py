"""What a document may hold, declared once: each field with its limits, label and help; read and written from that."""

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Any

from estimator.base.fields import Fields
from estimator.base.problems import FieldPath


class FieldKind(StrEnum):
    """What a field takes. Kinds from `currency` on are read by whoever knows the currency, the lines, the patient."""

    LINE = "line"
    KEY = "key"
    CHOICE = "choice"
    FLAG = "flag"
    WHOLE = "whole"
    NUMBER = "number"
    DAY = "day"
    WORDS = "words"
    LENGTHS = "lengths"
    CURRENCY = "currency"
    AMOUNT = "amount"
    PERCENT = "percent"
    PAST_DAY = "past_day"
    FEE_LINES = "fee_lines"
    CLASSES = "classes"
    PROFILE = "profile"


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One value of a document, under its `key`.

    `label` is what a form calls it, `help` a sentence for forms, files and README. A problem with it has this `code`,
    or that in `missing` where a field that is needed is absent. Numbers go from `low` to `high`, text has at most
    `longest` characters, words are some of `choices`. `example` is written as in TOML. `attribute` leads to the value
    in the model; it is the key where nothing is said.
    """

    key: str
    kind: FieldKind
    label: str
    help: str = ""
    code: str = ""
    missing: str = ""
    example: str = ""
    default: Any = None
    required: bool = False
    low: Decimal | int = 0
    high: Decimal | int = 0
    longest: int = 120
    choices: type[StrEnum] | None = None
    attribute: str = ""

    @property
    def path(self) -> str:
        """The way to its value in the model, with dots."""
        return self.attribute or self.key


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A table of a document: fields, then tables inside it; `repeated` where it is a list of such tables.

    `names` says what stands in place of field names where these are free, such as the option, and `example` is one of
    them; each is then a table of these parts, or a single value like `each`. `attribute` leads to the part of the model
    it is about, the whole of it where nothing is said; that part is `default` where the table is absent.
    """

    key: str = ""
    label: str = ""
    help: str = ""
    parts: tuple["Field | Section", ...] = ()
    repeated: bool = False
    names: str = ""
    example: str = ""
    each: Field | None = None
    attribute: str = ""
    default: Any = None

    def list_fields(self) -> tuple[Field, ...]:
        """Its own fields, without those of tables inside it."""
        return tuple(part for part in self.parts if isinstance(part, Field))

    def list_sections(self) -> tuple["Section", ...]:
        """The tables inside it."""
        return tuple(part for part in self.parts if isinstance(part, Section))

    def get_field(self, key: str) -> Field:
        """The field of that key. Raises KeyError for one that is not declared."""
        return next((field for field in self.list_fields() if field.key == key), None) or _blame(self, key)

    def get_section(self, key: str) -> "Section":
        """The table of that key. Raises KeyError for one that is not declared."""
        return next((section for section in self.list_sections() if section.key == key), None) or _blame(self, key)


def _blame(section: Section, key: str) -> Any:
    raise KeyError(f"{section.key or 'the document'} declares no '{key}'")


Reader = Callable[[Fields, Field, Any], Any]
"""Reads a field of a table, whose default is given too; problems are noted in the table."""


def read_declared(
    table: Fields,
    section: Section,
    *,
    defaults: Mapping[str, Any] | None = None,
    readers: Mapping[FieldKind, Reader] | None = None,
    skip: Collection[str] = (),
) -> dict[str, Any]:
    """The values of a table's own fields by key, in the order of the list; tables inside it are the caller's to read.

    `defaults` stand in place of those declared, `readers` read the kinds that only the caller can; fields to `skip` are
    read by the caller too.
    """
    known = {**_READERS, **(readers or {})}
    own = defaults or {}
    values = {}
    for field in section.list_fields():
        if field.key in skip:
            table.get_raw(field.key)
        else:
            values[field.key] = _read_field(table, field, known[field.kind], own.get(field.key, field.default))
    return values


def _read_field(table: Fields, field: Field, read: Reader, default: Any) -> Any:
    if field.key in table:
        return read(table, field, default)
    table.get_raw(field.key)
    if default is not None:
        return default
    if field.required and field.missing:
        table.add_problem(field.key, field.missing, low=field.low, high=field.high, example=field.example)
        return None
    return read(table, field, None)


def _read_line(table: Fields, field: Field, _: Any) -> str:
    code = field.code or "line.plain"
    return table.read_line(field.key, code=code, required=field.required, longest=field.longest)


def _read_choice(table: Fields, field: Field, default: Any) -> StrEnum:
    words: type[StrEnum] = field.choices or StrEnum
    found: StrEnum = table.read_choice(field.key, words, default=default)
    return found


def _read_number(table: Fields, field: Field, default: Any) -> Decimal | None:
    return table.read_decimal(field.key, field.low, field.high, code=field.code, example=field.example, default=default)


def _read_words(table: Fields, field: Field, _: Any) -> tuple[str, ...]:
    words = table.read_texts(field.key, [word.value for word in field.choices] if field.choices else None)
    return tuple(field.choices(word) for word in words) if field.choices else words


_READERS: dict[FieldKind, Reader] = {
    FieldKind.LINE: _read_line,
    FieldKind.KEY: lambda table, field, _: table.read_key(field.key),
    FieldKind.CHOICE: _read_choice,
    FieldKind.FLAG: lambda table, field, default: table.read_flag(field.key, default=bool(default)),
    FieldKind.WHOLE: lambda table, field, default: table.read_whole(
        field.key, int(field.low), int(field.high), default=default
    ),
    FieldKind.NUMBER: _read_number,
    FieldKind.DAY: lambda table, field, _: table.read_date(field.key),
    FieldKind.WORDS: _read_words,
    FieldKind.LENGTHS: lambda table, field, _: table.read_lengths(
        field.key, int(field.low), int(field.high), example=field.example
    ),
}


def find_values(section: Section, model: object) -> dict[str, Any]:
    """What a model holds of a table's own fields, by key; None for what it does not have."""
    return {field.key: _follow(model, field.path) for field in section.list_fields()}


def write_declared(section: Section, model: object) -> dict[str, Any]:
    """A model as the document it could have been read from, in plain TOML values; defaults are left out."""
    document: dict[str, Any] = {}
    for part in section.parts:
        found = _follow(model, part.path if isinstance(part, Field) else part.attribute)
        if isinstance(part, Field):
            if found not in (None, "", ()) and found != part.default:
                document[part.key] = write_value(found)
        elif part.repeated:
            document |= {part.key: _write_rows(part, found)} if found else {}
        elif found is not None and found != part.default:
            inside = write_declared(part, found)
            document |= {part.key: inside} if inside or part.attribute else {}
    return document


def _write_rows(section: Section, found: Any) -> list[dict[str, Any]]:
    """The tables of a list; a mapping is a list of two fields each, its name and its value."""
    if isinstance(found, Mapping):
        keys = [field.key for field in section.list_fields()]
        return [dict(zip(keys, pair, strict=True)) for pair in found.items()]
    return [write_declared(section, one) for one in found]


def _follow(model: Any, path: str) -> Any:
    """What the names of a path lead to, as attributes or keys; None where the way ends before."""
    for name in path.split(".") if path else ():
        if isinstance(model, tuple):  # pairs of a name and a value
            model = dict(model)
        model = model.get(name) if isinstance(model, Mapping) else getattr(model, name, None)
    return model


def write_value(value: object) -> object:
    """A value as TOML holds it."""
    if isinstance(value, StrEnum):
        return value.value
    if isinstance(value, tuple):
        return [write_value(one) for one in value]
    return value


def walk_declared(section: Section, path: str = "") -> Iterator[tuple[str, Field | Section]]:
    """Each field and table of a document with its place, such as `calendar.closed[].from`."""
    for part in section.parts:
        place = f"{path}.{part.key}" if path else part.key
        if isinstance(part, Field):
            yield place, part
            continue
        place += "[]" * part.repeated
        yield place, part
        place += f".<{part.names}>" if part.names else ""
        if part.each is not None:
            yield place, part.each
        yield from walk_declared(part, place)


def label_fields(section: Section) -> dict[FieldPath, str]:
    """What forms call the fields of a document, by their paths; a list of tables has one in a form, the first."""
    labels: dict[FieldPath, str] = {}
    for place, part in walk_declared(section):
        if part.label and "<" not in place:
            names = (step for name in place.split(".") for step in ((name[:-2], 1) if name.endswith("[]") else (name,)))
            path = tuple(names)
            labels[path[:-1] if path[-1] == 1 else path] = part.label
    return labels


def write_toml_value(value: object) -> str:
    """A value of a document as TOML writes it on one line. Raises TypeError for a table."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return '"' + value.translate(_ESCAPES) + '"'
    if isinstance(value, list | tuple):
        return f"[{', '.join(write_toml_value(one) for one in value)}]"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, int | Decimal):
        return f"{value:f}" if isinstance(value, Decimal) else str(value)
    raise TypeError(f"no TOML value on one line: {value!r}")


_ESCAPES = str.maketrans({'"': '\\"', "\\": "\\\\", "\n": "\\n", "\t": "\\t"})
