"""Translations at a practice: who checked one, seeing which texts, and its own words in another language."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from estimator.base.fields import Fields

_SIGNS = "the eight signs that the Sheets page shows for these texts"


@dataclass(frozen=True, slots=True, kw_only=True)
class Review:
    """A qualified human translator's yes to the texts of one language.

    It lapses with any change of them, which `fingerprint` tells.
    """

    reviewed_by: str
    qualification: str
    reviewed_on: date
    fingerprint: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnTranslation:
    """What a practice adds to one language: a review, and words of its own by what they say in English."""

    language: str
    review: Review | None = None
    words: tuple[tuple[str, str], ...] = ()


def read_translations(fields: Fields, languages: tuple[str, ...]) -> tuple[OwnTranslation, ...]:
    """The tables translation.es and so on of a practice's settings."""
    tables = fields.read_table("translation")
    if tables is None:
        return ()
    found = tuple(_read_all(tables, languages))
    tables.refuse_others()
    return found


def _read_all(tables: Fields, languages: tuple[str, ...]) -> Iterator[OwnTranslation]:
    for language in languages:
        table = tables.read_table(language)
        if table is not None:
            words = table.read_table("words")
            said = tuple(_read_words(words)) if words is not None else ()
            yield OwnTranslation(language=language, review=_read_review(table), words=said)
            table.refuse_others()


def _read_words(table: Fields) -> Iterator[tuple[str, str]]:
    for english in table.table:
        yield english, table.read_line(english, expected="what it is in this language", required=True, longest=300)


def _read_review(table: Fields) -> Review | None:
    """A review; None where nobody is named."""
    who = table.read_line("reviewed_by", expected="who checked the translation")
    qualification = table.read_line("qualification", expected="what makes them a qualified translator")
    day = table.read_date("reviewed_on")
    texts = table.read_line("texts", expected=_SIGNS)
    if not who:
        return None
    if day is None:
        table.add_problem("reviewed_on", "the day of the review, such as 2026-11-25")
        return None
    if not texts:
        table.add_problem("texts", _SIGNS)
    return Review(reviewed_by=who, qualification=qualification, reviewed_on=day, fingerprint=texts)
