"""What the options of one or two jaws cost: their lines, the terms that fit them, the quote, and the price in it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from estimator.base.problems import InputError, Problem
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate
from estimator.inputs.fees.schedule import count_tax
from estimator.inputs.payment.jurisdiction import Profile
from estimator.inputs.payment.model import HUNDRED, Adjustment, PaymentTerms
from estimator.inputs.practice_bundle import Practice
from estimator.proposal.statement import Chosen, Price
from estimator.quote.discounts import apply_adjustments
from estimator.quote.lines import QuoteLine, join_lines, list_jaw_lines
from estimator.quote.quote import CountedAnswer, LineHelp, Quote, QuoteHeading, group_lines, make_quote

Pick = tuple[JawEstimate, Estimate]
"""An option in its jaw."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pricing:
    """What every price of a case is worked out with: the practice's profile settled on its fees, the terms, the day.

    `lines` are those of each option in its jaw; where the place wants one amount, with the middle of a range.
    """

    estimate: CaseEstimate
    profile: Profile
    terms: PaymentTerms
    today: date
    lines: Mapping[Chosen, tuple[QuoteLine, ...]]

    def list_lines(self, picks: Iterable[Pick]) -> tuple[QuoteLine, ...]:
        """The lines of these options, what is charged once a case once."""
        return join_lines(self.lines[jaw.jaw.arch, made.key] for jaw, made in picks)

    def make_quote(
        self,
        picks: Sequence[Pick],
        terms: PaymentTerms,
        *,
        benefits: Iterable[LineHelp] = (),
        answered: CountedAnswer | None = None,
    ) -> Quote:
        """The quote of these options. Raises InputError where its parts do not go together."""
        case, practice = self.estimate.case, self.estimate.practice
        heading = QuoteHeading(
            reference=case.reference,
            made_by="",
            made_on=self.today,
            price_date=practice.fees.price_date,
            creditor=practice.settings.practice_name,
            options=tuple((jaw.jaw.arch.value, made.patient_name) for jaw, made in picks),
            rooms=tuple((jaw.jaw.arch.value, made.clearance.verdict) for jaw, made in picks),
        )
        lines = self.list_lines(picks)
        return make_quote(heading, lines, terms, self.profile, benefits=benefits, answered=answered)

    def make_price(self, picks: Sequence[Pick]) -> Price:
        """The price of these options; without discounts and ways to pay where those do not go with it."""
        terms, _ = fit_terms(self.terms, self.list_lines(picks))
        try:
            quote = self.make_quote(picks, terms)
        except InputError:
            terms = PaymentTerms()
            quote = self.make_quote(picks, terms)
        return self.sum_up(quote, picks, terms)

    def sum_up(self, quote: Quote, picks: Sequence[Pick], terms: PaymentTerms) -> Price:
        """The price that a quote of these options holds."""
        return Price(
            lines=quote.lines,
            adjusted=quote.adjusted,
            by_kind=tuple((group.kind, group.total) for group in group_lines(quote.lines)),
            total=quote.total,
            tax=quote.tax,
            write_off=quote.write_off,
            plan_pays=quote.plan_pays,
            left=quote.left,
            at_most=quote.at_most,
            ways=quote.ways,
            tax_reasons=quote.tax_reasons,
            ends=self._find_ends(quote, terms),
            middle=not self.profile.ranges and any(made.fees.total_range is not None for _, made in picks),
        )

    def _find_ends(self, quote: Quote, terms: PaymentTerms) -> tuple[Decimal, Decimal] | None:
        """The total with every range at its low and at its high, discounts and tax worked out on that."""
        lines = [one.line for one in quote.lines]
        if all(line.amount_to is None for line in lines):
            return None
        low = [line.amount if line.amount_from is None else line.amount_from for line in lines]
        high = [line.amount if line.amount_to is None else line.amount_to for line in lines]
        ends = (sum(self.charge(lines, amounts, terms), Decimal(0)) for amounts in (low, high))
        return next(ends), next(ends)

    def charge(self, lines: Sequence[QuoteLine], amounts: Sequence[Decimal], terms: PaymentTerms) -> list[Decimal]:
        """What each line comes to at such an amount, after discounts, with tax. Raises as discounts do."""
        quantum = self.estimate.practice.fees.quantum
        adjusted = apply_adjustments([line.key for line in lines], amounts, terms.adjustments, quantum)
        nets = [(line.kind, net) for line, net in zip(lines, adjusted.after, strict=True)]
        taxes = count_tax(nets, lambda kind: self.profile.find_tax(kind).percent / HUNDRED, quantum)
        return [net + tax for net, tax in zip(adjusted.after, taxes, strict=True)]

    def charge_or_list(self, lines: Sequence[QuoteLine]) -> list[Decimal]:
        """What each line comes to by the terms that fit; without discounts where those are more than the price."""
        amounts = [line.amount for line in lines]
        try:
            return self.charge(lines, amounts, fit_terms(self.terms, lines)[0])
        except InputError:
            return self.charge(lines, amounts, PaymentTerms())


def start_pricing(estimate: CaseEstimate, profile: Profile, terms: PaymentTerms, today: date) -> Pricing:
    """Pricing of a case, with the lines of every option."""
    fees = estimate.practice.fees
    lines = {
        (jaw.jaw.arch, made.key): list_jaw_lines(jaw.jaw.arch, made.fees, fees)
        for jaw in estimate.jaws
        for made in jaw.estimates
    }
    if not profile.ranges:
        lines = {place: tuple(map(_take_middle, mine)) for place, mine in lines.items()}
    return Pricing(estimate=estimate, profile=profile, terms=terms, today=today, lines=lines)


def _take_middle(line: QuoteLine) -> QuoteLine:
    return line if line.amount_to is None else replace(line, amount_from=None, amount_to=None)


def settle_profile(practice: Practice) -> tuple[Profile, tuple[Problem, ...]]:
    """The practice's profile in the currency of its fees; one of another currency is a problem of every quote."""
    try:
        return practice.profile.settle_fees(practice.fees), ()
    except InputError as error:
        return replace(practice.profile, currency="").settle_fees(practice.fees), error.problems


def fit_terms(terms: PaymentTerms, lines: Iterable[QuoteLine]) -> tuple[PaymentTerms, tuple[Adjustment, ...]]:
    """The terms without discounts of lines that are not there, and those discounts: another option may have them."""
    if not terms.adjustments:
        return terms, ()
    keys = {line.key for line in lines}
    fitting, left_out = [], []
    for one in terms.adjustments:
        mine = tuple(key for key in one.lines if key in keys)
        if one.lines and not mine:
            left_out.append(one)
        else:
            fitting.append(replace(one, lines=mine))
    return replace(terms, adjustments=tuple(fitting)), tuple(left_out)
