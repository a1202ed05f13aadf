"""What changed since the version before, on paper: place by place, with what stood there and what stands there now."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from estimator.base.formats import name_currency
from estimator.inputs.payment.model import Lender
from estimator.quote.changes import (
    ChangedValue,
    ChangeKind,
    Chosen,
    LinePrice,
    PlanAnswered,
    QuoteChange,
    StageAmount,
    TakenOff,
    WayTerms,
)
from estimator.quote.payment.plans import Series
from estimator.quote.quote import Quote
from estimator.sheets.base.blocks import Block, TableBlock
from estimator.sheets.base.prose import list_words, make_paragraph
from estimator.sheets.financial.wording import DASH, PaperWords

_WITH_SUBJECT = (ChangeKind.LINE, ChangeKind.ADJUSTMENT, ChangeKind.WAY, ChangeKind.TEXT, ChangeKind.AS_WRITTEN)


def write_changes(words: PaperWords, quote: Quote) -> list[Block]:
    """A table of the changes, what is paid first; nothing in a first version."""
    asked = sorted((change for change in quote.changes if _is_for_patients(change, quote)), key=_rank)
    found = [(change, *_tell(words, change)) for change in asked]
    told = [(change, before, now) for change, before, now in found if before != now]
    if not told:
        return []
    own = words.own("quote_changes")
    head = tuple(own.say(f"head_{column}") for column in ("what", "before", "now"))
    rows = tuple((_name_place(own, change), before or DASH, now or DASH) for change, before, now in told)
    intro = make_paragraph(own.mark("intro", number=quote.number, before=quote.version - 1))
    return [own.head("title"), intro, TableBlock(head=head, rows=rows, widths=(36, 32, 32), left=(0, 1, 2), small=True)]


def _is_for_patients(change: QuoteChange, quote: Quote) -> bool:
    """Not which place's rules are used, nor a lender, whose price is not known."""
    lenders = [one.way.key for one in quote.ways if isinstance(one.way, Lender)]
    to_lender = change.kind is ChangeKind.WAY and change.subject.key in lenders
    return change.kind is not ChangeKind.PROFILE and not to_lender


def _rank(change: QuoteChange) -> int:
    """What is left to pay, then other totals and the heading, then lines, discounts and ways."""
    return 0 if change.kind is ChangeKind.LEFT else 2 if change.kind in _WITH_SUBJECT else 1


def _name_place(words: PaperWords, change: QuoteChange) -> str:
    """A total or a part of the heading by its word; a line, a discount or a way by its own name, a text by its case."""
    if change.kind not in _WITH_SUBJECT:
        name = words.say(f"places.{change.kind}")
    elif change.kind is ChangeKind.TEXT:
        name = words.job.wording.get(f"quote.texts.{change.subject.key}")
    else:
        name = change.subject.label or words.job.wording.get("quote.changes.other")
    return name[:1].upper() + name[1:]


def _tell(words: PaperWords, change: QuoteChange) -> tuple[str, str]:
    """What stood there and what stands there now, as far as a patient asks.

    Of a line its price: what is paid of each line follows from that, and has a table of its own. Of a way its total,
    and where that is the same its payments.
    """
    before, after = change.before, change.after
    if isinstance(before, WayTerms) and isinstance(after, WayTerms) and before.total == after.total:
        parts, others = (tuple(_list_payments(words.own("paying"), way)) for way in (before, after))
        gone, new = [p for p in parts if p not in others], [p for p in others if p not in parts]
        return "; ".join(gone), "; ".join(new)
    said_before, said_now = (_say(words.own("quote_changes"), change, value) for value in (before, after))
    return said_before, said_now


def _say(words: PaperWords, change: QuoteChange, value: ChangedValue | None) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return name_currency(value, words.job.locale) if change.kind is ChangeKind.CURRENCY else value
    if isinstance(value, date):
        return words.day(value)
    return words.amount(value) if isinstance(value, Decimal) else _say_parts(words, change, value)


def _say_parts(
    words: PaperWords, change: QuoteChange, value: Chosen | LinePrice | TakenOff | WayTerms | PlanAnswered
) -> str:
    match value:
        case LinePrice():
            return _say_line(words.own("quote_lines"), value, change.subject.label)
        case TakenOff():
            percent = [words.percent(value.percent)] if value.percent is not None else []
            other = [value.reason] if value.reason != change.subject.label else []
            return ", ".join([*other, *percent, words.amount(value.change)])
        case WayTerms():
            return words.say("in_all", amount=words.amount(value.total))
        case PlanAnswered():
            return f"{value.plan}, {words.day(value.answered_on)}"
        case tuple():
            sheet = words.own("quote_sheet")
            return list_words(tuple(sheet.say("chosen_jaw", option=name, jaw=words.jaw(arch)) for arch, name in value))


def _say_line(words: PaperWords, line: LinePrice, name: str) -> str:
    """How many at which fee; a name that it does not have now is said with it."""
    amount = words.amount(line.amount)
    if line.amount_to is not None:
        amount = words.say("range", amount=amount, most=words.amount(line.amount_to))
    price = f"{line.quantity} × {words.amount(line.unit_fee)} = {amount}"
    return price if line.label == name else f"{line.label}, {price}"


def _list_payments(words: PaperWords, way: WayTerms) -> Iterator[str]:
    """What is paid at signing, a lender's text, then each stage or series of payments."""
    yield f"{words.say('at_signing')}: {words.amount(way.at_signing)}"
    if way.text:
        yield way.text
    yield from (_say_stage(words, stage) for stage in way.stages)
    yield from (_say_series(words, series) for series in way.series)


def _say_stage(words: PaperWords, stage: StageAmount) -> str:
    day = f" ({words.day(stage.due)})" if stage.due is not None else ""
    return f"{stage.what}{day}: {words.amount(stage.amount)}"


def _say_series(words: PaperWords, series: Series) -> str:
    each = f"{series.number} × {words.amount(series.amount)}"
    days = tuple(dict.fromkeys(words.day(day) for day in (series.first, series.last) if day is not None))
    if not days:
        return each
    return f"{each} ({words.say('from_to', first=days[0], last=days[1]) if len(days) > 1 else days[0]})"
