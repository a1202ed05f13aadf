"""Wording: the words of sheets, pictures and findings in one language, as data."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Wording:
    """Texts by key, such as option_sheet.title; {places} are filled, **stars** mark bold on a sheet."""

    language: str
    texts: Mapping[str, str]

    def say(self, key: str, **values: object) -> str:
        """The text of that key with its places filled."""
        if key not in self.texts:
            raise KeyError(f"'key' must be a text of the wording '{self.language}' (got '{key}')")
        return self.texts[key].format(**values)

    def get(self, key: str) -> str:
        """The text of that key as written, places unfilled."""
        return self.texts[key]

    def has(self, key: str) -> bool:
        """Whether there is such a text."""
        return key in self.texts


def read_wording(documents: Mapping[str, Mapping[str, Any]], *, language: str) -> Wording:
    """Wording from parsed TOML documents by file name; nested tables become dotted keys."""
    texts: dict[str, str] = {}
    for name, document in documents.items():
        texts.update(_flatten(name, document))
    return Wording(language=language, texts=texts)


def _flatten(prefix: str, table: Mapping[str, Any]) -> dict[str, str]:
    texts: dict[str, str] = {}
    for key, value in table.items():
        texts.update(_flatten(f"{prefix}.{key}", value) if isinstance(value, dict) else {f"{prefix}.{key}": str(value)})
    return texts
