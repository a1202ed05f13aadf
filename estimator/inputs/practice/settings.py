"""The practice: its name on paper, chair cost, paper size, ways to pay, and who approved the wording."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Any

from estimator.base.declared import Field, FieldKind, Section, read_declared
from estimator.base.fields import Fields
from estimator.base.problems import InputError, Problem
from estimator.inputs.case.teeth import ToothNumbers
from estimator.inputs.fees.schedule import NO_TAX, FeeKind, FeeTax
from estimator.inputs.practice.chair_cost import COST, read_chair_cost
from estimator.inputs.practice.guarantees import NO_TERMS, TERMS, Terms, read_terms
from estimator.inputs.practice.logo import Logo
from estimator.inputs.practice.own_translations import TRANSLATION, OwnTranslation, Review, read_translations
from estimator.inputs.practice.working_days import CALENDAR, CalendarSettings, read_calendar

WORKING_COPY_DAYS = 30
_LONGEST_DAYS = 3650
_LEADS_OUT = re.compile(r"^/|[\\:]|(^|/)\.\.(/|$)")


class Paper(StrEnum):
    """Paper a practice prints on."""

    LETTER = "letter"
    A4 = "a4"


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """A practice's settings. Chair cost in the currency of its fees; None where the practice has not entered it.

    `language` is that of its sheets unless another is chosen.
    `laboratory_remakes` is the share of laboratory work that is made again (0.04 is 4 %), at the practice's cost.
    `approved_text` holds the mark of the words that were approved, one for each language.
    `abutment_heights_mm` are the collars it can get; empty for the range of the evidence table.
    `working_copy_days` is how long work that was not saved is found again after it was last typed at.
    `tooth_numbers` are those shown on screen and paper, `both_tooth_numbers` puts both kinds on paper.
    `emergency_phone` is answered when the practice is closed; `logo` is what the file `logo_file` holds.
    """

    practice_name: str = ""
    phone: str = ""
    locale: str = "en_US"
    language: str = "en"
    paper: Paper = Paper.LETTER
    chair_cost_per_hour: Decimal | None = None
    pay_at: tuple[str, ...] = ()
    not_included: tuple[str, ...] = ()
    approved_by: str = ""
    approved_on: date | None = None
    approved_text: str = ""
    terms: Terms = NO_TERMS
    abutment_heights_mm: tuple[Decimal, ...] = ()
    laboratory_remakes: Decimal = Decimal(0)
    tax: FeeTax = NO_TAX
    calendar: CalendarSettings = field(default_factory=CalendarSettings)
    address: str = ""
    emergency_phone: str = ""
    logo_file: str = ""
    logo: Logo | None = None
    translations: tuple[OwnTranslation, ...] = ()
    working_copy_days: int = WORKING_COPY_DAYS
    tooth_numbers: ToothNumbers = ToothNumbers.ISO
    both_tooth_numbers: bool = False

    def find_review(self, language: str, fingerprint: str) -> Review | None:
        """The review of a translation, while its texts are those that were reviewed."""
        reviews = (own.review for own in self.translations if own.language == language)
        return next((review for review in reviews if review and review.fingerprint == fingerprint), None)

    def find_words(self, language: str) -> dict[str, str]:
        """The practice's own words in a language, by what they say in English."""
        return {english: said for own in self.translations if own.language == language for english, said in own.words}


PRACTICE = Section(
    key="practice",
    help="Your practice, as it stands on paper.",
    parts=(
        Field(key="name", kind=FieldKind.LINE, label="Practice", example='"..."', attribute="practice_name"),
        Field(key="address", kind=FieldKind.LINE, label="Address", example='"..."'),
        Field(key="phone", kind=FieldKind.LINE, label="Telephone", example='"..."'),
        Field(key="emergency_phone", kind=FieldKind.LINE, label="Telephone when you are closed", example='"..."',
              help="Answered when you are closed; printed on the care sheet and the consent record."),
        Field(key="logo", kind=FieldKind.LINE, label="Logo", code="settings.logo", example='"logo.png"',
              help="A PNG file in this folder; printed small at the head of sheets.", attribute="logo_file"),
        Field(key="locale", kind=FieldKind.LINE, label="Locale", code="settings.locale", default="en_US",
              help="How numbers, money and days are written.", example='"en_US"'),
        Field(key="language", kind=FieldKind.LINE, label="Language", code="settings.language", default="en",
              help="Of the sheets, unless another is chosen: en | es", example='"en"'),
        Field(key="tooth_numbers", kind=FieldKind.CHOICE, label="Tooth numbers", choices=ToothNumbers,
              default=ToothNumbers.ISO, example='"iso"',
              help="How teeth are numbered on screen and paper: ISO 3950, or US 1 to 32. Files hold ISO 3950."),
        Field(key="both_tooth_numbers", kind=FieldKind.FLAG, label="Both tooth numbers on paper", default=False,
              help="Whether paper gives both numbers of a tooth.", example="false"),
    ),
)  # fmt: skip
_PAPER = Section(
    key="paper",
    parts=(
        Field(key="size", kind=FieldKind.CHOICE, label="Paper", help="The paper you print on.", choices=Paper,
              default=Paper.LETTER, example='"letter"', attribute="paper"),
    ),
)  # fmt: skip
_TAX = Section(
    key="tax",
    help="A share by kind of fee line, 0.08 for 8 %; none where nothing is said.",
    attribute="tax",
    parts=(
        *(
            Field(key=kind.value, kind=FieldKind.NUMBER, label=f"Tax on fees of the kind {kind}", high=1,
                  code="number.share", example="0.08", attribute=f"rates.{kind}")
            for kind in FeeKind
        ),
        Field(key="reason", kind=FieldKind.LINE, label="Reason for no tax",
              help="Why there is no tax where none is shown; printed on the sheet.",
              code="settings.no_tax", example='"..."'),
    ),
)  # fmt: skip
_PARTS = Section(
    key="parts",
    parts=(
        Field(key="abutment_heights_mm", kind=FieldKind.LENGTHS, label="Abutment heights, mm",
              help="The collars you can get; leave it out for the usual range.", high=15,
              example="[1, 2, 3, 4, 5, 6]"),
    ),
)  # fmt: skip
_QUOTE = Section(
    key="quote",
    parts=(
        Field(key="pay_at", kind=FieldKind.WORDS, label="Pay at", help="When patients pay, in equal parts.",
              example='["at the start", "at the end"]'),
        Field(key="not_included", kind=FieldKind.WORDS, label="Not included", example='["sedation"]',
              help="What your prices do not include."),
    ),
)  # fmt: skip
WORDING = Section(
    key="wording",
    help='Who approved the words on your sheets; until then every sheet says "sample wording".',
    parts=(
        Field(key="approved_by", kind=FieldKind.LINE, label="Name of who approves them", example='"A. Example"',
              help="Who approved them."),
        Field(key="approved_on", kind=FieldKind.DAY, label="Approved on", help="When.", example="2026-11-25"),
        Field(key="approved_text", kind=FieldKind.LINE, label="Mark of the words",
              help='The mark that "estimator wording" tells; the approval lapses when a word changes.',
              code="settings.approved_text", example='"0123abcd"'),
    ),
)  # fmt: skip
_RECORDS = Section(
    key="records",
    parts=(
        Field(key="working_copy_days", kind=FieldKind.WHOLE, label="Days that unsaved work is kept", low=1,
              high=_LONGEST_DAYS, default=WORKING_COPY_DAYS, example="30",
              help="How many days work that was not saved is found again after it was last typed at."),
    ),
)  # fmt: skip
SETTINGS = Section(
    parts=(PRACTICE, _PAPER, COST, _TAX, _PARTS, CALENDAR, _QUOTE, TERMS, WORDING, TRANSLATION, _RECORDS)
)
"""Everything that settings.toml may hold."""
_FLAT = (PRACTICE, _PAPER, _TAX, _PARTS, _QUOTE, WORDING, _RECORDS)


def read_settings(
    document: Mapping[str, Any], *, file: str, locales: tuple[str, ...], languages: tuple[str, ...] = ("en",)
) -> Settings:
    """Settings from a parsed TOML document; everything is optional. Raises InputError with every problem."""
    problems: list[Problem] = []
    fields = Fields(document, file=file, problems=problems)
    empty = Fields({}, file=file, problems=problems)
    tables = {section.key: fields.read_table(section.key) or empty for section in (*_FLAT, COST)}
    practice, paper, tax, parts, quote, wording, records = (
        read_declared(tables[section.key], section) for section in _FLAT
    )
    chair_cost, remakes = read_chair_cost(tables["cost"])
    _check_known(tables["practice"], practice, "locale", locales)
    _check_known(tables["practice"], practice, "language", languages)
    settings = Settings(
        practice_name=practice["name"],
        address=practice["address"],
        phone=practice["phone"],
        emergency_phone=practice["emergency_phone"],
        logo_file=_check_logo_file(tables["practice"], practice["logo"]),
        locale=practice["locale"] or "en_US",
        language=practice["language"] or "en",
        **{name: practice[name] for name in ("tooth_numbers", "both_tooth_numbers")},
        paper=paper["size"],
        chair_cost_per_hour=chair_cost,
        laboratory_remakes=remakes,
        tax=FeeTax(rates=tuple((kind, tax[kind]) for kind in FeeKind if tax[kind]), reason=tax["reason"]),
        **parts,
        calendar=read_calendar(fields.read_table("calendar") or empty),
        **quote,
        terms=read_terms(fields),
        **wording,
        translations=read_translations(fields, languages),
        working_copy_days=records["working_copy_days"],
    )
    for table in (*tables.values(), fields):
        table.refuse_others()
    if problems:
        raise InputError(problems)
    return settings


def _check_known(practice: Fields, said: Mapping[str, Any], name: str, known: tuple[str, ...]) -> None:
    if said[name] and said[name] not in known:
        practice.add_problem(name, "known", known=known)


def _check_logo_file(practice: Fields, name: str) -> str:
    """The name of a file in the practice folder, with / between folders, never a way out of it."""
    if name and (not name.lower().endswith(".png") or _LEADS_OUT.search(name)):
        practice.add_problem("logo", "settings.logo")
        return ""
    return name
