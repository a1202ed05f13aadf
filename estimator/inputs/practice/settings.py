"""The practice: its name on paper, chair cost, paper size, ways to pay, and who approved the wording."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Any

from estimator.base.fields import Fields
from estimator.base.problems import InputError, Problem
from estimator.inputs.fees.schedule import NO_TAX, FeeKind, FeeTax
from estimator.inputs.practice.chair_cost import read_chair_cost
from estimator.inputs.practice.guarantees import NO_TERMS, Terms, read_terms
from estimator.inputs.practice.logo import Logo
from estimator.inputs.practice.own_translations import OwnTranslation, Review, read_translations
from estimator.inputs.practice.working_days import CalendarSettings, read_calendar

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

    def find_review(self, language: str, fingerprint: str) -> Review | None:
        """The review of a translation, while its texts are those that were reviewed."""
        reviews = (own.review for own in self.translations if own.language == language)
        return next((review for review in reviews if review and review.fingerprint == fingerprint), None)

    def find_words(self, language: str) -> dict[str, str]:
        """The practice's own words in a language, by what they say in English."""
        return {english: said for own in self.translations if own.language == language for english, said in own.words}


def read_settings(
    document: Mapping[str, Any], *, file: str, locales: tuple[str, ...], languages: tuple[str, ...] = ("en",)
) -> Settings:
    """Settings from a parsed TOML document; everything is optional. Raises InputError with every problem."""
    problems: list[Problem] = []
    fields = Fields(document, file=file, place="", problems=problems)
    empty = Fields({}, file=file, place="", problems=problems)
    practice, paper = fields.read_table("practice") or empty, fields.read_table("paper") or empty
    cost, quote = fields.read_table("cost") or empty, fields.read_table("quote") or empty
    wording, parts = fields.read_table("wording") or empty, fields.read_table("parts") or empty
    tax = fields.read_table("tax") or empty
    line = "one line of at most 120 characters"
    locale = practice.read_line("locale", expected="a locale, such as en_US") or "en_US"
    if locale not in locales:
        practice.add_problem("locale", f"one of {', '.join(locales)}")
    language = practice.read_line("language", expected="a language, such as en") or "en"
    if language not in languages:
        practice.add_problem("language", f"one of {', '.join(languages)}")
    settings = Settings(
        practice_name=practice.read_line("name", expected=line),
        phone=practice.read_line("phone", expected=line),
        locale=locale,
        language=language,
        paper=paper.read_choice("size", Paper, default=Paper.LETTER),
        chair_cost_per_hour=read_chair_cost(cost),
        laboratory_remakes=_read_share(cost, "laboratory_remakes", Decimal("0.5")),
        tax=_read_tax(tax),
        pay_at=quote.read_texts("pay_at"),
        not_included=quote.read_texts("not_included"),
        approved_by=wording.read_line("approved_by", expected=line),
        approved_on=wording.read_date("approved_on"),
        approved_text=wording.read_line("approved_text", expected="the mark of the words that were approved"),
        terms=read_terms(fields),
        abutment_heights_mm=parts.read_lengths("abutment_heights_mm", 0, 15, example="[1, 2, 3, 4, 5, 6]"),
        calendar=read_calendar(fields.read_table("calendar") or empty),
        translations=read_translations(fields, languages),
        address=practice.read_line("address", expected=line),
        emergency_phone=practice.read_line("emergency_phone", expected=line),
        logo_file=_read_logo_file(practice),
    )
    for table in (practice, paper, cost, quote, wording, parts, tax, fields):
        table.refuse_others()
    if problems:
        raise InputError(problems)
    return settings


def _read_logo_file(practice: Fields) -> str:
    """The name of a file in the practice folder, with / between folders, never a way out of it."""
    expected = "a PNG file in the practice folder, such as logo.png"
    name = practice.read_line("logo", expected=expected)
    if name and (not name.lower().endswith(".png") or _LEADS_OUT.search(name)):
        practice.add_problem("logo", expected)
        return ""
    return name


def _read_tax(tax: Fields) -> FeeTax:
    """A rate by kind of fee line, and the reason that is printed where there is none."""
    rates = ((kind, _read_share(tax, kind.value, Decimal(1))) for kind in FeeKind)
    reason = tax.read_line("reason", expected="why there is no tax, in one line of at most 120 characters")
    return FeeTax(rates=tuple((kind, rate) for kind, rate in rates if rate), reason=reason)


def _read_share(table: Fields, name: str, most: Decimal) -> Decimal:
    what = f"a share from 0 to {most}, 0.08 for 8 %"
    return table.read_decimal(name, 0, most, what=what, example="0.08") or Decimal(0)
