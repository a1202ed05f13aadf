"""Texts that a law asks for, in our own plain words: each with its source, its day and who reviewed it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from estimator.base.declared import Field, FieldKind, Section, read_declared
from estimator.base.evidence import HowSure
from estimator.base.fields import Fields
from estimator.base.problems import InputError, Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class LegalText:
    """A text as printed; `stated_on` is the day of the rule it was written from. Not legal advice until reviewed.

    `values` are what its places have been filled with, by name.
    """

    key: str
    text: str
    source: str
    how_sure: HowSure
    stated_on: date | None = None
    reviewed_by: str = ""
    reviewed_on: date | None = None
    # How to say it in another language: no content of its own, so that a text kept before it was noted is the same.
    values: tuple[tuple[str, str], ...] = field(default=(), compare=False)

    @property
    def reviewed(self) -> bool:
        """Whether somebody has put a name and a day under it."""
        return bool(self.reviewed_by and self.reviewed_on)


LEGAL_TEXTS = Section(
    key="texts",
    help="Your own words, printed as they stand; one of the same key as a shipped one takes its place.",
    repeated=True,
    attribute="texts",
    parts=(
        Field(key="key", kind=FieldKind.KEY, label="Key", required=True, example='"treatment_stops"',
              help="What it is about: treatment_stops, implant_fails, late_payment, paying_early."),
        Field(key="text", kind=FieldKind.LINE, label="Text", help="What is printed.", code="legal.text",
              required=True, longest=700, example='"You pay for what was done until then."'),
        Field(key="source", kind=FieldKind.LINE, label="Source", help="The rule, or whose wording it is.",
              code="legal.source", required=True, longest=300, example='"our practice"'),
        Field(key="how_sure", kind=FieldKind.CHOICE, label="How sure", help="How sure it is.", choices=HowSure,
              required=True, example='"own"'),
        Field(key="stated_on", kind=FieldKind.DAY, label="Stated on", example="2026-11-25",
              help="The day of the rule it was written from."),
        Field(key="reviewed_by", kind=FieldKind.LINE, label="Reviewed by", code="line.somebody",
              help="Who reviewed it; not legal advice until then.", example='"A. Example"'),
        Field(key="reviewed_on", kind=FieldKind.DAY, label="Reviewed on", help="The day of the review.",
              example="2026-11-25"),
    ),
)  # fmt: skip
"""The tables [[texts]] of a profile and of the texts that ship."""


def read_legal_texts(document: Mapping[str, Any], *, file: str) -> tuple[LegalText, ...]:
    """Texts from a parsed TOML document. Raises InputError with every problem."""
    problems: list[Problem] = []
    fields = Fields(document, file=file, problems=problems)
    texts = read_legal_tables(fields, "texts")
    fields.refuse_others()
    if problems:
        raise InputError(problems)
    return texts


def read_legal_tables(fields: Fields, name: str) -> tuple[LegalText, ...]:
    """Texts from the tables of that name; problems are noted in the fields."""
    return tuple(_read_legal_text(table) for table in fields.read_tables(name))


def _read_legal_text(table: Fields) -> LegalText:
    text = LegalText(**read_declared(table, LEGAL_TEXTS))
    if bool(text.reviewed_by) != bool(text.reviewed_on):
        table.add_problem("reviewed_by", "legal.reviewed")
    table.refuse_others()
    return text
