"""SheetJob: what a sheet is written from, and how its texts and numbers are said."""

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from estimator.base.formats import find_locale, format_amount
from estimator.estimate.compare import ComparisonRow, list_rows
from estimator.estimate.result import CaseEstimate, JawEstimate
from estimator.inputs.reference.wording import Wording
from estimator.pictures.base.rows import Sizes
from estimator.pictures.options.option_rows import RowWriter
from estimator.proposal.offers import state_rows
from estimator.proposal.statement import JawStatement, Offer, Statement
from estimator.proposal.usual import settle_usual
from estimator.sheets.base.blocks import Text
from estimator.sheets.base.financial_inputs import QuotePapers
from estimator.sheets.base.prose import mark_up
from estimator.sheets.base.wording_approval import Approval

_POINTS_PER_MM = 72 / 25.4


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetJob:
    """What a sheet is written from. `text_width_mm` is the width between the margins of the paper in use.

    `chosen` is the key of the option agreed on, empty while all are open. `approval` is that of the words in use.
    `papers` are what sheets about money are printed from.
    `statement` is what is told, by default of the usual proposal for the option agreed on; no sheet works out a number.
    `left_in_english` are texts that have no translation; `small` and `body` are the type sizes of the edition [pt];
    one that `runs_on` begins no page anew, because its pages would be left half empty.
    """

    estimate: CaseEstimate
    jaw: JawEstimate
    wording: Wording
    day: date
    text_width_mm: float
    number: str
    chosen: str = ""
    approval: Approval = Approval.NONE
    papers: QuotePapers | None = None
    left_in_english: tuple[str, ...] = ()
    small: float = 12
    body: float = 14
    runs_on: bool = False
    statement: Statement = field(default=None)  # type: ignore[assignment]  # filled below where none is given

    def __post_init__(self) -> None:
        if self.statement is None:
            object.__setattr__(
                self, "statement", settle_usual(self.estimate, self.chosen, self.wording, today=self.day)
            )

    @property
    def stated(self) -> JawStatement:
        """What is told of this jaw."""
        return self.statement.find_jaw(self.jaw.jaw.arch)

    def find_offer(self, key: str) -> Offer:
        """What is told of an option that applies in this jaw."""
        return next(offer for offer in self.stated.offers if offer.key == key)

    def say(self, key: str, **values: object) -> str:
        """A text of the option sheet, plain."""
        return self.wording.say(f"option_sheet.{key}", **values)

    def mark(self, key: str, **values: object) -> Text:
        """A text of the option sheet, with its bold parts."""
        return mark_up(self.wording.get(f"option_sheet.{key}"), **values)

    def say_count(self, key: str, number: int | Decimal, **values: object) -> str:
        """A text in the form that a number takes, plain."""
        return self.wording.say(self.wording.choose_plural(f"option_sheet.{key}", number), **values)

    def mark_count(self, key: str, number: int, **values: object) -> Text:
        """A text in the form that a number takes; {count}, where it is there, is the number in words."""
        chosen = self.wording.choose_plural(f"option_sheet.{key}", number)
        return mark_up(self.wording.get(chosen), **{"count": self.count(number), **values})

    @property
    def locale(self) -> str:
        """The sheet's language in the practice's region."""
        return find_locale(self.wording.language, self.estimate.practice.settings.locale)

    @property
    def jaw_name(self) -> str:
        """Lower jaw or upper jaw."""
        return self.wording.get(f"words.arch.patient_{self.jaw.jaw.arch}")

    @property
    def writer(self) -> RowWriter:
        """Findings in the patient's words."""
        return RowWriter(self.wording, patient=True, locale=self.locale, step=self.statement.step)

    @property
    def rows(self) -> tuple[ComparisonRow, ...]:
        """All options, at the prices that are told, and no treatment now."""
        words = self.wording
        names = (words.get("words.no_treatment.office"), words.get("words.no_treatment.patient"))
        return state_rows(list_rows(self.jaw, no_treatment=names), self.stated)

    @property
    def sizes(self) -> Sizes:
        """Sizes of pictures on paper: those of the text."""
        return Sizes(
            small=self.small, body=self.body, bar=self.body, wide=True, width=self.text_width_mm * _POINTS_PER_MM
        )

    def money(self, amount: Decimal, *, exact: bool = False) -> str:
        """An amount: rounded where it is an estimate, in full where it is a price."""
        decimals = -int(self.estimate.practice.fees.quantum.as_tuple().exponent) if exact else 0
        return format_amount(amount, self.locale, decimals=decimals)

    def count(self, number: int) -> str:
        """A small number in words."""
        key = f"option_sheet.numbers.{number}"
        return self.wording.get(key) if self.wording.has(key) else str(number)
