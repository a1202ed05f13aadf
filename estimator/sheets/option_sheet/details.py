"""The pages behind the summary: the numbers again, every line, what comes later, who decides, the sources."""

from collections import defaultdict
from decimal import Decimal
from typing import TYPE_CHECKING

from estimator.base.evidence import Figure
from estimator.base.formats import format_amount, format_day, format_mm, format_number, name_currency
from estimator.estimate.clearance.layers import say_finding
from estimator.estimate.clearance.verdict import Verdict
from estimator.estimate.compare import ComparisonRow
from estimator.inputs.reference.layers import LayerKey
from estimator.proposal.statement import Offer
from estimator.quote.lines import QuoteLine
from estimator.sheets.base.blocks import Block, Bullets, Heading, KeepTogether, PageBreak, TableBlock, Text
from estimator.sheets.base.prose import make_paragraph, mark_up
from estimator.sheets.base.stated import find_parts, list_moments, name_adjustment, write_both_jaws
from estimator.sheets.option_sheet.choices import write_choices, write_values
from estimator.sheets.option_sheet.clearance_details import list_minimum_sources, write_room_details
from estimator.sheets.option_sheet.decision_aid import write_score
from estimator.sheets.option_sheet.risks import write_chances
from estimator.sheets.option_sheet.upkeep_details import write_later

if TYPE_CHECKING:
    from estimator.sheets.base.context import SheetJob

_THREE = (50, 26, 24)


def write_details(job: "SheetJob") -> list[Block]:
    """Everything after the two-page summary."""
    turn = () if job.runs_on else (PageBreak(),)
    return [
        *_write_numbers(job),
        *write_both_jaws(job),
        *_write_when(job),
        *_write_talk(job),
        *_write_who_decides(job),
        *write_choices(job),
        *write_chances(job),
        *turn,
        *write_values(job),
        *turn,
        *write_room_details(job),
        *_write_lines(job),
        *write_later(job),
        *_write_sources(job),
        *write_score(job),
    ]


def _write_numbers(job: "SheetJob") -> list[Block]:
    currency = name_currency(job.estimate.practice.fees.currency, job.locale)
    room_head = tuple(job.say(f"numbers_again.{key}") for key in ("room_head", "least", "usual", "result"))
    money_head = (job.say("numbers_again.money_head", currency=currency),
                  *(job.say(f"numbers_again.{key}") for key in ("first", "later", "total")))  # fmt: skip
    return [
        Heading(text=job.say("numbers_again.title"), level=2),
        TableBlock(
            head=room_head,
            rows=tuple(_write_room_row(job, row) for row in job.rows),
            widths=(49, 14, 14, 23),
            small=True,
        ),
        TableBlock(
            head=money_head,
            rows=tuple(_write_money_row(job, row) for row in job.rows),
            widths=(45, 11, 19, 25),
            small=True,
        ),
    ]


def _write_room_row(job: "SheetJob", row: ComparisonRow) -> tuple[str, ...]:
    nothing = job.say("time.nothing")
    if row.clearance is None:
        return (row.patient_name, nothing, nothing, nothing)
    clearance = row.clearance
    result = nothing
    if clearance.verdict is Verdict.DOES_NOT_FIT:
        headline = clearance.headline
        by_height = headline.key is LayerKey.HEIGHT and headline.short_mm
        short = job.say("numbers_again.short", mm=format_mm(headline.short_mm, job.locale))
        result = short if by_height else headline.patient_name
    elif clearance.margin_mm is not None:
        result = format_mm(clearance.margin_mm, job.locale)
    numbers = (format_amount(length, job.locale, decimals=2) for length in (clearance.least_mm, clearance.required_mm))
    return (row.patient_name, *numbers, result)


def _write_money_row(job: "SheetJob", row: ComparisonRow) -> tuple[str, ...]:
    nothing = job.say("time.nothing")
    if row.first_cost is None:
        return (row.patient_name, nothing, nothing, nothing)
    if row.upkeep is None or row.total is None:
        return (row.patient_name, job.money(row.first_cost), job.say("numbers_again.not_estimated"), nothing)
    low, _, high = (job.writer.about(amount) for amount in row.total)
    total = job.say("numbers_again.total_range", low=low, high=high)
    return (row.patient_name, job.money(row.first_cost), job.writer.about(row.upkeep[1]), total)


def _write_lines(job: "SheetJob") -> list[Block]:
    blocks: list[Block] = [Heading(text=job.say("lines.title"), level=2)]
    for option in job.jaw.estimates:
        part: list[Block] = [Heading(text=option.patient_name, level=3)]
        if option.clearance.verdict is Verdict.DOES_NOT_FIT:
            finding = say_finding(option.clearance.layers, patient=True)
            told = job.mark("lines.finding", finding=finding[:1].upper() + finding[1:])
            part.append(make_paragraph(told))
        blocks.append(KeepTogether(blocks=(*part, _write_line_table(job, job.find_offer(option.key)))))
    if job.wording.is_translation:
        blocks.append(make_paragraph(job.mark("lines.as_written"), small=True))
    return [*blocks, *_write_tax_rule(job)]


def _write_tax_rule(job: "SheetJob") -> list[Block]:
    """How tax is rounded where there is some, and why there is none, in the practice's own words where it gives any."""
    offers = job.stated.offers
    reasons = dict.fromkeys(reason for offer in offers for reason in offer.price.tax_reasons)
    told = [job.mark("lines.tax_rule")] if any(offer.price.tax for offer in offers) else []
    told += [job.mark("lines.no_tax", reason=reason) for reason in reasons]
    return [make_paragraph(*told, small=True)] if told else []


def _write_line_table(job: "SheetJob", offer: Offer) -> TableBlock:
    """Every line with quantity times unit fee, what comes off, tax; the last row is their sum."""
    price = offer.price
    rows = tuple(_write_line(job, one.line) for one in price.lines)
    rows += tuple((name_adjustment(job, one), "", job.money(one.change, exact=True)) for one in price.adjusted.applied)
    if price.tax:
        rows += ((job.say("lines.tax"), "", job.money(price.tax, exact=True)),)
    total = (job.say("lines.total"), "", _say_amount(job, price.total, price.ends))
    head = tuple(job.say(f"lines.{column}") for column in ("what", "times", "amount"))
    return TableBlock(head=head, rows=(*rows, total), widths=_THREE, bold_last=True, small=True)


def _write_line(job: "SheetJob", line: QuoteLine) -> tuple[str, ...]:
    if line.unit_fee == 0:
        return (line.label, str(line.quantity), job.say("lines.included"))
    times = job.say("lines.times_fee", quantity=line.quantity, fee=job.money(line.unit_fee, exact=True))
    ends = None if line.amount_from is None or line.amount_to is None else (line.amount_from, line.amount_to)
    return (line.label, times, _say_amount(job, line.amount, ends))


def _say_amount(job: "SheetJob", amount: Decimal, ends: tuple[Decimal, Decimal] | None) -> str:
    """An amount in full; where a fee is a range, its middle with both ends."""
    shown = job.money(amount, exact=True)
    if ends is None:
        return shown
    low, high = (job.money(end, exact=True) for end in ends)
    return job.say("lines.about", amount=shown, low=low, high=high)


def _write_when(job: "SheetJob") -> list[Block]:
    """The parts of each choice; the quote says it where the other ways to pay stand, or where both jaws are decided."""
    title = Heading(text=job.say("when.title"), level=2)
    parts = list_moments(job)
    both = job.statement.is_decided and len(job.statement.jaws) > 1
    if both or (not parts and job.statement.quote and job.statement.quote.ways):
        return [title, make_paragraph(mark_up(job.wording.get("statement.both.on_quote")))]
    if not parts:
        return []
    rows = tuple(_write_parts(job, offer, len(parts)) for offer in job.stated.offers)
    width = 58 / len(parts)
    table = TableBlock(head=(job.say("when.choice"), *parts), rows=rows, widths=(42, *[width] * len(parts)), small=True)
    return [title, table]


def _write_parts(job: "SheetJob", offer: Offer, number: int) -> tuple[str, ...]:
    """What is paid at each moment; nothing each time where there is nothing to pay."""
    way = find_parts(offer)
    amounts = [payment.amount for payment in way.payments] if way and way.payments else [Decimal(0)] * number
    return (offer.option.label, *(job.money(amount, exact=True) for amount in amounts))


def _write_talk(job: "SheetJob") -> list[Block]:
    """Cautions in the patient's words, each once."""
    cautions = [c for option in job.jaw.estimates for c in option.clearance.cautions if c.patient_text]
    texts = tuple(dict.fromkeys(caution.patient_text for caution in cautions))
    if not texts:
        return []
    items = tuple(mark_up("{text}", text=text) for text in texts)
    return [Heading(text=job.say("talk.title"), level=2), Bullets(items=items)]


def _write_who_decides(job: "SheetJob") -> list[Block]:
    text = make_paragraph(job.mark("who_decides.text"), job.mark("who_decides.not_quote"))
    return [Heading(text=job.say("who_decides.title"), level=2), text]


def _write_sources(job: "SheetJob") -> list[Block]:
    fees = job.estimate.practice.fees
    groups: dict[tuple[str, str], list[Figure]] = defaultdict(list)
    for figure in {f.key: f for option in job.jaw.estimates for f in option.basis}.values():
        groups[(job.estimate.practice.evidence.cite(figure), _say_how_sure(job, figure))].append(figure)
    items = tuple(
        job.mark("sources.group", source=source, sure=sure, figures="; ".join(_show_figure(job, f) for f in figures))
        for (source, sure), figures in groups.items()
    )
    prices = job.mark("sources.fees", file=fees.file, day=format_day(fees.price_date, job.locale))
    update = job.mark("sources.update", day=format_day(job.day, job.locale))
    return [
        Heading(text=job.say("sources.title"), level=2),
        make_paragraph(job.mark("sources.intro")),
        *_list_small(items + list_minimum_sources(job)),
        make_paragraph(prices, update, small=True),
        *([make_paragraph(job.mark("translation.left"))] if job.left_in_english else []),
    ]


def _list_small(items: tuple[Text, ...]) -> list[Block]:
    return [make_paragraph(item, small=True) for item in items]


def _say_how_sure(job: "SheetJob", figure: Figure) -> str:
    sure = job.say("sources.own" if figure.own else f"sources.{figure.how_sure}")
    if figure.confirmed_on is not None:
        day = format_day(figure.confirmed_on, job.locale)
        return job.say("sources.confirmed", sure=sure, name=figure.confirmed_by, day=day)
    return job.say("sources.assumption", sure=sure) if figure.assumption else sure


def _show_figure(job: "SheetJob", figure: Figure) -> str:
    low, value, high = (format_number(number, job.locale) for number in figure.points)
    if low != high:
        value = job.say("sources.range", value=value, low=low, high=high)
    return job.say("sources.line", name=figure.name, value=value, unit=figure.unit)
