"""Wording: the words of sheets, pictures and findings in one language, as data."""

import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from estimator.base.formats import find_plural

SOURCE_LANGUAGE = "en"
"""The language that everything is written in first."""
PLURAL_FORMS = ("zero", "one", "two", "few", "many", "other")
"""As Unicode names them (CLDR)."""
_PLACE = re.compile(r"\\{(\w+)\\}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wording:
    """Texts by key, such as option_sheet.title; {places} are filled, **stars** mark bold on a sheet.

    A translation has `names`: the texts of data files (options, cautions, figures) by what they say in English, so that
    a changed original is no longer taken for the same. What it lacks of a key is English, and listed in `borrowed`. Its
    `fingerprint` changes with any text of it and of the English it was made from; empty for English itself.
    `syllables` are those of words that the rules for the language count wrong.
    """

    language: str
    texts: Mapping[str, str]
    names: Mapping[str, str] | None = None
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

    def translate(self, text: str) -> str | None:
        """What a text of a data file is in this language; None where it is not translated."""
        if self.names is None or not text:
            return text
        return self.names.get(text)

    def translate_filled(self, text: str) -> str | None:
        """As `translate`, also for a text whose places have been filled in already."""
        said = self.translate(text)
        if said is not None or self.names is None:
            return said
        for english, own in self.names.items():
            if "{" in english and (found := _match(english, text)) is not None:
                return own.format(**found)
        return None


def _match(template: str, text: str) -> dict[str, str] | None:
    """What fills the places of a template in a text; None where it is another text."""
    found = re.fullmatch(_PLACE.sub(r"(?P<\1>.*)", re.escape(template)), text)
    return found.groupdict() if found else None


def read_wording(documents: Mapping[str, Mapping[str, Any]], *, language: str) -> Wording:
    """Wording from parsed TOML documents by file name; nested tables become dotted keys."""
    texts: dict[str, str] = {}
    for name, document in documents.items():
        texts.update(_flatten(name, document))
    return Wording(language=language, texts=texts)


def read_translation(
    documents: Mapping[str, Mapping[str, Any]], names: Mapping[str, str], *, language: str, english: Wording
) -> Wording:
    """A translation from parsed TOML documents by file name and texts of data files, over the English wording."""
    own = read_wording(documents, language=language).texts
    made_from = {key: (english.texts.get(key, ""), text) for key, text in own.items()}
    return Wording(
        language=language,
        texts={**english.texts, **own},
        names=names,
        borrowed=frozenset(english.texts) - frozenset(own),
        fingerprint=take_fingerprint([made_from, dict(names)]),
    )


def take_fingerprint(texts: object) -> str:
    """Eight signs that change when any of the texts does."""
    whole = json.dumps(texts, ensure_ascii=False, sort_keys=True)
    return hashlib.sha256(whole.encode("utf-8")).hexdigest()[:8]


def _flatten(prefix: str, table: Mapping[str, Any]) -> dict[str, str]:
    texts: dict[str, str] = {}
    for key, value in table.items():
        texts.update(_flatten(f"{prefix}.{key}", value) if isinstance(value, dict) else {f"{prefix}.{key}": str(value)})
    return texts
