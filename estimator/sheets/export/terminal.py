"""A case estimate as lines of plain text: what the terminal shows, for the office."""

from collections.abc import Iterator, Mapping
from decimal import Decimal

from estimator.base.formats import format_amount
from estimator.base.money import get_quantum
from estimator.base.told import Name
from estimator.estimate.clearance.layers import say_finding
from estimator.estimate.clearance.published_minima import count_met
from estimator.estimate.clearance.verdict import Clearance
from estimator.estimate.compare import list_rows
from estimator.estimate.cost.practice_cost import PracticeCost
from estimator.estimate.own_rates import OWN_SOURCE
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate
from estimator.inputs.reference.wording import Wording
from estimator.pictures.options.option_rows import RowWriter
from estimator.proposal.offers import state_rows
from estimator.proposal.statement import Chosen, Offer, Price, Statement
from estimator.quote.lines import QuoteLine
from estimator.quote.payment.plans import list_series
from estimator.sheets.export.problem_lines import write_problem
from estimator.sheets.export.summary import describe_jaw

_WIDTH = 78


def write_text(estimate: CaseEstimate, statement: Statement, wording: Wording) -> str:
    """The whole comparison: room, time and cost of every option in every jaw, then lines, cautions and assumptions.

    Prices, payments, what is not included and days, where the first is known, are those of the statement.
    """
    text = "\n".join(_write_case(estimate, statement, wording)) + "\n"
    return text.replace("\N{NO-BREAK SPACE}", " ")


def _write_case(estimate: CaseEstimate, statement: Statement, wording: Wording) -> Iterator[str]:
    fees = estimate.practice.fees
    names = {(jaw.jaw.arch, made.key): made.name for jaw in estimate.jaws for made in jaw.estimates}
    yield f"Case {estimate.case.reference}, {fees.currency}, prices of {fees.price_date.isoformat()} ({fees.file})"
    if fees.invented:
        yield "Invented demo prices: not a real quote."
    for jaw in estimate.jaws:
        yield from _write_jaw(jaw, statement, wording)
        yield from _write_days(jaw, statement) if statement.start_on else ()
    if fees.tax.reason:
        yield f"\nNo tax where none is shown: {fees.tax.reason}."
    if statement.together:
        yield from _write_together(statement, names)
    if statement.chosen is not None:
        yield from _write_chosen(statement, statement.chosen, names)
    for problem in statement.problems:
        yield f"\nNo quote: {write_problem(problem, wording)}"
    assumed = [figure for figure in estimate.basis if figure.assumption]
    yield f"\n{len(assumed)} of the {len(estimate.basis)} figures used are assumptions, to be confirmed by your"
    yield "clinician (--json lists each with its source and how sure it is)."
    counted = sum(figure.source == OWN_SOURCE for figure in estimate.basis)
    if counted:
        yield f"{counted} rates are blended with this practice's own count."
    yield "The tool informs; the licensed clinician and the patient decide; local law applies."


def _write_together(statement: Statement, names: Mapping[Chosen, str]) -> Iterator[str]:
    yield "\nBoth jaws together; what is charged once a case is in the total once:"
    for two in statement.together:
        offers = [statement.find_jaw(arch).find_offer(key) for arch, key in two.options]
        apart = " + ".join(_money(offer.price.total) for offer in offers if offer)
        joined = " with ".join(names[place] for place in two.options)
        yield f"  {joined}: {apart} - {_money(two.shared_total)} = {_money(two.total)}"


def _write_chosen(statement: Statement, price: Price, names: Mapping[Chosen, str]) -> Iterator[str]:
    """What is chosen, its price, and what benefit plans are expected to take off it."""
    yield f"\nChosen: {', '.join(f'{names[place]} ({place[0]})' for place in statement.decided)}"
    helped = f", plans pay {_money(price.plan_pays)}, written off {_money(price.write_off)}" if statement.help else ""
    yield f"  charged {_money(price.total)}{helped}, left to pay {_money(price.left)}"
    yield from _write_ways(price)


def _write_jaw(jaw: JawEstimate, statement: Statement, wording: Wording) -> Iterator[str]:
    names = (wording.get("words.no_treatment.office"), wording.get("words.no_treatment.patient"))
    stated = statement.find_jaw(jaw.jaw.arch)
    rows = state_rows(list_rows(jaw, no_treatment=names), stated)
    writer = RowWriter(wording, patient=False, step=statement.step)
    yield ""
    yield from describe_jaw(jaw, rows)
    for row in rows:
        yield "-" * _WIDTH
        yield row.name
        stack = (
            f"; least {row.clearance.least_mm:.2f}, usual {row.clearance.required_mm:.2f} mm" if row.clearance else ""
        )
        yield f"  room   {writer.find_room(row)}{stack}"
        if row.reason:
            continue
        time, money = writer.time_row(row), writer.money_row(row)
        yield f"  time   {time.finding}{', ' + time.foot if time.foot else ''}"
        yield f"  cost   {money.finding}{'; ' + money.foot if money.foot else ''}"
    yield "-" * _WIDTH
    yield f"Cost: first cost + expected upkeep of {statement.years} years (8 chances in 10)."
    yield "Studies disagree; no option is called the winner."
    for option, offer in zip(jaw.estimates, stated.offers, strict=True):
        cost = option.practice_cost.leave_of(offer.price.adjusted.total, get_quantum(statement.currency))
        yield from _write_option(option, offer, statement.list_excluded(((stated.arch, offer.key),)), cost)


def _write_option(option: Estimate, offer: Offer, excluded: tuple[Name, ...], cost: PracticeCost) -> Iterator[str]:
    yield f"\n{option.name}: first cost {_money(offer.price.total)}{_say_about(offer.price)}"
    yield from _write_price(offer.price)
    yield from _write_ways(offer.price)
    if excluded:
        yield f"  not included: {', '.join(name.label for name in excluded)}"
    yield from _write_practice_cost(cost)
    yield from _write_layers(option.clearance)
    for event in option.upkeep.events:
        yield f"  upkeep: {event.label}, about {event.count:.2f} times, {format_amount(event.cost, 'en_US')}"
    yield from _write_room(option.clearance)
    for caution in option.clearance.cautions:
        yield f"  caution: {caution.text} [{caution.source}; {caution.how_sure.value}]"


def _write_price(price: Price) -> Iterator[str]:
    """Lines by kind, discounts, tax, and what each provider charges before tax."""
    for kind, total in price.by_kind:
        yield f"  {kind.value.capitalize()}, {_money(total)}"
        yield from (_write_line(one.line) for one in price.lines if one.line.kind is kind)
    for applied in price.adjusted.applied:
        yield f"  {applied.adjustment.reason}, {_money(applied.change)}"
    if price.tax:
        yield f"  Tax, {_money(price.tax)}"
    shares: dict[str, Decimal] = {}
    for one in price.lines:
        shares[one.line.provider] = shares.get(one.line.provider, Decimal(0)) + one.net
    yield f"  by provider: {', '.join(f'{provider} {_money(total)}' for provider, total in shares.items())}"


def _write_ways(price: Price) -> Iterator[str]:
    for planned in price.ways:
        series = list_series(planned.payments)
        parts = [f"{_money(planned.at_signing)} at signing"] if planned.at_signing else []
        parts += [_money(one.amount) if one.number == 1 else f"{one.number} × {_money(one.amount)}" for one in series]
        yield f"  to pay {_money(planned.total)}, {planned.way.label}: {', '.join(parts) or 'not known here'}"


def _write_practice_cost(cost: PracticeCost) -> Iterator[str]:
    if cost.cost_total is None or cost.margin is None:
        return
    hourly = "" if cost.margin_per_chair_hour is None else f", {_money(cost.margin_per_chair_hour)} a chair hour"
    yield f"  office only: costs the practice {_money(cost.cost_total)}, margin {_money(cost.margin)}{hourly}"
    for line in cost.under_cost:
        yield f"  office only: {line.label} is under its cost, {_money(line.amount)} of {_money(line.cost)}"


def _write_days(jaw: JawEstimate, statement: Statement) -> Iterator[str]:
    for option, offer in zip(jaw.estimates, statement.find_jaw(jaw.jaw.arch).offers, strict=True):
        yield f"\n{option.name}: visits from {statement.start_on}"
        for visit, trip in zip(option.visits.visits, offer.time.visits, strict=True):
            put_off = f" (put off by {', '.join(trip.put_off_by)})" if trip.put_off_by else ""
            first = "".join(f" (first: {text})" for text in visit.needs)
            yield f"  {trip.day} {trip.minutes:>4} min  {visit.what}{first}{put_off}"


def _write_layers(clearance: Clearance) -> Iterator[str]:
    """What each layer of the check says, the one that decides named."""
    for layer in clearance.layers:
        if layer.text:
            bearing = ", decides" if layer == clearance.headline else "" if layer.may_rule_out else ", warns only"
            yield f"  room{bearing}: {layer.text}"


def _write_room(clearance: Clearance) -> Iterator[str]:
    """What the verdict rests on besides the room: heights chosen, an earlier verdict, minima met, ways to make room."""
    heights = [f"{check.tooth} {check.collar_mm.normalize():f}" for check in clearance.sites if check.collar_mm]
    if heights:
        yield f"  abutment heights, mm: {', '.join(heights)}"
    if clearance.earlier is not None:
        before = clearance.earlier
        now = say_finding(clearance.layers, patient=False)
        yield f"  measured again: {before.finding} on {before.measured_on.isoformat()}, now {now}"
    met = count_met(clearance.opinions)
    if met is not None:
        yield f"  published minima: meets {met[0]} of {met[1]} (they disagree; --json lists each with its source)"
    for way in clearance.ways:
        yield f"  could make room: {way.text} [{way.source}; {way.how_sure.value}]"


def _say_about(price: Price) -> str:
    if price.ends is not None:
        return f" ({_say_range(price.ends)}; ranges counted with their middle)"
    return " (ranges counted with their middle)" if price.middle else ""


def _write_line(line: QuoteLine) -> str:
    amount = "included" if line.unit_fee == 0 else _money(line.amount)
    ends = ""
    if line.amount_from is not None and line.amount_to is not None:
        ends = f"  ({_say_range((line.amount_from, line.amount_to))})"
    return f"    {line.label:<44}{line.quantity:>3} × {_money(line.unit_fee):>10}{amount:>14}{ends}"


def _say_range(ends: tuple[Decimal, Decimal]) -> str:
    return f"{_money(ends[0])} to {_money(ends[1])}"


def _money(amount: Decimal) -> str:
    decimals = max(0, -int(amount.as_tuple().exponent))
    return format_amount(amount, "en_US", decimals=decimals)
