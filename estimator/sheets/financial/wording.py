"""Words of a paper about money: amounts with all their decimals, long days, and whose day and number it has."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from estimator.base.formats import format_amount, format_day, format_number, name_currency
from estimator.base.money import MINOR_UNITS
from estimator.estimate.clearance.cautions import Caution
from estimator.estimate.clearance.verdict import Verdict
from estimator.proposal.numbering import PaperNumber
from estimator.proposal.states import list_doubts
from estimator.sheets.base.blocks import Text
from estimator.sheets.base.context import SheetJob
from estimator.sheets.base.financial_inputs import NO_PAPERS, QuotePapers
from estimator.sheets.base.layout import FamilyWords
from estimator.sheets.base.prose import list_words

_LINE_SIGNS, _GAP_SIGNS, _LEAST_SIGNS = 68, 1.5, 17
"""Signs on a line of a small table, between two columns, and for the first column at least."""
DASH = "\N{EN DASH}"
"""What stands where there is nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperWords(FamilyWords):
    """Words of one family with amounts of one currency."""

    currency: str

    @property
    def papers(self) -> QuotePapers:
        """What the paper is printed from."""
        return self.job.papers or NO_PAPERS

    @property
    def currency_name(self) -> str:
        """The currency as said of many."""
        return name_currency(self.currency, self.job.locale)

    @property
    def currency_title(self) -> str:
        """The currency over a column of amounts."""
        return self.currency_name[:1].upper() + self.currency_name[1:]

    def amount(self, amount: Decimal) -> str:
        """An amount in full."""
        return format_amount(amount, self.job.locale, decimals=MINOR_UNITS[self.currency])

    def amount_or_dash(self, amount: Decimal) -> str:
        """An amount in full, a dash for nothing."""
        return self.amount(amount) if amount else DASH

    def day(self, day: date) -> str:
        """A long date."""
        return format_day(day, self.job.locale)

    def percent(self, percent: Decimal) -> str:
        """A percentage with the decimals it has, its sign kept on its line."""
        return f"{format_number(percent, self.job.locale)}\N{NO-BREAK SPACE}%"

    def percent_exact(self, percent: Decimal) -> str:
        """A percentage with two decimals, as a rate is disclosed."""
        return f"{format_amount(percent, self.job.locale, decimals=2)}\N{NO-BREAK SPACE}%"

    def jaw(self, arch: str) -> str:
        """A jaw as a patient reads it."""
        return self.job.wording.get(f"words.arch.patient_{arch}")

    def jaws(self, arches: tuple[str, ...]) -> str:
        """Jaws with commas between them."""
        return list_words(tuple(self.jaw(arch) for arch in dict.fromkeys(arches)))

    def own(self, family: str) -> "PaperWords":
        """The same paper with the texts of another family."""
        return replace(self, family=family)


def open_paper(job: SheetJob, family: str, *, day: date, currency: str, number: str) -> PaperWords:
    """Words for a paper of that day and number, whenever it is printed."""
    return PaperWords(job=replace(job, day=day, number=number), family=family, currency=currency)


def open_quote_paper(job: SheetJob, family: str) -> PaperWords:
    """Words for a paper that belongs to the quote."""
    quote = (job.papers or NO_PAPERS).get_quote()
    number = quote.number or quote.reference
    return open_paper(job, family, day=quote.made_on, currency=quote.currency, number=number)


def name_paper(words: PaperWords, title: str, number: PaperNumber | None) -> str:
    """A paper by its title: with number and version once it is kept, until then with reference and mark, as a draft."""
    own, reference = words.own("quote.named"), words.job.estimate.case.reference
    if number is None:
        return own.say("case", title=title, reference=reference)
    if number.number:
        return own.say("kept", title=title, number=number.number, version=number.version)
    return own.say("draft", title=title, reference=reference, mark=number.mark)


def tell_number(words: PaperWords, number: PaperNumber, state: str = "") -> Text:
    """Number and version, and the state where one is given; of a draft its reference and mark, and that it is one."""
    own, reference = words.own("quote.named"), words.job.estimate.case.reference
    if not number.number:
        return own.mark("draft_fact", reference=reference, mark=number.mark)
    key = "number_state" if state else "number"
    return own.mark(key, number=number.number, version=number.version, state=state)


_DOUBTS = {Verdict.DOES_NOT_FIT: "room.does_not_fit", Verdict.NOT_MEASURED: "room.not_measured"}


def say_room(words: PaperWords) -> tuple[str, ...]:
    """What the check finds where it is not room to spare, a sentence a jaw; that the patient knew it was in doubt."""
    rooms, confirmed = words.papers.get_quote().rooms, words.papers.confirmed_on
    told = tuple(said for arch, verdict in rooms if (said := _say_jaw(words, arch, verdict)))
    knew = bool(list_doubts(rooms))
    return (
        (*told, words.own("quote_sheet").say("room.confirmed", day=words.day(confirmed)))
        if knew and confirmed
        else told
    )


def list_gravest(words: PaperWords) -> tuple[Caution, ...]:
    """The gravest cautions of what is chosen, those that have words for the patient."""
    offers = words.job.statement.list_decided()
    found = {one.key: one for _, offer in offers for one in offer.room.gravest if one.patient_text}
    return tuple(found.values())


def _say_jaw(words: PaperWords, arch: str, verdict: Verdict) -> str:
    """By the finding of what is told today, else, of a quote that was kept, by its verdict alone."""
    own, statement = words.own("quote_sheet"), words.job.statement
    offer = next((offer for jaw, offer in statement.list_decided() if jaw == arch), None)
    if verdict is Verdict.FITS:
        return ""
    if offer is not None and offer.room.verdict is verdict:
        return own.say("room.found", jaw=words.jaw(arch), finding=offer.room.finding)
    return own.say(_DOUBTS[verdict], jaw=words.jaw(arch)) if verdict in _DOUBTS else ""


def set_widths(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> tuple[float, ...]:
    """Shares of a small table: columns of amounts as wide as their longest cell or word, the first has the rest."""
    needed = [
        max([*(len(word) + 1 for word in title.split()), *(len(cell) for cell in cells)]) + _GAP_SIGNS
        for title, *cells in zip(head, *rows, strict=True)
    ][1:]
    return (max(_LINE_SIGNS - sum(needed), _LEAST_SIGNS), *needed)
