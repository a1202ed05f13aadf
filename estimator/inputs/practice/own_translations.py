"""Translations at a practice: who checked one, seeing which texts, and its own words in another language."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from estimator.base.declared import Field, FieldKind, Section, read_declared
from estimator.base.fields import Fields


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


_WORD = Field(
    key="words", kind=FieldKind.LINE, label="In this language", longest=300, required=True,
    code="translation.word", example='"sedation" = "la sedación"',
)  # fmt: skip
TRANSLATION = Section(
    key="translation",
    names="language",
    example="es",
    attribute="translations",
    help="Who checked a translation; until then every sheet in that language says that it is not reviewed.",
    parts=(
        Field(key="reviewed_by", kind=FieldKind.LINE, label="Reviewed by", help="Who checked it; nobody without it.",
              code="translation.reviewed_by", example='"A. Example"', attribute="review.reviewed_by"),
        Field(key="qualification", kind=FieldKind.LINE, label="Qualification",
              help="What makes them a qualified translator.",
              code="translation.qualification", example='"certified medical translator"',
              attribute="review.qualification"),
        Field(key="reviewed_on", kind=FieldKind.DAY, label="Reviewed on", help="The day of the review.",
              example="2026-11-25", attribute="review.reviewed_on"),
        Field(key="texts", kind=FieldKind.LINE, label="Texts reviewed",
              help="The signs that the Sheets page shows for the texts; any change of them ends the review.",
              code="translation.texts", example='"0a1b2c3d"', attribute="review.fingerprint"),
        Section(
            key="words",
            help="Your own words in that language: parts to pay, what is not included, fee lines, names of options.",
            names="English",
            attribute="words",
            each=_WORD,
        ),
    ),
)  # fmt: skip
"""The tables [translation.es] and so on of the settings."""


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
        yield english, table.read_line(english, code=_WORD.code, required=True, longest=_WORD.longest)


def _read_review(table: Fields) -> Review | None:
    """A review; None where nobody is named."""
    said = read_declared(table, TRANSLATION)
    who, day, texts = said["reviewed_by"], said["reviewed_on"], said["texts"]
    if not who:
        return None
    if day is None:
        table.add_problem("reviewed_on", "translation.reviewed_on")
        return None
    if not texts:
        table.add_problem("texts", "translation.texts")
    return Review(reviewed_by=who, qualification=said["qualification"], reviewed_on=day, fingerprint=texts)
