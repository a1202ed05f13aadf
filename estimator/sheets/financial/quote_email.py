"""The quote as lines of plain text in the patient's words, for an e-mail; ways to pay step by step."""

from collections.abc import Iterator
from decimal import Decimal

from estimator.inputs.payment.model import Lender
from estimator.quote.benefits import explanations
from estimator.quote.payment.plans import PlannedWay, list_series
from estimator.quote.quote import PricedLine, Quote, group_lines
from estimator.sheets.base.prose import say_text
from estimator.sheets.base.stated import tell_excluded_of
from estimator.sheets.financial.quote_payment import list_terms, name_way
from estimator.sheets.financial.wording import PaperWords, name_paper, say_room


def write_quote_text(words: PaperWords) -> str:
    """The whole quote, line by line, in the language of the words; it names no patient."""
    quote = words.papers.get_quote()
    parts = (_write_head(words, quote), _write_lines(words, quote), _write_price(words, quote),
             _write_ways(words, quote), _write_end(words, quote))  # fmt: skip
    return "\n\n".join(text for part in parts if (text := "\n".join(part)))


def _write_head(words: PaperWords, quote: Quote) -> Iterator[str]:
    yield name_paper(words, quote.title, words.papers.get_quote_number())
    for arch, name in quote.options:
        yield f"{name}, {words.jaw(arch)}"
    yield from say_room(words)


def _write_lines(words: PaperWords, quote: Quote) -> Iterator[str]:
    """Group by group, as at the table."""
    for group in group_lines(quote.lines):
        yield f"{words.say(group.kind.value)}: {words.amount(group.total)}"
        yield from (f"- {_tell_line(words, quote, one)}" for one in group.lines)


def _tell_line(words: PaperWords, quote: Quote, one: PricedLine) -> str:
    line = one.line
    if line.amount_to is not None:
        amount = words.say("up_to", amount=words.amount(line.amount), most=words.amount(line.amount_to))
    else:
        amount = words.amount(line.amount) if line.amount else words.say("included")
    times = f" (× {line.quantity})" if line.quantity != 1 else ""
    return f"{label_line(words, quote, one)}{times}: {amount}"


def label_line(words: PaperWords, quote: Quote, one: PricedLine) -> str:
    """A line with its jaw where there are two."""
    line = one.line
    return f"{line.label} ({words.jaw(line.arch)})" if len(quote.options) > 1 and line.arch else line.label


def _write_price(words: PaperWords, quote: Quote) -> Iterator[str]:
    for applied in quote.adjusted.applied:
        yield f"{applied.adjustment.reason}: {words.amount(applied.change)}"
    if quote.tax:
        yield f"{words.say('tax')}: {words.amount(quote.tax)}"
    for key, amount in list_amounts(quote):
        yield f"{words.say(key)}: {words.amount(amount)}"
    yield words.currency_title
    yield from list_limits(words, quote)


def list_limits(words: PaperWords, quote: Quote) -> list[str]:
    """That a range is counted with its middle, and what is not included."""
    told = [words.job.say("terms.ranges")] if quote.middle else []
    return [*told, *map(say_text, tell_excluded_of(words.job, quote))]


def list_amounts(quote: Quote) -> list[tuple[str, Decimal]]:
    """From the price to what the patient pays: the key of each word and its amount, the last one without help first."""
    helped = [("before_help", quote.total), ("write_off", quote.write_off), ("plan_pays", quote.plan_pays)]
    amounts = [(key, amount) for key, amount in helped if amount] if quote.plan_pays or quote.write_off else []
    amounts.append(("you_pay", quote.left))
    return [*amounts, ("you_pay_at_most", quote.at_most)] if quote.at_most != quote.left else amounts


def _write_ways(words: PaperWords, quote: Quote) -> Iterator[str]:
    if quote.ways:
        yield words.say("ways")
    for planned in quote.ways:
        told = [planned.way.text] if isinstance(planned.way, Lender) else list_steps(words, planned)
        yield f"- {name_way(planned)}: {' '.join(text if text.endswith('.') else f'{text}.' for text in told if text)}"
        if planned.box is not None:
            yield from (f"  {term}: {text}" for term, text in list_terms(words.own("paying"), planned.box).rows)


def list_steps(words: PaperWords, planned: PlannedWay) -> list[str]:
    """In all, what it adds, at signing, then payment by payment or series by series; the rate where no terms say it."""
    steps = [words.say("in_all", amount=words.amount(planned.total))]
    more = planned.charge - planned.discount
    if more:
        steps.append(words.say("costs_more" if more > 0 else "costs_less", amount=words.amount(abs(more))))
    at_signing = words.amount(planned.at_signing) if planned.at_signing else ""
    steps.append(words.say("at_signing", amount=at_signing) if at_signing else words.say("at_signing_nothing"))
    if planned.payments and planned.payments[0].due is None:
        return [*steps, *(words.say("then_when", amount=words.amount(p.amount), what=p.what) for p in planned.payments)]
    for series in list_series(planned.payments):
        first = words.day(series.first) if series.first else ""
        steps.append(words.say("then_from", number=series.number, amount=words.amount(series.amount), first=first))
    if planned.apr is not None and planned.box is None:
        steps.append(words.say("apr", apr=words.percent_exact(planned.apr)))
    return steps


def say_plan_promise(words: PaperWords, quote: Quote) -> str:
    """That what a plan pays is no promise, neither as estimated nor as it answered; nothing where no plan pays."""
    if quote.answered:
        return explanations.say_promise(quote.answered, words.job.wording, locale=words.job.locale)
    return words.say("not_promised") if quote.plan_pays else ""


def _write_end(words: PaperWords, quote: Quote) -> Iterator[str]:
    if promise := say_plan_promise(words, quote):
        yield promise
    yield from (own.text for own in quote.texts)
    yield words.say("until", day=words.day(quote.valid_until), day_of_prices=words.day(quote.price_date))
    if words.job.estimate.practice.fees.invented:
        yield words.say("invented")
    yield words.say("by_practice")
    yield words.say("not_a_bill")
