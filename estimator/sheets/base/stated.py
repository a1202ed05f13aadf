"""What several sheets say of one statement: discounts, payments, what is not included, missing room, both jaws."""

from collections.abc import Iterable

from estimator.base.formats import format_number, name_currency
from estimator.inputs.payment.model import Direction, Milestones
from estimator.proposal.statement import Offer, RoomNote, Together
from estimator.quote.discounts import Applied
from estimator.quote.payment.plans import PlannedWay
from estimator.quote.quote import Quote
from estimator.sheets.base.blocks import Block, Heading, TableBlock, Text
from estimator.sheets.base.context import SheetJob
from estimator.sheets.base.prose import list_words, make_paragraph, mark_up


def name_adjustment(job: SheetJob, one: Applied) -> str:
    """A discount or an increase with its reason, and its percentage where it is one."""
    less = one.adjustment.direction is Direction.DISCOUNT
    reason, percent = one.adjustment.reason, one.adjustment.portion.percent
    if percent is None:
        key = "cost.discount" if less else "cost.increase"
        return job.wording.say(f"quote_sheet.{key}", reason=reason)
    shown = f"{format_number(percent, job.locale)}\N{NO-BREAK SPACE}%"
    key = "cost.discount_percent" if less else "cost.increase_percent"
    return job.wording.say(f"quote_sheet.{key}", reason=reason, percent=shown)


def tell_excluded(job: SheetJob, items: tuple[str, ...]) -> Text:
    """What is not included; to be asked for where the practice says nothing of it."""
    if not items:
        return job.mark("terms.not_included_ask")
    return job.mark("terms.not_included", items=list_words(items))


def tell_excluded_of(job: SheetJob, quote: Quote) -> list[Text]:
    """What is not included in a quote; nothing of a version kept before that was recorded."""
    if quote.not_included is None:
        return []
    return [tell_excluded(job, tuple(item for _, item in quote.not_included))]


def tell_excluded_in_jaw(job: SheetJob) -> Text:
    """What is not included in the choices of this jaw."""
    return tell_excluded(job, tuple(name.label for name in job.statement.list_excluded_in(job.jaw.jaw.arch)))


def write_room_notes(job: SheetJob, notes: Iterable[RoomNote]) -> list[Block]:
    """What there is no room for, or nobody has measured, and to talk of it first; nothing where all is well."""
    told = _tell_notes(job, notes)
    return [make_paragraph(*told)] if told else []


def _tell_notes(job: SheetJob, notes: Iterable[RoomNote]) -> list[Text]:
    found = job.wording.get("statement.room.found")
    told = [
        mark_up(
            found,
            option=note.option,
            jaw=job.wording.get(f"words.arch.patient_{note.arch}"),
            finding=note.room.finding,
        )
        for note in notes
    ]
    return [*told, mark_up(job.wording.get("statement.room.ask"))] if told else []


def find_parts(offer: Offer) -> PlannedWay | None:
    """The first way to pay an offer if it is in parts as treatment goes on, without a deposit."""
    first = next(iter(offer.price.ways), None)
    in_parts = first is not None and isinstance(first.way, Milestones) and not first.deposit
    return first if in_parts else None


def list_moments(job: SheetJob) -> tuple[str, ...]:
    """When the parts are paid, the same for every offer; empty where they are not paid in parts."""
    ways = [find_parts(offer) for offer in job.stated.offers]
    first = next((way.way for way in ways if way is not None), None)
    if first is None or None in ways or not isinstance(first, Milestones):
        return ()
    return tuple(stage.what for stage in first.stages)


def write_both_jaws(job: SheetJob) -> list[Block]:
    """That these prices are for one jaw alone, what is paid once for both, and what both come to together."""
    pairs = job.statement.together
    if not pairs:
        return []
    told = [_mark(job, "alone", jaw=job.jaw_name)]
    title = Heading(text=job.wording.say("statement.both.title"), level=2)
    decided = job.statement.find_together(job.statement.decided)
    if decided is not None:
        amounts = {"amount": decided.total, "shared": decided.shared_total}
        shown = {name: job.money(amount, exact=True) for name, amount in amounts.items()}
        return [title, make_paragraph(*told, _mark(job, "chosen", **shown))]
    shared = tuple(dict.fromkeys(name.label for pair in pairs for name in pair.shared))
    told += [_mark(job, "once", items=list_words(shared))] if shared else []
    return [title, make_paragraph(*told), _list_pairs(job, pairs)]


def _list_pairs(job: SheetJob, pairs: tuple[Together, ...]) -> TableBlock:
    """A row an option of this jaw, a column one of the other."""
    here = [jaw.arch for jaw in job.statement.jaws].index(job.jaw.jaw.arch)
    other = job.statement.jaws[1 - here]
    totals = {(pair.options[here][1], pair.options[1 - here][1]): pair.total for pair in pairs}
    currency = name_currency(job.statement.currency, job.locale)
    head = (job.wording.say("statement.both.head", currency=currency), *(one.option.label for one in other.offers))
    rows = tuple(
        (mine.option.label, *(job.money(totals[mine.key, one.key], exact=True) for one in other.offers))
        for mine in job.stated.offers
    )
    width = 66 / max(1, len(other.offers))
    return TableBlock(head=head, rows=rows, widths=(34, *[width] * len(other.offers)), small=True)


def _mark(job: SheetJob, key: str, **values: object) -> Text:
    return mark_up(job.wording.get(f"statement.both.{key}"), **values)
