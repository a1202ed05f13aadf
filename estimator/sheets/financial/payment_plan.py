"""The payment plan on paper: every payment with its day, its amount and what is still owed, and the terms of credit."""

from decimal import Decimal

from estimator.inputs.payment.model import Instalments
from estimator.quote.payment.instalments import Payment
from estimator.quote.payment.plans import PlannedWay
from estimator.sheets.base.blocks import Block, Bullets, PageBreak, Sheet, TableBlock, Text
from estimator.sheets.base.context import SheetJob
from estimator.sheets.base.financial_inputs import list_paid_later
from estimator.sheets.base.layout import make_patient_sheet
from estimator.sheets.base.prose import make_paragraph
from estimator.sheets.financial.quote_payment import name_way, say_when, write_box, write_note
from estimator.sheets.financial.quote_sheet import write_own_texts
from estimator.sheets.financial.wording import PaperWords, name_paper, open_quote_paper


def write_payment_plan(job: SheetJob) -> Sheet:
    """The whole sheet: a section for each way that is paid bit by bit."""
    words = open_quote_paper(job, "paying")
    quote = words.papers.get_quote()
    number = words.papers.get_quote_number()
    belongs = words.mark("plan.belongs", name=name_paper(words, quote.title, number))
    blocks: list[Block] = [make_paragraph(belongs)]
    for place, planned in enumerate(list_paid_later(quote)):
        blocks += [PageBreak()] if place else []
        blocks += _write_plan(words, planned)
    blocks += write_own_texts(words.own("quote_sheet"), quote)
    name = name_paper(words, words.say("plan.title"), number)
    about = words.jaws(tuple(arch for arch, _ in quote.options))
    return make_patient_sheet(
        words.job, title=words.say("plan.title"), name=name, blocks=blocks, prices=True, about=about
    )


def _write_plan(words: PaperWords, planned: PlannedWay) -> list[Block]:
    title = words.head("plan.way", name=name_way(planned))
    return [title, Bullets(items=_list_facts(words, planned)), *write_note(words, planned),
            _make_table(words, planned), *write_box(words, planned.box)]  # fmt: skip


def _list_facts(words: PaperWords, planned: PlannedWay) -> tuple[Text, ...]:
    facts = [words.mark("plan.price", amount=words.amount(planned.price), currency=words.currency_name)]
    if planned.at_signing:
        facts.append(words.mark("plan.at_signing", amount=words.amount(planned.at_signing)))
    if isinstance(planned.way, Instalments) and planned.way.rate_percent:
        facts.append(words.mark("plan.rate", percent=words.percent(planned.way.rate_percent)))
    facts.append(words.mark("plan.total", amount=words.amount(planned.total)))
    return tuple(facts)


def _make_table(words: PaperWords, planned: PlannedWay) -> TableBlock:
    """Every payment from signing on; a column for interest only where there is some."""
    owed = sum((payment.principal for payment in planned.payments), Decimal(0))
    rows = [
        _make_row(words, words.say(key), amount, Decimal(0), owed)
        for key, amount in (("at_signing", planned.deposit), ("set_up_fee", planned.set_up_fee))
        if amount
    ]
    rows += [_make_payment_row(words, payment) for payment in planned.payments]
    rows.append((words.say("in_all"), words.amount(planned.total), words.amount(planned.interest), ""))
    head = tuple(words.say(f"plan.head_{column}") for column in ("when", "amount", "interest", "owed"))
    keep = (0, 1, 2, 3) if planned.interest else (0, 1, 3)
    widths = tuple((43, 19, 18, 20)[i] for i in keep)
    shown = tuple(tuple(row[i] for i in keep) for row in rows)
    return TableBlock(head=tuple(head[i] for i in keep), rows=shown, widths=widths, bold_last=True, small=True)


def _make_payment_row(words: PaperWords, payment: Payment) -> tuple[str, ...]:
    when = words.say("plan.numbered", number=payment.number, when=say_when(words, payment))
    return _make_row(words, when, payment.amount, payment.interest, payment.balance)


def _make_row(words: PaperWords, when: str, amount: Decimal, interest: Decimal, owed: Decimal) -> tuple[str, ...]:
    return (when, words.amount(amount), words.amount_or_dash(interest), words.amount(owed))
