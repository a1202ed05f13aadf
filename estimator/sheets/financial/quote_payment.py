"""Ways to pay on paper: side by side, then one after another with days and amounts, and the terms of credit."""

from decimal import Decimal

from estimator.inputs.payment.model import Lender
from estimator.quote.payment.instalments import Payment
from estimator.quote.payment.plans import CreditDisclosure, PlannedWay, Series, list_series
from estimator.quote.quote import Quote
from estimator.sheets.base.blocks import Block, Heading, KeepTogether, Paragraph, TableBlock
from estimator.sheets.base.financial_inputs import list_paid_later
from estimator.sheets.base.prose import list_words, make_paragraph, mark_up
from estimator.sheets.financial.wording import DASH, PaperWords, set_widths

_Row = tuple[str, ...]


def write_ways(words: PaperWords, quote: Quote) -> list[Block]:
    """The ways of a quote; nothing where none was chosen."""
    if not quote.ways:
        return [KeepTogether(blocks=(words.head("title"), words.tell("none")))]
    blocks: list[Block] = [words.head("title")]
    if len(quote.ways) > 1:
        blocks = [KeepTogether(blocks=(words.head("title"), words.tell("choose"), _compare(words, quote)))]
    for planned in quote.ways:
        blocks += _write_way(words, planned)
    if list_paid_later(quote):
        blocks.append(words.tell("see_plan", small=True))
    return blocks


def name_way(planned: PlannedWay) -> str:
    """The name of a way as a heading."""
    label = planned.way.label
    return label[:1].upper() + label[1:]


def _compare(words: PaperWords, quote: Quote) -> TableBlock:
    """One row a way. What a lender asks for is not known here."""
    head = tuple(words.say(f"head_{column}") for column in ("way", "signing", "after", "adds", "total"))
    rows = tuple(_compare_way(words, planned) for planned in quote.ways)
    return TableBlock(head=head, rows=rows, widths=set_widths(head, rows), small=True)


def _compare_way(words: PaperWords, planned: PlannedWay) -> _Row:
    if isinstance(planned.way, Lender):
        return (name_way(planned), DASH, DASH, DASH, DASH)
    adds = planned.charge - planned.discount
    return (
        name_way(planned),
        words.amount_or_dash(planned.at_signing),
        str(len(planned.payments)) if planned.payments else DASH,
        words.amount_or_dash(adds),
        words.amount(planned.total),
    )


def _write_way(words: PaperWords, planned: PlannedWay) -> list[Block]:
    title = Heading(text=name_way(planned), level=3)
    if isinstance(planned.way, Lender):
        told = [mark_up("{text}", text=planned.way.text)] if planned.way.text else []
        return [KeepTogether(blocks=(title, make_paragraph(*told, words.mark("lender"))))]
    parts: list[Block] = [title]
    if planned.discount:
        parts.append(make_paragraph(words.mark("discount", amount=words.amount(planned.discount))))
    table = _list_times(words, planned)
    rows: list[Block] = [KeepTogether(blocks=(*parts, table))] if len(table.rows) < _SHORT else [*parts, table]
    return [*rows, *write_box(words, planned.box)]


_SHORT = 8
"""A table of fewer rows is not split over two pages."""


def _list_times(words: PaperWords, planned: PlannedWay) -> TableBlock:
    """When, how many, each: equal instalments in one row, milestones each in its own."""
    rows: list[_Row] = []
    if planned.deposit:
        rows.append(_make_row(words, words.say("at_signing"), 1, planned.deposit))
    if planned.set_up_fee:
        rows.append(_make_row(words, words.say("set_up_fee"), 1, planned.set_up_fee))
    if any(payment.what for payment in planned.payments):
        rows += [_make_row(words, say_when(words, payment), 1, payment.amount) for payment in planned.payments]
    else:
        rows += [
            _make_row(words, _say_days(words, series), series.number, series.amount)
            for series in list_series(planned.payments)
        ]
    rows.append((words.say("in_all"), "", "", words.amount(planned.total)))
    if all(row[1] in ("1", "") for row in rows):
        shown = tuple((row[0], row[3]) for row in rows)
        titles = (words.say("head_when"), words.say("head_amount"))
        return TableBlock(head=titles, rows=shown, widths=(70, 30), bold_last=True, small=True)
    head = tuple(words.say(f"head_{column}") for column in ("when", "number", "each", "sum"))
    return TableBlock(head=head, rows=tuple(rows), widths=(45, 16, 19, 20), bold_last=True, small=True)


def _make_row(words: PaperWords, when: str, number: int, each: Decimal) -> _Row:
    return (when, str(number), words.amount(each), words.amount(number * each))


def say_when(words: PaperWords, payment: Payment) -> str:
    """A milestone, its day where it is known; of an instalment the day."""
    if payment.due is None:
        return payment.what or DASH
    day = words.day(payment.due)
    return words.say("milestone_day", what=payment.what, day=day) if payment.what else day


def _say_days(words: PaperWords, series: Series) -> str:
    if series.first is None or series.last is None:
        return DASH
    if series.first == series.last:
        return words.day(series.first)
    return words.say("from_to", first=words.day(series.first), last=words.day(series.last))


def write_box(words: PaperWords, box: CreditDisclosure | None) -> list[Block]:
    """The terms of credit, where they have to be disclosed; whole on one page."""
    if box is None:
        return []
    return [KeepTogether(blocks=(Heading(text=words.say("box.title"), level=3), list_terms(words, box)))]


def list_terms(words: PaperWords, box: CreditDisclosure) -> TableBlock:
    """What the credit costs and how it is paid, term by term."""
    apr = words.say("box.apr_unknown") if box.apr is None else words.percent_exact(box.apr)
    amounts = {
        "finance_charge": box.finance_charge,
        "amount_financed": box.amount_financed,
        "total_of_payments": box.total_of_payments,
    }
    rows = [(words.say("box.creditor"), box.creditor or words.say("box.not_said")), (words.say("box.apr"), apr)]
    rows += [(words.say(f"box.{key}"), words.amount(amount)) for key, amount in amounts.items()]
    price = words.say("box.with_down", price=words.amount(box.total_sale_price), down=words.amount(box.down_payment))
    rows.append((words.say("box.total_sale_price"), price))
    rows.append((words.say("box.payments"), list_words(tuple(_say_series(words, one) for one in box.schedule))))
    rows += [
        (words.say(f"box.{key}"), getattr(box, key) or words.say("box.not_said"))
        for key in ("late_payment", "paying_early")
    ]
    head = (words.say("box.head_term"), words.say("box.head_here", currency=words.currency_name))
    return TableBlock(head=head, rows=tuple(rows), widths=(52, 48), left=(0, 1), bold=(1, 2), small=True)


def _say_series(words: PaperWords, series: Series) -> str:
    times = words.say("box.times", number=series.number, amount=words.amount(series.amount))
    times = times.replace(" ", "\N{NO-BREAK SPACE}")
    days = _say_days(words, series)
    return times if days == DASH else f"{times} ({days})"


def write_note(words: PaperWords, planned: PlannedWay) -> list[Paragraph]:
    """What the price of a way is made of, where it is not the price of the quote."""
    told = []
    if planned.discount:
        told.append(words.mark("discount", amount=words.amount(planned.discount)))
    if planned.charge:
        told.append(words.mark("charge", amount=words.amount(planned.charge), price=words.amount(planned.price)))
    return [make_paragraph(*told)] if told else []
