"""settle(): a proposal and its estimate become the one statement of all that a patient is told."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import product
from typing import TYPE_CHECKING

from estimator.base.problems import InputError
from estimator.base.told import Name, Told
from estimator.estimate.clearance.verdict import Verdict
from estimator.estimate.compare import round_to_fourth_digit
from estimator.estimate.result import CaseEstimate, JawEstimate, NotApplicable
from estimator.inputs.payment.model import PaymentTerms
from estimator.inputs.practice.working_days import ClosedDays
from estimator.proposal.exclusions import list_exclusions
from estimator.proposal.model import HelpState, Proposal
from estimator.proposal.offers import find_dearest, name_option, state_offer
from estimator.proposal.pricing import Pick, Pricing, fit_terms, settle_profile, start_pricing
from estimator.proposal.statement import JawStatement, NotOffered, Price, RoomNote, Statement, Together, round_to_step
from estimator.quote.quote import Quote

if TYPE_CHECKING:
    from estimator.inputs.plans.predetermination import PlanAnswer
    from estimator.quote.benefits.phasing import PhaseComparison


def settle(
    proposal: Proposal,
    estimate: CaseEstimate,
    usual: PaymentTerms,
    *,
    today: date,
    closed: ClosedDays | None = None,
) -> Statement:
    """Settle a proposal on a day; `usual` are the practice's ways to pay, where the proposal names none.

    The estimate is of the proposal's case. What is chosen and cannot be priced as it stands is told in `problems`.
    """
    profile, problems = settle_profile(estimate.practice)
    terms = PaymentTerms(adjustments=proposal.adjustments, ways=usual.ways if proposal.ways is None else proposal.ways)
    pricing = start_pricing(estimate, profile, terms, today)
    prices = [{made.key: pricing.make_price([(jaw, made)]) for made in jaw.estimates} for jaw in estimate.jaws]
    dearest = [find_dearest(jaw, mine) for jaw, mine in zip(estimate.jaws, prices, strict=True)]
    step = round_to_fourth_digit(max(dearest))
    statement = Statement(
        reference=estimate.case.reference,
        made_on=today,
        valid_until=profile.find_last_day(today),
        price_date=estimate.practice.fees.price_date,
        currency=profile.currency,
        invented=estimate.practice.fees.invented,
        years=estimate.years,
        start_on=proposal.start_on,
        profile=profile.key,
        step=step,
        jaws=tuple(
            _state_jaw(jaw, mine, estimate, proposal, step, closed or ClosedDays())
            for jaw, mine in zip(estimate.jaws, prices, strict=True)
        ),
        together=_list_together(pricing),
        exclusions=list_exclusions(estimate),
        problems=problems,
    )
    return _decide(statement, proposal, pricing, closed or ClosedDays())


def _state_jaw(
    jaw: JawEstimate,
    prices: dict[str, Price],
    estimate: CaseEstimate,
    proposal: Proposal,
    step: Decimal,
    closed: ClosedDays,
) -> JawStatement:
    chosen = proposal.find_chosen(jaw.jaw.arch)
    return JawStatement(
        arch=jaw.jaw.arch,
        offers=tuple(
            state_offer(made, estimate.practice, prices[made.key], step, start_on=proposal.start_on, closed=closed)
            for made in jaw.estimates
        ),
        not_offered=tuple(
            NotOffered(option=name_option(one), key=one.key, reason=one.reason)
            for one in jaw.options
            if isinstance(one, NotApplicable)
        ),
        pairs=jaw.compare_at({key: price.total for key, price in prices.items()}),
        chosen=chosen if chosen in prices else "",
    )


def _list_together(pricing: Pricing) -> tuple[Together, ...]:
    """Each option of the first jaw with each of the second; nothing for a case of one jaw."""
    jaws = pricing.estimate.jaws
    if len(jaws) < 2:
        return ()
    first, second = jaws
    both = [
        _add_together((first, one), (second, other), pricing)
        for one, other in product(first.estimates, second.estimates)
    ]
    step = round_to_fourth_digit(max((two.expected for two in both), default=Decimal(0)))
    return tuple(replace(two, expected_shown=round_to_step(two.expected, step)) for two in both)


def _add_together(first: Pick, second: Pick, pricing: Pricing) -> Together:
    options = ((first[0].jaw.arch, first[1].key), (second[0].jaw.arch, second[1].key))
    lines = pricing.list_lines([first, second])
    amounts = pricing.charge_or_list(lines)
    total = sum(amounts, Decimal(0))
    expected = total + first[1].upkeep.expected + second[1].upkeep.expected
    of_both = {line.key for line in pricing.lines[options[0]]} & {line.key for line in pricing.lines[options[1]]}
    shared = [(line, amount) for line, amount in zip(lines, amounts, strict=True) if line.key in of_both]
    return Together(
        options=options,
        shared=tuple(Name(key=f"fee.{line.key}", label=line.label) for line, _ in shared),
        shared_total=sum((amount for _, amount in shared), Decimal(0)),
        total=total,
        expected=expected,
        expected_shown=expected,
    )


def _decide(statement: Statement, proposal: Proposal, pricing: Pricing, closed: ClosedDays) -> Statement:
    """The statement with the price and the quote of what is chosen, and what has to be asked again of it."""
    picks = _list_picks(statement, pricing.estimate)
    lost = [(arch, key) for arch, key in proposal.chosen if key and not statement.find_jaw(arch).chosen]
    limits = tuple(_tell("option_gone", jaw=arch, option=key) for arch, key in lost)
    if not picks:
        return replace(statement, limits=limits)
    decided = tuple((jaw.jaw.arch, made.key) for jaw, made in picks)
    terms, left_out = fit_terms(pricing.terms, pricing.list_lines(picks))
    limits += tuple(_tell("discount_of_no_line", reason=one.reason) for one in left_out)
    notes = [note for jaw in statement.jaws if jaw.chosen for note in jaw.list_room_notes()]
    limits += tuple(_tell_room(note) for note in notes)
    statement = replace(statement, decided=decided, limits=limits)
    try:
        quote, help_ = _quote(picks, terms, proposal, pricing, closed)
    except InputError as error:
        return replace(statement, problems=(*statement.problems, *error.problems))
    price = pricing.sum_up(quote, picks, terms)
    if statement.problems:
        return replace(statement, chosen=price)
    quote = replace(_say_excluded(quote, statement), middle=price.middle)
    return replace(statement, chosen=price, help=help_, quote=quote)


def _list_picks(statement: Statement, estimate: CaseEstimate) -> list[Pick]:
    return [
        (jaw, made)
        for jaw, stated in zip(estimate.jaws, statement.jaws, strict=True)
        for made in jaw.estimates
        if made.key == stated.chosen
    ]


def _quote(
    picks: Sequence[Pick], terms: PaymentTerms, proposal: Proposal, pricing: Pricing, closed: ClosedDays
) -> "tuple[Quote, tuple[PhaseComparison, ...]]":
    """The quote, and what plans pay of it where they are known."""
    help_, practice = proposal.help, pricing.estimate.practice
    if help_.state is not HelpState.KNOWN:
        return pricing.make_quote(picks, terms), ()
    # Most proposals have no plan yet, and need not wait for the rules of plans.
    from estimator.quote.benefits.claims import list_help, sum_up_answer
    from estimator.quote.benefits.on_options import compare_options

    first = proposal.start_on or pricing.today
    compared = compare_options(
        picks,
        pricing.list_lines(picks),
        terms,
        help_.plans,
        pricing.profile,
        practice,
        first_visit=first,
        closed=closed,
    )
    if help_.counted and help_.answer is not None:
        compared = _count_answer(compared, help_.answer, pricing)
    planned = compared.as_planned
    benefits = list_help(pricing.list_lines(picks), planned)
    return pricing.make_quote(picks, terms, benefits=benefits, answered=sum_up_answer(planned)), (compared,)


def _count_answer(compared: "PhaseComparison", answer: "PlanAnswer", pricing: Pricing) -> "PhaseComparison":
    """What a plan answered in place of its estimate. Raises InputError where it is not about this, or holds no more."""
    from estimator.quote.benefits.phasing import compare_phases
    from estimator.quote.benefits.predetermination import find_late_answer
    from estimator.quote.benefits.predetermination_letter import find_answer_problems

    made, reference = compared.as_planned, pricing.estimate.case.reference
    problems = find_answer_problems(made, answer, file="answer", reference=reference)
    if problems := (*problems, *find_late_answer(answer, file="answer", today=pricing.today)):
        raise InputError(problems)
    lines = [line.line for line in made.lines]
    return compare_phases(lines, made.plans, currency=answer.currency, answer=answer)


def _say_excluded(quote: Quote, statement: Statement) -> Quote:
    """The quote with what is not included in it."""
    excluded = tuple((name.key, name.label) for name in statement.list_excluded(statement.decided))
    return replace(quote, not_included=excluded)


def _tell_room(note: RoomNote) -> Told:
    key = "no_room_along" if note.room.along else "no_room"
    if note.room.verdict is Verdict.NOT_MEASURED:
        key = "not_measured"
    return _tell(key, jaw=note.arch, option=note.option, mm=note.room.short_mm, finding=note.room.finding)


def _tell(key: str, **values: object) -> Told:
    return Told(key=f"statement.{key}", values=tuple(values.items()))
