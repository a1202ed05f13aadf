"""Wording: the words of sheets, pictures and findings in one language, as data."""

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from estimator.base.formats import find_plural

SOURCE_LANGUAGE = "en"
"""The language that everything is written in first."""
PLURAL_FORMS = ("zero", "one", "two", "few", "many", "other")
"""As Unicode names them (CLDR)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TranslatedName:
    """A text of a data file: the English that it ships with, and what it is in the language."""

    english: str
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Wording:
    """Texts by key, such as option_sheet.title; {places} are filled, **stars** mark bold on a sheet.

    A translation has `names`: the texts of data files (options, cautions, figures) by key, such as
    option.connecting_bar.patient_name. What it lacks of a key is English, and listed in `borrowed`. Its `fingerprint`
    changes with any text of it and of the English it was made from; empty for English itself.
    `syllables` are those of words that the rules for the language count wrong.
    """

    language: str
    texts: Mapping[str, str]
    names: Mapping[str, TranslatedName] | None = None
    borrowed: frozenset[str] = frozenset()
    fingerprint: str = ""
    syllables: Mapping[str, int] = field(default_factory=dict)

    @property
    def is_translation(self) -> bool:
        """Whether data files speak another language than this."""
        return self.names is not None

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

    def list_forms(self, key: str) -> tuple[str, ...]:
        """The text of that key, or all its forms for numbers where it has several."""
        forms = (key, *(f"{key}_{form}" for form in PLURAL_FORMS))
        return tuple(self.texts[form] for form in forms if form in self.texts)

    def choose_plural(self, key: str, number: int | Decimal) -> str:
        """The key of the form that a number takes in this language, such as weeks_one; else weeks_other."""
        form = f"{key}_{find_plural(number, self.language)}"
        return form if form in self.texts else f"{key}_other"

    def find_names(self, key: str) -> Iterator[TranslatedName]:
        """The texts of data files of that key; of a part of a key, such as title.self_pay, all that it begins."""
        names = self.names or {}
        if key in names:
            yield names[key]
        else:
            yield from (name for found, name in names.items() if found.startswith(f"{key}."))


def read_wording(documents: Mapping[str, Mapping[str, Any]], *, language: str) -> Wording:
    """Wording from parsed TOML documents by file name; nested tables become dotted keys."""
    texts: dict[str, str] = {}
    for name, document in documents.items():
        texts.update(_flatten(name, document))
    return Wording(language=language, texts=texts)


def read_translation(
    documents: Mapping[str, Mapping[str, Any]],
    names: Mapping[str, Any],
    *,
    language: str,
    english: Wording,
    shipped: Mapping[str, str],
) -> Wording:
    """A translation from parsed TOML documents by file name, over the English wording.

    `names` are the texts of data files by key, in nested tables; `shipped` is the English of those that there are.
    """
    own = read_wording(documents, language=language).texts
    made_from = {key: (english.texts.get(key, ""), text) for key, text in own.items()}
    said = _flatten("", names)
    known = {key: TranslatedName(english=shipped[key], said=text) for key, text in said.items() if key in shipped}
    return Wording(
        language=language,
        texts={**english.texts, **own},
        names=known,
        borrowed=frozenset(english.texts) - frozenset(own),
        fingerprint=take_fingerprint([made_from, {key: (one.english, one.said) for key, one in known.items()}]),
    )


def take_fingerprint(texts: object) -> str:
    """Eight signs that change when any of the texts does."""
    whole = json.dumps(texts, ensure_ascii=False, sort_keys=True)
    return hashlib.sha256(whole.encode("utf-8")).hexdigest()[:8]


def _flatten(prefix: str, table: Mapping[str, Any]) -> dict[str, str]:
    texts: dict[str, str] = {}
    for name, value in table.items():
        key = f"{prefix}.{name}" if prefix else name
        texts.update(_flatten(key, value) if isinstance(value, dict) else {key: str(value)})
    return texts
