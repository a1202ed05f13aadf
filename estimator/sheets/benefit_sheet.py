"""The benefit estimate on paper: what plans pay of each line and why, year by year; not a guarantee, on every page."""

from datetime import date
from decimal import Decimal

from estimator.inputs.plans import BenefitPlan
from estimator.quote.benefit_words import Reader, say_phases, say_reason
from estimator.quote.benefits import BenefitEstimate, BenefitLine
from estimator.quote.claim import Reason
from estimator.quote.phases import PhaseComparison
from estimator.sheets.blocks import Block, Bullets, Heading, Sheet, Table, Text, Together
from estimator.sheets.frame import make_patient_sheet
from estimator.sheets.option_sheet import SheetJob
from estimator.sheets.paper_words import PaperWords, open_paper
from estimator.sheets.papers import NO_PAPERS
from estimator.sheets.prose import join_texts, make_paragraph, mark_up

_TEXT = "benefit_sheet"


def write_benefits(job: SheetJob) -> Sheet:
    """The whole sheet: a section for each estimate."""
    words = _open(job)
    benefits = words.own("benefits")
    estimates = words.papers.benefits
    opening = (mark_up("**{said}**", said=benefits.say("not_a_guarantee")), benefits.mark("who_decides"))
    blocks: list[Block] = [make_paragraph(*opening)]
    for compared in estimates:
        blocks += _write_estimate(words, compared)
    told = (benefits.mark("rounding"), benefits.mark("order"), words.mark("fees"))
    blocks.append(make_paragraph(*told, small=True))
    title = benefits.say("title")
    name = words.say("sheet", title=title, number=words.job.number)
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
    return open_paper(job, _TEXT, day=papers.quote.made_on, currency=currency, number=papers.quote.number)


def _write_estimate(words: PaperWords, compared: PhaseComparison) -> list[Block]:
    made = compared.as_planned
    plans = Bullets(items=tuple(_say_plan(words, plan, number) for number, plan in enumerate(made.plans)))
    return [
        Together(blocks=(words.head("plans"), plans)),
        words.head("lines"),
        _make_table(words, made),
        words.head("why"),
        Bullets(items=_list_reasons(words, made)),
        *_write_years(words, compared),
    ]


def _say_plan(words: PaperWords, plan: BenefitPlan, number: int) -> Text:
    """Which plan it is, and for which day it told what is used up."""
    benefits = words.own("benefits")
    told = plan.member.as_of
    as_of = benefits.mark("as_of", day=words.day(told)) if told else benefits.mark("as_of_unknown")
    return join_texts(words.mark("second_plan" if number else "first_plan", name=plan.name), as_of)


def _make_table(words: PaperWords, made: BenefitEstimate) -> Table:
    """What each plan pays, what is written off, what the patient pays; a column only where it holds something."""
    keys = ["line", "fee", "plan_pays", "second_plan_pays", "write_off", "patient_pays"]
    kept = [0, 1, 2, *([3] if len(made.plans) > 1 else []), *([4] if made.write_off else []), 5]
    rows = [
        _pick((_name(words, made, line), *_show_line(words, line, len(made.plans))), kept) for line in _list_paid(made)
    ]
    paid = [*made.plan_pays, Decimal(0)][:2]
    total = [words.amount(amount) for amount in (made.fee, *paid, made.write_off, made.patient_pays)]
    head_words = words.own("benefits")
    rows.append(_pick((head_words.say("head.total"), *total), kept))
    head = tuple(head_words.say(f"head.{keys[i]}") for i in kept)
    width = 14.5
    widths = (100 - width * (len(kept) - 1), *(width,) * (len(kept) - 1))
    return Table(head=head, rows=tuple(rows), widths=widths, bold_last=True, small=True)


def _list_paid(made: BenefitEstimate) -> list[BenefitLine]:
    """The lines that have a price."""
    return [line for line in made.lines if line.line.fee]


def _show_line(words: PaperWords, line: BenefitLine, plans: int) -> tuple[str, ...]:
    paid = [share.paid for share in line.shares] + [Decimal(0)] * (2 - plans)
    return (
        words.amount(line.line.fee),
        *(words.amount_or_dash(amount) for amount in (*paid, line.write_off)),
        words.amount(line.patient_pays),
    )


def _pick(row: tuple[str, ...], kept: list[int]) -> tuple[str, ...]:
    return tuple(row[i] for i in kept)


def _name(words: PaperWords, made: BenefitEstimate, line: BenefitLine) -> str:
    """The line, with its jaw where there are two."""
    arches = {one.line.arch for one in made.lines if one.line.arch}
    claim = line.line
    return f"{claim.label} ({words.jaw(claim.arch)})" if claim.arch and len(arches) > 1 else claim.label


def _list_reasons(words: PaperWords, made: BenefitEstimate) -> tuple[Text, ...]:
    """Why, in the patient's words; lines that have the very same reasons share one item."""
    by_reason: dict[str, list[str]] = {}
    for line in _list_paid(made):
        by_reason.setdefault(_say_reasons(words, made, line), []).append(_name(words, made, line))
    return tuple(mark_up("**{names}.** {why}", names="; ".join(names), why=why) for why, names in by_reason.items())


def _say_reasons(words: PaperWords, made: BenefitEstimate, line: BenefitLine) -> str:
    parts: list[str] = []
    for plan, share in zip(made.plans, line.shares, strict=True):
        name = [words.say("of_plan", name=plan.name)] if len(made.plans) > 1 and share.reasons else []
        parts += name + [_say(words, reason) for reason in share.reasons]
    return " ".join([*parts, *(_say(words, reason) for reason in line.reasons)])


def _say(words: PaperWords, reason: Reason) -> str:
    job = words.job
    return say_reason(reason, job.wording, reader=Reader.PATIENT, locale=job.locale, currency=words.currency)


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
    table = Table(head=head, rows=tuple(rows), widths=(32, 30, 19, 19), left=(0, 1), small=True)
    told = say_phases(compared, words.job.wording, locale=words.job.locale, currency=words.currency)
    said: list[Block] = [make_paragraph(*(mark_up("{text}", text=text) for text in told))] if told else []
    return [Together(blocks=(Heading(text=words.say("years"), level=2), table)), *said]
