"""Reading one table of a TOML document field by field: problems are collected, nothing is guessed, nothing raises."""

import re
import unicodedata
from collections.abc import Iterable, Mapping
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from typing import Any, TypeVar

from estimator.base.problems import Problem, show_found, suggest_name

Kind = TypeVar("Kind", bound=StrEnum)
_KEY = re.compile(r"[a-z][a-z0-9_]{0,59}")


class Fields:
    """A table at a place of a file. Every reader returns the value, or a default after noting a problem."""

    def __init__(self, table: Mapping[str, Any], *, file: str, place: str, problems: list[Problem]) -> None:
        self.table, self.file, self.place, self.problems = table, file, place, problems
        self._read: dict[str, None] = {}

    def __contains__(self, name: str) -> bool:
        return name in self.table

    def locate(self, name: str) -> str:
        """The place of a field as messages name it, such as jaws[1].arch."""
        return f"{self.place}.{name}" if self.place else name

    def add_problem(self, name: str, expected: str, *, found: str | None = None) -> None:
        """Note a problem with a field."""
        if found is None:
            found = show_found(self.table[name]) if name in self.table else "nothing"
        self.problems.append(Problem(file=self.file, place=self.locate(name), found=found, expected=expected))

    def get_raw(self, name: str) -> Any:
        """The value as it stands in the file, None if absent; marks the field as known."""
        self._read[name] = None
        return self.table.get(name)

    def read_line(self, name: str, *, expected: str, required: bool = False, longest: int = 120) -> str:
        """One line of text, in NFC, without control characters."""
        value = self.get_raw(name)
        if value is None and not required:
            return ""
        if isinstance(value, str):
            text = unicodedata.normalize("NFC", value.strip())
            if len(text) <= longest and text.isprintable() and (text or not required):
                return text
        self.add_problem(name, expected)
        return ""

    def read_key(self, name: str) -> str:
        """A short name of our own: small letters, digits, underscores."""
        value = self.get_raw(name)
        if isinstance(value, str) and _KEY.fullmatch(value):
            return value
        self.add_problem(name, "a short name in small letters, digits and underscores, such as tooth_trial")
        return ""

    def read_length(
        self, name: str, low: int, high: int, *, example: str, default: Decimal | None = None
    ) -> Decimal | None:
        """A length in millimetres from low to high."""
        return self.read_decimal(
            name, low, high, what=f"a length from {low} to {high} mm", example=example, default=default
        )

    def read_decimal(
        self,
        name: str,
        low: Decimal | int,
        high: Decimal | int,
        *,
        what: str,
        example: str,
        default: Decimal | None = None,
    ) -> Decimal | None:
        """A number from low to high, whole or with a decimal point; text such as "0.5 in" is refused."""
        value = self.get_raw(name)
        if value is None:
            return default
        number = Decimal(value) if isinstance(value, int) and not isinstance(value, bool) else value
        if isinstance(number, Decimal) and number.is_finite() and low <= number <= high:
            return number
        hint = " (a number without quotes, unit or decimal comma)" if isinstance(value, str) else ""
        self.add_problem(name, f"{what}, such as {example}{hint}")
        return default

    def read_lengths(self, name: str, low: int, high: int, *, example: str) -> tuple[Decimal, ...]:
        """A list of lengths in millimetres, each above low and at most high, rising and each once."""
        value = self.get_raw(name)
        if value is None:
            return ()
        numbers = [Decimal(v) if isinstance(v, int) and not isinstance(v, bool) else v for v in _list_items(value)]
        if numbers and all(isinstance(n, Decimal) and n.is_finite() and low < n <= high for n in numbers):
            return tuple(sorted(set(numbers)))
        self.add_problem(name, f"a list of lengths over {low} and up to {high} mm, such as {example}")
        return ()

    def read_whole(self, name: str, low: int, high: int, *, default: int | None = None) -> int:
        """A whole number from low to high; without a default the field is required."""
        value = self.get_raw(name)
        if value is None and default is not None:
            return default
        if isinstance(value, int) and not isinstance(value, bool) and low <= value <= high:
            return value
        self.add_problem(name, f"a whole number from {low} to {high}")
        return low if default is None else default

    def read_flag(self, name: str, *, default: bool) -> bool:
        """true or false."""
        value = self.get_raw(name)
        if value is None or isinstance(value, bool):
            return default if value is None else value
        self.add_problem(name, "true or false, without quotes")
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
        self.add_problem(name, suggest_name(value, words) if isinstance(value, str) else f"one of {', '.join(words)}")
        return default or next(iter(kind))

    def read_date(self, name: str) -> date | None:
        """A date without quotes, such as 1951-05-02."""
        value = self.get_raw(name)
        if value is None:
            return None
        if isinstance(value, date) and not isinstance(value, datetime):
            return value
        self.add_problem(name, "a date without quotes, such as 1951-05-02")
        return None

    def read_texts(self, name: str, known: Iterable[str] | None = None) -> tuple[str, ...]:
        """A list of words, each of which must be known if `known` is given."""
        value = self.get_raw(name)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(v, str) for v in value):
            self.add_problem(name, 'a list of words, such as ["smoking"]')
            return ()
        words = tuple(known) if known is not None else tuple(value)
        for word in value:
            if word not in words:
                self.add_problem(name, suggest_name(word, words), found=show_found(word))
        return tuple(dict.fromkeys(v for v in value if v in words))

    def read_table(self, name: str) -> "Fields | None":
        """A table inside this one, None if absent."""
        value = self.get_raw(name)
        if value is None:
            return None
        if isinstance(value, dict):
            return Fields(value, file=self.file, place=self.locate(name), problems=self.problems)
        self.add_problem(name, f"a table that begins with [{self.locate(name)}]")
        return None

    def read_tables(self, name: str) -> list["Fields"]:
        """The tables of a list, each with its number in the place, counted from 1."""
        value = self.get_raw(name)
        if value is None:
            return []
        if not isinstance(value, list) or not all(isinstance(v, dict) for v in value):
            self.add_problem(name, f"tables that each begin with [[{self.locate(name)}]]")
            return []
        places = [f"{self.locate(name)}[{i}]" for i in range(1, len(value) + 1)]
        return [Fields(v, file=self.file, place=p, problems=self.problems) for v, p in zip(value, places, strict=True)]

    def refuse_others(self) -> None:
        """Note each field that nobody asked for: a misspelt name must never pass in silence."""
        for name in self.table:
            if name not in self._read:
                self.add_problem(name, suggest_name(name, self._read), found=f"an unknown field {show_found(name)}")


def _list_items(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []
