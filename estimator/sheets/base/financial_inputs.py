"""What papers about money are printed from: a quote, benefit estimates, a self-pay estimate, as they were made."""

from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from estimator.base.problems import Problem
from estimator.inputs.payment.model import PayInFull
from estimator.proposal.numbering import PaperNumber, number_quote, number_self_pay
from estimator.quote.benefits.phasing import PhaseComparison
from estimator.quote.payment.plans import PlannedWay
from estimator.quote.quote import Quote
from estimator.quote.self_pay.good_faith_estimate import SelfPayEstimate


class Need(StrEnum):
    """What a sheet cannot be made without, besides the case; such a sheet is about the whole case, not about a jaw."""

    QUOTE = "quote"
    PAYMENTS = "payments"
    BENEFITS = "benefits"
    LETTER = "letter"
    SELF_PAY = "self_pay"


@dataclass(frozen=True, slots=True, kw_only=True)
class QuotePapers:
    """One version of a quote and what belongs to it; nothing of it is worked out anew, so it prints the same for ever.

    `benefit_title` is what the profile calls a benefit estimate, empty for the usual words. `letter_to` is the number
    of the plan, over all estimates, that a letter goes to. `confirmed_on` is the day on which the quote was agreed
    although its room was in doubt. `quote_number` and `self_pay_number` are those of the papers as they were made,
    where they are printed in another language; without them the papers tell their own.
    """

    quote: Quote | None = None
    benefits: tuple[PhaseComparison, ...] = ()
    self_pay: SelfPayEstimate | None = None
    benefit_title: str = ""
    letter_to: int = 0
    confirmed_on: date | None = None
    quote_number: PaperNumber | None = None
    self_pay_number: PaperNumber | None = None

    def get_quote(self) -> Quote:
        """The quote; `find_lack` has found that it is there."""
        if self.quote is None:
            raise ValueError("'papers' must have a quote (got None)")
        return self.quote

    def get_self_pay(self) -> SelfPayEstimate:
        """The self-pay estimate; `find_lack` has found that it is there."""
        if self.self_pay is None:
            raise ValueError("'papers' must have a self-pay estimate (got None)")
        return self.self_pay

    def get_quote_number(self) -> PaperNumber | None:
        """What tells the quote from others; None where there is no quote."""
        return self.quote_number or (number_quote(self.quote) if self.quote is not None else None)

    def get_self_pay_number(self) -> PaperNumber | None:
        """What tells the self-pay estimate from others; None where there is none."""
        return self.self_pay_number or (number_self_pay(self.self_pay) if self.self_pay is not None else None)


NO_PAPERS = QuotePapers()


def list_paid_later(quote: Quote) -> tuple[PlannedWay, ...]:
    """The ways whose payments are spread out: those that a payment plan is about."""
    return tuple(one for one in quote.ways if one.payments and not isinstance(one.way, PayInFull))


def find_lack(need: Need, papers: QuotePapers, *, title: str) -> Problem | None:
    """What a sheet of that title lacks, and where it is made; None where it can be made."""
    has = {
        Need.QUOTE: papers.quote is not None,
        Need.PAYMENTS: papers.quote is not None and bool(list_paid_later(papers.quote)),
        Need.BENEFITS: bool(papers.benefits),
        Need.LETTER: bool(papers.benefits),
        Need.SELF_PAY: papers.self_pay is not None,
    }
    if has[need]:
        return None
    missing = Need.QUOTE if need is Need.PAYMENTS and papers.quote is None else need
    return Problem(file=title, code=f"sheet.{missing}")


def split_papers(need: Need, papers: QuotePapers) -> tuple[QuotePapers, ...]:
    """The papers of each file: a letter for each plan, one file of anything else."""
    if need is not Need.LETTER:
        return (papers,)
    plans = sum(len(one.as_planned.plans) for one in papers.benefits)
    return tuple(replace(papers, letter_to=number) for number in range(plans))
