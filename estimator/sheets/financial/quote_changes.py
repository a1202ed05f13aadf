"""What changed since the version before, on paper: place by place, with what stood there and what stands there now."""

import re
from datetime import date
from decimal import Decimal

from estimator.base.formats import name_currency
from estimator.base.money import MINOR_UNITS
from estimator.inputs.payment.model import Lender
from estimator.quote.quote import Quote, QuoteChange
from estimator.sheets.base.blocks import Block, TableBlock
from estimator.sheets.base.prose import list_words, make_paragraph
from estimator.sheets.financial.wording import DASH, PaperWords

_DAY = re.compile(r"\b\d{4}-\d{2}-\d{2}\b")
_PERCENT = re.compile(r"(\d+(?:\.\d+)?) %")
_RANGE = re.compile(r"(\S+) to (\S+)$")
"""How a version tells the price of a line that is not known yet."""
_NOT_FOR_PATIENTS = ("profile",)
"""Nor a lender, whose price is not known."""
_TOTAL, _SIGNING = " in all", " at signing"
"""How a version tells the total of a way, and what is paid at signing."""
_SPAN = re.compile(r"(\d{4}-\d{2}-\d{2}) to (\d{4}-\d{2}-\d{2})")
"""How it tells the days of instalments."""
_NAMED = (
    "title", "made_by", "valid_until", "currency", "price_date", "options", "answered", "total", "tax", "write_off",
    "plan_pays", "left", "at_most",
)  # fmt: skip


def write_changes(words: PaperWords, quote: Quote) -> list[Block]:
    """A table of the changes, what is paid first; nothing in a first version."""
    hidden = (*_NOT_FOR_PATIENTS, *(f"ways.{one.way.key}" for one in quote.ways if isinstance(one.way, Lender)))
    asked = (change for change in quote.changes if change.place not in hidden)
    found = [(change, *_tell(change)) for change in sorted(asked, key=_rank)]
    told = [(change, before, now) for change, before, now in found if before != now]
    if not told:
        return []
    own = words.own("quote_changes")
    head = tuple(own.say(f"head_{column}") for column in ("what", "before", "now"))
    rows = tuple(_make_row(own, change, before, now, quote) for change, before, now in told)
    intro = make_paragraph(own.mark("intro", number=quote.number, before=quote.version - 1))
    return [own.head("title"), intro, TableBlock(head=head, rows=rows, widths=(36, 32, 32), left=(0, 1, 2), small=True)]


def _rank(change: QuoteChange) -> int:
    """What is left to pay, then other totals and the heading, then lines, discounts and ways."""
    return 0 if change.place == "left" else 1 if change.place in _NAMED else 2


def _tell(change: QuoteChange) -> tuple[str, str]:
    """What stood there and what stands there now, as far as a patient asks.

    Of a line its price: what is paid of each line follows from that, and has a table of its own. Of a way its total,
    and where that is the same its payments.
    """
    kind = change.place.partition(".")[0]
    if kind == "lines":
        return _cut(change.before, ", you pay"), _cut(change.after, ", you pay")
    if kind == "ways":
        totals = _pick_total(change.before), _pick_total(change.after)
        return totals if totals[0] != totals[1] else _pick_payments(change)
    return change.before, change.after


def _cut(text: str, end: str) -> str:
    return text.rpartition(end)[0] or text


def _pick_total(text: str) -> str:
    return next((part.strip() for part in text.split(";") if part.endswith(_TOTAL)), text)


def _pick_payments(change: QuoteChange) -> tuple[str, str]:
    """What a way says of its payments and did not say before, and the other way round; its name is no part of it."""
    before, after = (text.split("; ")[1:] for text in (change.before, change.after))
    return (
        "; ".join(part for part in before if part not in after),
        "; ".join(part for part in after if part not in before),
    )


def _make_row(words: PaperWords, change: QuoteChange, before: str, now: str, quote: Quote) -> tuple[str, ...]:
    name = _name_place(words, change, quote)
    shown = (_show(words, _say(words, change.place, text.removeprefix(f"{name}, "))) for text in (before, now))
    return (name[:1].upper() + name[1:], *shown)


def _say(words: PaperWords, place: str, text: str) -> str:
    """What a version tells of a place in the words of the paper, amounts and days still as they were told."""
    if not text:
        return ""
    kind = place.partition(".")[0]
    if kind == "ways":
        return "; ".join(_say_part(words, part) for part in text.split("; "))
    if kind == "lines":
        lines = words.own("quote_lines")
        return _RANGE.sub(lambda found: lines.say("range", amount=found[1], most=found[2]), text)
    if place == "options":
        sheet, parts = words.own("quote_sheet"), (part.partition(": ") for part in text.split("; "))
        return list_words(tuple(sheet.say("chosen_jaw", option=name, jaw=words.jaw(arch)) for arch, _, name in parts))
    return name_currency(text, words.job.locale) if place == "currency" else text


def _say_part(words: PaperWords, part: str) -> str:
    """A part of a way: its total, what is paid at signing, one payment or several."""
    if part.endswith(_TOTAL):
        return words.say("in_all", amount=part.removesuffix(_TOTAL))
    paying = words.own("paying")
    if part.endswith(_SIGNING):
        return f"{paying.say('at_signing')}: {part.removesuffix(_SIGNING)}"
    return _SPAN.sub(lambda found: paying.say("from_to", first=found[1], last=found[2]), part)


def _name_place(words: PaperWords, change: QuoteChange, quote: Quote) -> str:
    """A total or a part of the heading by its word; a line, a discount or a way by its own name, a text by its case."""
    if change.place in _NAMED:
        return words.say(f"places.{change.place}")
    labels = {f"lines.{one.line.key}": one.line.label for one in quote.lines}
    labels |= {f"ways.{one.way.key}": one.way.label for one in quote.ways}
    text = f"quote.{change.place}"
    if words.job.wording.has(text):
        return words.job.wording.get(text)
    return labels.get(change.place) or change.subject or re.split(r"[,;]", change.after or change.before)[0]


def _show(words: PaperWords, text: str) -> str:
    """The text of a version with its amounts and days as a reader of this place writes them."""
    if not text:
        return DASH
    decimals = MINOR_UNITS[words.currency]
    amount = re.compile(
        rf"(?<![\d.-])-?\d+\.\d{{{decimals}}}(?![\d.])" if decimals else r"(?<![\d.-])-?\d{4,}(?![\d.-])"
    )
    text = _PERCENT.sub(lambda found: words.percent(Decimal(found[1])), text)
    days = _DAY.split(text)
    shown = [amount.sub(lambda found: words.amount(Decimal(found.group())), part) for part in days]
    told = [words.day(date.fromisoformat(found)) for found in _DAY.findall(text)]
    joined = "".join(part for pair in zip(shown, [*told, ""], strict=True) for part in pair)
    return joined.replace(" x ", " × ")
