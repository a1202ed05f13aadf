"""The quote on paper: what it costs, what comes off, ways to pay, every line, what changed; from the quote alone."""

from estimator.proposal.numbering import number_quote
from estimator.quote.benefits.explanations import say_promise
from estimator.quote.quote import Quote, QuoteState, group_lines
from estimator.sheets.base.blocks import Block, Bullets, KeepTogether, Paragraph, Sheet, SignLine, TableBlock, Text
from estimator.sheets.base.context import SheetJob
from estimator.sheets.base.layout import make_patient_sheet
from estimator.sheets.base.prose import list_words, make_paragraph, mark_up
from estimator.sheets.base.stated import name_adjustment, tell_excluded_of
from estimator.sheets.financial.quote_changes import write_changes
from estimator.sheets.financial.quote_lines import write_lines
from estimator.sheets.financial.quote_payment import write_ways
from estimator.sheets.financial.wording import PaperWords, name_paper, open_quote_paper, say_room, tell_number

_Rows = list[tuple[str, str]]
_TOLD_STATES = (QuoteState.AGREED, QuoteState.NOT_NOW, QuoteState.STOPPED, QuoteState.OUT_OF_DATE)
"""Those that mean something to whom it is given: not that it is prepared or was taken home."""


def write_quote(job: SheetJob) -> Sheet:
    """The whole sheet."""
    words = open_quote_paper(job, "quote_sheet")
    quote = words.papers.get_quote()
    blocks: list[Block] = [
        Bullets(items=_list_facts(words, quote)),
        *_write_cost(words, quote),
        *write_changes(words, quote),
        *write_ways(words.own("paying"), quote),
        *write_own_texts(words, quote),
        *write_lines(words.own("quote_lines"), quote),
        *_write_end(words, quote),
    ]
    name = name_paper(words, quote.title, words.papers.get_quote_number())
    about = words.jaws(tuple(arch for arch, _ in quote.options))
    return make_patient_sheet(words.job, title=quote.title, name=name, blocks=blocks, prices=True, about=about)


def _list_facts(words: PaperWords, quote: Quote) -> tuple[Text, ...]:
    told = quote.state in _TOLD_STATES
    state = words.job.wording.get(f"quote.states.{quote.state}") if told else ""
    facts = [tell_number(words, words.papers.get_quote_number() or number_quote(quote), state)]
    facts.append(words.mark("valid", day=words.day(quote.valid_until)))
    if quote.options:
        facts.append(words.mark("chosen", options=list_words(_name_options(words, quote))))
        facts += [mark_up("**{said}**", said=said) for said in say_room(words)]
    if quote.made_by:
        facts.append(words.mark("made_by", name=quote.made_by))
    facts.append(words.mark("prices", day=words.day(quote.price_date), currency=words.currency_name))
    return tuple(facts)


def _name_options(words: PaperWords, quote: Quote) -> tuple[str, ...]:
    """What was chosen in the patient's words, where the practice still has an option of that name."""
    known = {
        name: made.patient_name
        for jaw in words.job.estimate.jaws
        for made in jaw.estimates
        for name in (made.key, made.name)
    }
    return tuple(
        words.say("chosen_jaw", option=known.get(name, name), jaw=words.jaw(arch)) for arch, name in quote.options
    )


def _write_cost(words: PaperWords, quote: Quote) -> list[Block]:
    """From the sums of the groups to what is left for the patient; each row is worked out from those above it."""
    rows: _Rows = [(words.say(f"kinds.{group.kind}"), words.amount(group.total)) for group in group_lines(quote.lines)]
    rows += _list_changes_of_price(words, quote)
    bold: list[int] = []
    if quote.plan_pays or quote.write_off:
        bold.append(len(rows))
        rows.append((words.say("cost.total"), words.amount(quote.total)))
        pays = "cost.plan_says" if quote.answered and quote.answered.every_line else "cost.plan_pays"
        helped = (("cost.write_off", quote.write_off), (pays, quote.plan_pays))
        rows += [(words.say(key), words.amount(-amount)) for key, amount in helped if amount]
    rows.append((words.say("cost.left"), words.amount(quote.left)))
    head = (words.say("cost.head_what"), words.say("cost.head_amount", currency=words.currency_title))
    table = TableBlock(head=head, rows=tuple(rows), widths=(70, 30), bold=tuple(bold), bold_last=True)
    return [words.head("cost.title"), table, *_write_about_cost(words, quote)]


def _list_changes_of_price(words: PaperWords, quote: Quote) -> _Rows:
    rows = [(name_adjustment(words.job, one), words.amount(one.change)) for one in quote.adjusted.applied]
    if rows:
        rows.insert(0, (words.say("cost.before"), words.amount(quote.adjusted.total_before)))
    if quote.tax:
        rows.append((words.say("cost.tax"), words.amount(quote.tax)))
    return rows


def _write_about_cost(words: PaperWords, quote: Quote) -> list[Block]:
    blocks: list[Block] = []
    if quote.plan_pays or quote.write_off or quote.answered:
        said = say_promise(quote.answered, words.job.wording, locale=words.job.locale)
        blocks.append(make_paragraph(mark_up("**{said}**", said=said), words.own("benefits").mark("who_decides")))
    told = []
    if quote.at_most != quote.left:
        told.append(words.mark("cost.at_most", amount=words.amount(quote.at_most)))
    if quote.laboratory_kinds:
        ours, laboratory = (words.amount(amount) for amount in quote.columns)
        told.append(words.mark("cost.columns", total=words.amount(quote.total), ours=ours, laboratory=laboratory))
    if quote.middle:
        told.append(words.job.mark("terms.ranges"))
    told += tell_excluded_of(words.job, quote)
    if told:
        blocks.append(make_paragraph(*told))
    return [*blocks, _write_rules(words, quote)]


def _write_rules(words: PaperWords, quote: Quote) -> Paragraph:
    """How the sums and the tax were worked out, and why there is no tax where there is none."""
    applied = quote.adjusted.applied
    rules = [words.mark("rules.total")]
    if len(applied) > 1:
        rules.append(words.mark("rules.in_order"))
    rules += [words.mark(f"rules.{key}") for key in dict.fromkeys(one.rounding for one in applied)]
    rules += [words.mark("rules.tax")] if quote.tax else []
    rules += [words.mark("rules.no_tax", reason=reason) for reason in quote.tax_reasons]
    return make_paragraph(*rules, small=True)


def write_own_texts(words: PaperWords, quote: Quote) -> list[Block]:
    """The practice's own words on what is owed if treatment ends otherwise than planned."""
    if not quote.texts:
        return []
    texts = [make_paragraph(mark_up("{text}", text=one.text)) for one in quote.texts]
    return [KeepTogether(blocks=(words.head("own.title"), texts[0])), *texts[1:]]


def _write_end(words: PaperWords, quote: Quote) -> list[Block]:
    told = words.tell("end.ask", "end.decide")
    if not quote.signature_required:
        return [KeepTogether(blocks=(words.head("end.title"), told))]
    date = words.say("end.date")
    return [
        KeepTogether(
            blocks=(
                words.head("end.title"),
                told,
                make_paragraph(words.mark("end.sign", day=words.day(quote.valid_until))),
                SignLine(labels=(words.say("end.patient"), date), widths=(72, 28)),
                SignLine(labels=(words.say("end.practice"), date), widths=(72, 28)),
            )
        )
    ]
