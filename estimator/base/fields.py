"""Reading one table of a TOML document field by field: problems are collected, nothing is guessed, nothing raises."""

import re
import unicodedata
from collections.abc import Iterable, Mapping
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from typing import Any, TypeVar

from estimator.base.problems import FieldPath, Problem, offer_names

Kind = TypeVar("Kind", bound=StrEnum)
KEY = re.compile(r"[a-z][a-z0-9_]{0,59}")
"""A short name of our own: small letters, digits, underscores."""


class Fields:
    """A table at a path of a document. Every reader returns the value, or a default after noting a problem."""

    def __init__(
        self,
        table: Mapping[str, Any],
        *,
        file: str,
        problems: list[Problem],
        path: FieldPath = (),
    ) -> None:
        self.table, self.file, self.problems, self.path = table, file, problems, path
        self._read: dict[str, None] = {}

    def __contains__(self, name: str) -> bool:
        return name in self.table

    def locate(self, name: str) -> FieldPath:
        """The path of a field, such as jaws, 1, arch."""
        return (*self.path, name)

    def add_problem(self, name: str, code: str, /, *, found: object = None, **expected: object) -> None:
        """Note a problem with a field: the code of its sentence and what fills it; by default its value was found."""
        path = (*self.path, *name.split("."))
        found = self.table.get(name) if found is None else found
        self.problems.append(Problem(file=self.file, code=code, path=path, found=found, expected=expected))

    def get_raw(self, name: str) -> Any:
        """The value as it stands in the file, None if absent; marks the field as known."""
        self._read[name] = None
        return self.table.get(name)

    def read_line(self, name: str, *, code: str = "line.plain", required: bool = False, longest: int = 120) -> str:
        """One line of text, in NFC, without control characters; `code` says what it is."""
        value = self.get_raw(name)
        if value is None and not required:
            return ""
        if isinstance(value, str):
            text = unicodedata.normalize("NFC", value.strip())
            if len(text) <= longest and text.isprintable() and (text or not required):
                return text
        self.add_problem(name, code, longest=longest)
        return ""

    def read_key(self, name: str) -> str:
        """A short name of our own: small letters, digits, underscores."""
        value = self.get_raw(name)
        if isinstance(value, str) and KEY.fullmatch(value):
            return value
        self.add_problem(name, "key")
        return ""

    def read_length(
        self, name: str, low: int, high: int, *, example: str, default: Decimal | None = None
    ) -> Decimal | None:
        """A length in millimetres from low to high."""
        return self.read_decimal(name, low, high, code="number.length", example=example, default=default)

    def read_decimal(
        self,
        name: str,
        low: Decimal | int,
        high: Decimal | int,
        *,
        code: str,
        example: str,
        default: Decimal | None = None,
        **expected: object,
    ) -> Decimal | None:
        """A number from low to high, whole or with a decimal point; text such as "0.5 in" is refused."""
        value = self.get_raw(name)
        if value is None:
            return default
        number = Decimal(value) if isinstance(value, int) and not isinstance(value, bool) else value
        if isinstance(number, Decimal) and number.is_finite() and low <= number <= high:
            return number
        self.add_problem(name, code, low=low, high=high, example=example, **expected)
        return default

    def read_lengths(self, name: str, low: int, high: int, *, example: str) -> tuple[Decimal, ...]:
        """A list of lengths in millimetres, each above low and at most high, rising and each once."""
        value = self.get_raw(name)
        if value is None:
            return ()
        numbers = [Decimal(v) if isinstance(v, int) and not isinstance(v, bool) else v for v in _list_items(value)]
        if numbers and all(isinstance(n, Decimal) and n.is_finite() and low < n <= high for n in numbers):
            return tuple(sorted(set(numbers)))
        self.add_problem(name, "lengths", low=low, high=high, example=example)
        return ()

    def read_whole(self, name: str, low: int, high: int, *, default: int | None = None) -> int:
        """A whole number from low to high; without a default the field is required."""
        value = self.get_raw(name)
        if value is None and default is not None:
            return default
        if isinstance(value, int) and not isinstance(value, bool) and low <= value <= high:
            return value
        self.add_problem(name, "whole", low=low, high=high)
        return low if default is None else default

    def read_flag(self, name: str, *, default: bool) -> bool:
        """true or false."""
        value = self.get_raw(name)
        if value is None or isinstance(value, bool):
            return default if value is None else value
        self.add_problem(name, "flag")
        return default

    def read_maybe(self, name: str) -> bool | None:
        """true or false, None where it is not known."""
        return self.read_flag(name, default=False) if name in self.table else self.get_raw(name)

    def read_choice(self, name: str, kind: type[Kind], *, default: Kind | None = None) -> Kind:
        """One of the words of a StrEnum; without a default the field is required."""
        value = self.get_raw(name)
        if value is None and default is not None:
            return default
        words = [k.value for k in kind]
        if isinstance(value, str) and value in words:
            return kind(value)
        self.add_problem(name, "known", **offer_names(value, words))
        return default or next(iter(kind))

    def read_date(self, name: str) -> date | None:
        """A date without quotes, such as 1951-05-02."""
        value = self.get_raw(name)
        if value is None:
            return None
        if isinstance(value, date) and not isinstance(value, datetime):
            return value
        self.add_problem(name, "date")
        return None

    def read_texts(self, name: str, known: Iterable[str] | None = None) -> tuple[str, ...]:
        """A list of words, each of which must be known if `known` is given."""
        value = self.get_raw(name)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(v, str) for v in value):
            self.add_problem(name, "words")
            return ()
        words = tuple(known) if known is not None else tuple(value)
        for word in value:
            if word not in words:
                self.add_problem(name, "known", found=word, **offer_names(word, words))
        return tuple(dict.fromkeys(v for v in value if v in words))

    def read_table(self, name: str) -> "Fields | None":
        """A table inside this one, None if absent."""
        value = self.get_raw(name)
        if value is None:
            return None
        if isinstance(value, dict):
            return Fields(value, file=self.file, path=self.locate(name), problems=self.problems)
        self.add_problem(name, "table", table=self.locate(name))
        return None

    def read_tables(self, name: str) -> list["Fields"]:
        """The tables of a list, each with its number in the place, counted from 1."""
        value = self.get_raw(name)
        if value is None:
            return []
        if not isinstance(value, list) or not all(isinstance(v, dict) for v in value):
            self.add_problem(name, "tables", table=self.locate(name))
            return []
        return [
            Fields(table, file=self.file, path=(*self.locate(name), number), problems=self.problems)
            for number, table in enumerate(value, 1)
        ]

    def refuse_others(self) -> None:
        """Note each field that nobody asked for: a misspelt name must never pass in silence."""
        for name in self.table:
            if name not in self._read:
                self.add_problem(name, "unknown_field", found=name, **offer_names(name, self._read))


def _list_items(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []
