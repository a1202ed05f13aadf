"""The benefit estimate on paper: what plans pay of each line and why, year by year; not a guarantee, on every page."""

from datetime import date
from decimal import Decimal

from estimator.inputs.plans.model import BenefitPlan
from estimator.quote.benefits.adjudication import ZERO
from estimator.quote.benefits.claims import sum_up_answer
from estimator.quote.benefits.estimate import BenefitEstimate, BenefitLine
from estimator.quote.benefits.explanations import say_phases, say_promise
from estimator.quote.benefits.phasing import PhaseComparison
from estimator.sheets.base.blocks import Block, Bullets, Heading, KeepTogether, Sheet, TableBlock, Text
from estimator.sheets.base.context import SheetJob
from estimator.sheets.base.financial_inputs import NO_PAPERS
from estimator.sheets.base.layout import make_patient_sheet
from estimator.sheets.base.prose import join_texts, make_paragraph, mark_up
from estimator.sheets.financial.benefit_reasons import part_lines, write_reasons
from estimator.sheets.financial.wording import PaperWords, name_paper, open_paper, set_widths

_TEXT = "benefit_sheet"


def write_benefits(job: SheetJob) -> Sheet:
    """The whole sheet: a section for each estimate."""
    words = _open(job)
    benefits = words.own("benefits")
    estimates = words.papers.benefits
    promises = dict.fromkeys(
        say_promise(sum_up_answer(compared.as_planned), job.wording, locale=job.locale) for compared in estimates
    )
    opening = (*(mark_up("**{said}**", said=said) for said in promises), benefits.mark("who_decides"))
    blocks: list[Block] = [make_paragraph(*opening)]
    for compared in estimates:
        blocks += _write_estimate(words, compared)
    told = (benefits.mark("rounding"), benefits.mark("order"), words.mark("fees"))
    blocks.append(make_paragraph(*told, small=True))
    title = words.papers.benefit_title or words.say("title")
    name = words.say("sheet", name=name_paper(words, title, words.papers.get_quote_number()))
    if any(plan.invented for compared in estimates for plan in compared.as_planned.plans):
        name = words.say("sheet_invented", sheet=name, mark=benefits.say("invented"))
    arches = tuple(jaw.jaw.arch.value for jaw in job.estimate.jaws)
    return make_patient_sheet(words.job, title=title, name=name, blocks=blocks, prices=True, about=words.jaws(arches))


def _open(job: SheetJob) -> PaperWords:
    """Words for the day and number of the quote it belongs to, if there is one."""
    papers = job.papers or NO_PAPERS
    currency = papers.benefits[0].as_planned.plans[0].currency
    if papers.quote is None:
        return open_paper(job, _TEXT, day=job.day, currency=currency, number=job.estimate.case.reference)
    return open_paper(
        job, _TEXT, day=papers.quote.made_on, currency=currency, number=papers.quote.number or papers.quote.reference
    )


def _write_estimate(words: PaperWords, compared: PhaseComparison) -> list[Block]:
    made = compared.as_planned
    plans = Bullets(items=tuple(_say_plan(words, plan, number) for number, plan in enumerate(made.plans)))
    return [
        KeepTogether(blocks=(words.head("plans"), plans)),
        words.head("lines"),
        _make_table(words, made),
        *_write_years(words, compared),
        *write_reasons(words, made),
    ]


def _say_plan(words: PaperWords, plan: BenefitPlan, number: int) -> Text:
    """Which plan it is, and for which day it told what is used up."""
    benefits = words.own("benefits")
    told = plan.member.as_of
    as_of = benefits.mark("as_of", day=words.day(told)) if told else benefits.mark("as_of_unknown")
    return join_texts(words.mark("second_plan" if number else "first_plan", name=plan.name), as_of)


def _make_table(words: PaperWords, made: BenefitEstimate) -> TableBlock:
    """What each plan pays, what is written off, what the patient pays; a column only where it holds something."""
    keys = ("line", "fee", "plan_pays", "second_plan_pays", "write_off", "patient_pays")
    kept = [0, 1, 2, *([3] if len(made.plans) > 1 else []), *([4] if made.write_off else []), 5]
    rows: list[tuple[str, ...]] = []
    bold: list[int] = []
    for name, lines in part_lines(words, made):
        if name:
            bold.append(len(rows))
            rows.append(_sum_up(words, name, lines))
        rows += [_sum_up(words, line.line.label, [line]) for line in lines]
    rows.append(_sum_up(words, words.own("benefits").say("head.total"), list(made.lines)))
    head = tuple(words.own("benefits").say(f"head.{keys[i]}") for i in kept)
    shown = tuple(tuple(row[i] for i in kept) for row in rows)
    return TableBlock(
        head=head, rows=shown, widths=set_widths(head, shown), bold=tuple(bold), bold_last=True, small=True
    )


def _sum_up(words: PaperWords, name: str, lines: list[BenefitLine]) -> tuple[str, ...]:
    """One line, or the sum of several: price, first plan, second plan, written off, patient."""
    paid = [[share.paid for share in line.shares] + [ZERO] for line in lines]
    helped = (
        _add_up(*(one[0] for one in paid)),
        _add_up(*(one[1] for one in paid)),
        _add_up(*(line.write_off for line in lines)),
    )
    return (
        name,
        words.amount(_add_up(*(line.line.fee for line in lines))),
        *(words.amount_or_dash(amount) for amount in helped),
        words.amount(_add_up(*(line.patient_pays for line in lines))),
    )


def _add_up(*amounts: Decimal) -> Decimal:
    """The sum of amounts."""
    return sum(amounts, ZERO)


def _write_years(words: PaperWords, compared: PhaseComparison) -> list[Block]:
    """What each plan pays in each of its years; where there are several, both ways to count them."""
    made = compared.as_planned
    rows = [
        (
            plan.name,
            words.day(date(use.year, plan.year_begins_month, 1)),
            words.amount(use.deductible),
            words.amount(use.paid),
        )
        for plan, years in zip(made.plans, made.years, strict=True)
        for use in years
    ]
    head = tuple(words.say(f"head_{column}") for column in ("plan", "year", "first", "paid"))
    table = TableBlock(head=head, rows=tuple(rows), widths=(32, 30, 19, 19), left=(0, 1), small=True)
    told = say_phases(compared, words.job.wording, locale=words.job.locale, currency=words.currency)
    said: list[Block] = [make_paragraph(*(mark_up("{text}", text=text) for text in told))] if told else []
    return [KeepTogether(blocks=(Heading(text=words.say("years"), level=2), table)), *said]
