"""Quote: one version of what a patient will pay, put together from lines, help and ways to pay; it never changes."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from estimator.base.money import get_quantum
from estimator.base.problems import InputError, Problem
from estimator.estimate.clearance.verdict import Verdict
from estimator.inputs.fees.schedule import FeeKind, count_tax
from estimator.inputs.payment.jurisdiction import DocumentKind, Profile
from estimator.inputs.payment.legal_texts import LegalText
from estimator.inputs.payment.model import HUNDRED, PaymentTerms
from estimator.quote.changes import QuoteChange
from estimator.quote.discounts import Adjusted, apply_adjustments
from estimator.quote.lines import QuoteLine
from estimator.quote.payment.plans import OWN_TEXTS, PlannedWay, plan_ways


class QuoteState(StrEnum):
    """Where a quote stands with the patient; who may go where is said in `proposal.states`."""

    BEING_PREPARED = "being_prepared"
    TAKEN_HOME = "taken_home"
    AGREED = "agreed"
    NOT_NOW = "not_now"
    STOPPED = "stopped"
    OUT_OF_DATE = "out_of_date"


@dataclass(frozen=True, slots=True, kw_only=True)
class LineHelp:
    """What a benefit plan takes off one line: what it is expected to pay, and what is written off in its network."""

    key: str
    plan_pays: Decimal
    write_off: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class CountedAnswer:
    """A plan's answer that a quote counts in place of the estimate: of which plan, by its name, and of which day.

    `every_line` is false where something is estimated still. It is not a guarantee of payment.
    """

    plan: str
    answered_on: date
    every_line: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PricedLine:
    """One line to the end: amount, discounts, tax, write-off, plan, and what is left for the patient."""

    line: QuoteLine
    change: Decimal
    net: Decimal
    tax: Decimal
    write_off: Decimal
    plan_pays: Decimal
    left: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """One version. Lines are in the currency at the prices of `price_date`; `options` are those chosen, a jaw each.

    `texts` are the practice's own: what is owed if treatment stops or an implant fails. `laboratory_kinds` stand in a
    column of their own, empty for one column. `tax_reasons` say why there is no tax where there is none. `most` is what
    is left if each range comes out at its upper end, None without a range. `answered` is the plan's answer that is
    counted in place of the estimate, if one is. `rooms` are the headline verdicts of the options, a jaw each, as they
    were then; none in a version kept before they were. `number` is empty until the quote is kept. `not_included` is
    what the practice says it does not hold, each as key and text, None where that was not recorded; `middle` says that
    a range is counted with its middle.
    """

    number: str
    version: int
    state: QuoteState
    title: str
    reference: str
    made_by: str
    made_on: date
    valid_until: date
    profile: str
    currency: str
    price_date: date
    options: tuple[tuple[str, str], ...]
    lines: tuple[PricedLine, ...]
    adjusted: Adjusted
    ways: tuple[PlannedWay, ...]
    texts: tuple[LegalText, ...] = ()
    laboratory_kinds: tuple[FeeKind, ...] = ()
    signature_required: bool = False
    changes: tuple[QuoteChange, ...] = ()
    tax_reasons: tuple[str, ...] = ()
    most: Decimal | None = None
    answered: CountedAnswer | None = None
    rooms: tuple[tuple[str, Verdict], ...] = ()
    not_included: tuple[tuple[str, str], ...] | None = None
    middle: bool = False

    @property
    def is_kept(self) -> bool:
        """Whether it was kept, and has a number and a version of its own."""
        return bool(self.number)

    @property
    def total(self) -> Decimal:
        """What is charged after discounts, tax included."""
        return sum((line.net + line.tax for line in self.lines), Decimal(0))

    @property
    def tax(self) -> Decimal:
        """The tax in it."""
        return sum((line.tax for line in self.lines), Decimal(0))

    @property
    def write_off(self) -> Decimal:
        """What the practice writes off for a plan in whose network it is."""
        return sum((line.write_off for line in self.lines), Decimal(0))

    @property
    def plan_pays(self) -> Decimal:
        """What plans are expected to pay."""
        return sum((line.plan_pays for line in self.lines), Decimal(0))

    @property
    def left(self) -> Decimal:
        """What is left for the patient; every way pays this."""
        return sum((line.left for line in self.lines), Decimal(0))

    @property
    def columns(self) -> tuple[Decimal, Decimal]:
        """What is charged for professional work, and for the laboratory where that is shown apart."""
        parts = [(one.line.kind in self.laboratory_kinds, one.net + one.tax) for one in self.lines]
        laboratory = sum((amount for apart, amount in parts if apart), Decimal(0))
        return self.total - laboratory, laboratory

    @property
    def at_most(self) -> Decimal:
        """What is left if each range comes out at its upper end, discounts and tax worked out on that."""
        if self.most is not None:
            return self.most
        # A version kept before `most` was says what it said then.
        spans = (one.line.amount_to - one.line.amount for one in self.lines if one.line.amount_to is not None)
        return sum(spans, self.left)


@dataclass(frozen=True, slots=True, kw_only=True)
class LineGroup:
    """The lines of one kind, and their sum before anything comes off."""

    kind: FeeKind
    lines: tuple[PricedLine, ...]

    @property
    def total(self) -> Decimal:
        """The sum of its lines before discounts and tax."""
        return sum((one.line.amount for one in self.lines), Decimal(0))


def group_lines(lines: Iterable[PricedLine]) -> tuple[LineGroup, ...]:
    """Lines by kind, in the order of the kinds; a kind without lines is left out."""
    by_kind: dict[FeeKind, list[PricedLine]] = {kind: [] for kind in FeeKind}
    for one in lines:
        by_kind[one.line.kind].append(one)
    return tuple(LineGroup(kind=kind, lines=tuple(mine)) for kind, mine in by_kind.items() if mine)


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteHeading:
    """What a quote is about and who made it; its number is given when it is kept."""

    reference: str
    made_by: str
    made_on: date
    price_date: date
    creditor: str
    options: tuple[tuple[str, str], ...] = ()
    rooms: tuple[tuple[str, Verdict], ...] = ()
    number: str = ""


def make_quote(
    heading: QuoteHeading,
    lines: Sequence[QuoteLine],
    terms: PaymentTerms,
    profile: Profile,
    *,
    benefits: Iterable[LineHelp] = (),
    answered: CountedAnswer | None = None,
) -> Quote:
    """The first version of a quote, being prepared. Raises InputError where its parts do not go together.

    The profile must be settled on a currency. Order: lines, adjustments, tax, write-off and plan, ways to pay the rest.
    """
    quantum = _check_lines(lines, profile)
    adjusted = apply_adjustments([one.key for one in lines], [one.amount for one in lines], terms.adjustments, quantum)
    priced = price_lines(lines, adjusted, profile, benefits, quantum)
    return Quote(
        number=heading.number,
        version=1,
        state=QuoteState.BEING_PREPARED,
        title=profile.name_document(DocumentKind.QUOTE),
        reference=heading.reference,
        made_by=heading.made_by,
        made_on=heading.made_on,
        valid_until=profile.find_last_day(heading.made_on),
        profile=profile.key,
        currency=profile.currency,
        price_date=heading.price_date,
        options=heading.options,
        lines=priced,
        adjusted=adjusted,
        ways=_plan_rest(heading, terms, profile, priced, quantum),
        texts=tuple(text for key in OWN_TEXTS if (text := profile.find_text(key)) is not None),
        laboratory_kinds=profile.laboratory_kinds,
        signature_required=profile.signature_required,
        tax_reasons=tuple(dict.fromkeys(tax.reason for tax in profile.taxes if tax.reason and not tax.percent)),
        most=_find_most(lines, terms, profile, priced, quantum),
        answered=answered,
        rooms=heading.rooms,
    )


def _plan_rest(
    heading: QuoteHeading, terms: PaymentTerms, profile: Profile, priced: Iterable[PricedLine], quantum: Decimal
) -> tuple[PlannedWay, ...]:
    left = sum((one.left for one in priced), Decimal(0))
    return plan_ways(
        terms.ways, left, signed_on=heading.made_on, profile=profile, creditor=heading.creditor, quantum=quantum
    )


def _find_most(
    lines: Sequence[QuoteLine], terms: PaymentTerms, profile: Profile, priced: Iterable[PricedLine], quantum: Decimal
) -> Decimal | None:
    """What is left at the upper end of every range, with the same help as at the price that is counted."""
    if all(line.amount_to is None for line in lines):
        return None
    upper = [line.amount if line.amount_to is None else line.amount_to for line in lines]
    adjusted = apply_adjustments([line.key for line in lines], upper, terms.adjustments, quantum)
    charged = sum((one.net + one.tax for one in price_lines(lines, adjusted, profile, (), quantum)), Decimal(0))
    return charged - sum((one.plan_pays + one.write_off for one in priced), Decimal(0))


def _check_lines(lines: Sequence[QuoteLine], profile: Profile) -> Decimal:
    if not profile.currency:
        raise ValueError("'profile' must be settled on the currency of the fees first")
    if not lines or len({line.key for line in lines}) < len(lines):
        raise ValueError(f"'lines' must be one or more with different keys (got {[line.key for line in lines]})")
    if not profile.ranges and any(line.amount_to is not None for line in lines):
        raise InputError([Problem(file="quote", path=("lines",), code="quote.ranges")])
    return get_quantum(profile.currency)


def price_lines(
    lines: Sequence[QuoteLine], adjusted: Adjusted, profile: Profile, benefits: Iterable[LineHelp], quantum: Decimal
) -> tuple[PricedLine, ...]:
    """Each line after discounts, with tax, and what plans take off it. Raises InputError for help above the line."""
    helps = {one.key: one for one in benefits}
    if unknown := sorted(set(helps) - {line.key for line in lines}):
        raise InputError([Problem(file="quote", path=("benefits",), code="quote.lines", found=tuple(unknown))])
    nets = [(line.kind, net) for line, net in zip(lines, adjusted.after, strict=True)]
    taxes = count_tax(nets, lambda kind: profile.find_tax(kind).percent / HUNDRED, quantum)
    return tuple(
        _price_line(line, (before, after, tax), helps.get(line.key), quantum)
        for line, before, after, tax in zip(lines, adjusted.before, adjusted.after, taxes, strict=True)
    )


def _price_line(
    line: QuoteLine, amounts: tuple[Decimal, Decimal, Decimal], help_: LineHelp | None, quantum: Decimal
) -> PricedLine:
    """Amounts are before and after discounts, and the tax."""
    before, net, tax = amounts
    nothing = Decimal(0).quantize(quantum)
    plan_pays, write_off = (help_.plan_pays, help_.write_off) if help_ else (nothing, nothing)
    if min(plan_pays, write_off) < 0 or plan_pays + write_off > net + tax:
        found, most = (plan_pays, write_off), {"most": net + tax}
        path = ("benefits", line.key)
        raise InputError([Problem(file="quote", path=path, code="quote.help", found=found, expected=most)])
    return PricedLine(
        line=line,
        change=net - before,
        net=net,
        tax=tax,
        write_off=write_off,
        plan_pays=plan_pays,
        left=net + tax - write_off - plan_pays,
    )
