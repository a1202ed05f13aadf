"""A case estimate as lines of plain text: what the terminal shows, for the office."""

from collections.abc import Iterator
from decimal import Decimal

from estimator.base.formats import format_amount
from estimator.estimate.both_jaws import list_together
from estimator.estimate.clearance.published_minima import count_met
from estimator.estimate.clearance.verdict import Clearance
from estimator.estimate.compare import find_step, list_rows
from estimator.estimate.cost.charges import CostLine
from estimator.estimate.cost.practice_cost import PracticeCost
from estimator.estimate.own_rates import OWN_SOURCE
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate
from estimator.estimate.visits.calendar import date_visits
from estimator.estimate.visits.snapshot import Dates
from estimator.inputs.fees.schedule import FeeKind
from estimator.inputs.reference.wording import Wording
from estimator.pictures.options.option_rows import RowWriter
from estimator.sheets.export.summary import describe_jaw, show_chance

_WIDTH = 78


def write_text(estimate: CaseEstimate, wording: Wording, *, dates: Dates | None = None) -> str:
    """The whole comparison: room, time and cost of every option in every jaw, then lines, cautions and assumptions.

    With `dates` every visit with its day.
    """
    text = "\n".join(_write_case(estimate, wording, dates)) + "\n"
    return text.replace("\N{NO-BREAK SPACE}", " ")


def _write_case(estimate: CaseEstimate, wording: Wording, dates: Dates | None) -> Iterator[str]:
    fees = estimate.practice.fees
    yield f"Case {estimate.case.reference}, {fees.currency}, prices of {fees.price_date.isoformat()} ({fees.file})"
    if fees.invented:
        yield "Invented demo prices: not a real quote."
    for jaw in estimate.jaws:
        yield from _write_jaw(jaw, estimate, wording)
        yield from _write_days(jaw, dates) if dates else ()
    if fees.tax.reason:
        yield f"\nNo tax where none is shown: {fees.tax.reason}."
    if len(estimate.jaws) > 1:
        yield from _write_together(estimate)
    assumed = [figure for figure in estimate.basis if figure.assumption]
    yield f"\n{len(assumed)} of the {len(estimate.basis)} figures used are assumptions, to be confirmed by your"
    yield "clinician (--json lists each with its source and how sure it is)."
    counted = sum(figure.source == OWN_SOURCE for figure in estimate.basis)
    if counted:
        yield f"{counted} rates are blended with this practice's own count."
    yield "The tool informs; the licensed clinician and the patient decide; local law applies."


def _write_together(estimate: CaseEstimate) -> Iterator[str]:
    yield "\nBoth jaws together; what is charged once a case is in the total once:"
    for two in list_together(estimate):
        apart = " + ".join(_money(option.fees.total) for option in two.options)
        names = " with ".join(option.name for option in two.options)
        yield f"  {names}: {apart} - {_money(two.shared_total)} = {_money(two.total)}"


def _write_jaw(jaw: JawEstimate, estimate: CaseEstimate, wording: Wording) -> Iterator[str]:
    names = (wording.get("words.no_treatment.office"), wording.get("words.no_treatment.patient"))
    rows = list_rows(jaw, no_treatment=names)
    writer = RowWriter(wording, patient=False, step=find_step(rows))
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
    yield f"Cost: first cost + expected upkeep of {estimate.years} years (8 chances in 10)."
    yield "Studies disagree; no option is called the winner."
    for option in jaw.estimates:
        yield from _write_option(option)


def _write_option(option: Estimate) -> Iterator[str]:
    yield f"\n{option.name}: first cost {_money(option.fees.total)}{_say_about(option)}"
    for kind, total in option.fees.by_kind:
        lines = [line for line in option.fees.lines if line.kind is kind]
        if lines and kind is not FeeKind.AFTERCARE:
            yield f"  {kind.value.capitalize()}, {_money(total)}"
            yield from (_write_line(line) for line in lines)
    if option.fees.tax_total:
        yield f"  Tax, {_money(option.fees.tax_total)}"
    shares = ", ".join(f"{provider} {_money(total)}" for provider, total in option.fees.by_provider)
    yield f"  by provider: {shares}"
    yield from _write_practice_cost(option.practice_cost)
    if option.clearance.chance_of_fit is not None:
        yield f"  chance that the usual stack fits: {show_chance(option.clearance.chance_of_fit)}"
    for event in option.upkeep.events:
        yield f"  upkeep: {event.label}, about {event.count:.2f} times, {format_amount(event.cost, 'en_US')}"
    yield from _write_room(option.clearance)
    for caution in option.clearance.cautions:
        yield f"  caution: {caution.text} [{caution.source}; {caution.how_sure.value}]"


def _write_practice_cost(cost: PracticeCost) -> Iterator[str]:
    if cost.cost_total is None or cost.margin is None:
        return
    hourly = "" if cost.margin_per_chair_hour is None else f", {_money(cost.margin_per_chair_hour)} a chair hour"
    yield f"  office only: costs the practice {_money(cost.cost_total)}, margin {_money(cost.margin)}{hourly}"
    for line in cost.under_cost:
        yield f"  office only: {line.label} is under its cost, {_money(line.amount)} of {_money(line.cost)}"


def _write_days(jaw: JawEstimate, dates: Dates) -> Iterator[str]:
    for option in jaw.estimates:
        yield f"\n{option.name}: visits from {dates.start.isoformat()}"
        for dated in date_visits(option.visits, dates.start, dates.closed).visits:
            put_off = f" (put off by {', '.join(dated.put_off_by)})" if dated.put_off_by else ""
            first = "".join(f" (first: {text})" for text in dated.visit.needs)
            yield f"  {dated.day.isoformat()} {dated.visit.minutes:>4} min  {dated.visit.what}{first}{put_off}"


def _write_room(clearance: Clearance) -> Iterator[str]:
    """What the verdict rests on besides the room: heights chosen, an earlier verdict, minima met, ways to make room."""
    heights = [f"{check.tooth} {check.collar_mm.normalize():f}" for check in clearance.sites if check.collar_mm]
    if heights:
        yield f"  abutment heights, mm: {', '.join(heights)}"
    if clearance.earlier is not None:
        before = clearance.earlier
        yield f"  measured again: {before.verdict} on {before.measured_on.isoformat()}, now {clearance.verdict}"
    met = count_met(clearance.opinions)
    if met is not None:
        yield f"  published minima: meets {met[0]} of {met[1]} (they disagree; --json lists each with its source)"
    for way in clearance.ways:
        yield f"  could make room: {way.text} [{way.source}; {way.how_sure.value}]"


def _say_about(option: Estimate) -> str:
    ends = option.fees.total_range
    return "" if ends is None else f" ({_say_range(ends)}; ranges counted with their middle)"


def _write_line(line: CostLine) -> str:
    amount = "included" if line.unit_fee == 0 else _money(line.amount)
    ends = f"  ({_say_range(line.amount_range)})" if line.amount_range else ""
    return f"    {line.label:<44}{line.quantity:>3} × {_money(line.unit_fee):>10}{amount:>14}{ends}"


def _say_range(ends: tuple[Decimal, Decimal]) -> str:
    return f"{_money(ends[0])} to {_money(ends[1])}"


def _money(amount: Decimal) -> str:
    decimals = max(0, -int(amount.as_tuple().exponent))
    return format_amount(amount, "en_US", decimals=decimals)
