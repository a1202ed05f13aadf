"""The letter that asks a benefit plan for its decision before treatment, on paper; one file for each plan."""

from estimator.quote.benefits.estimate import BenefitEstimate
from estimator.quote.benefits.predetermination_letter import Letter, write_letter
from estimator.sheets.base.blocks import Block, Bullets, KeepTogether, NameLine, Paragraph, Sheet, SignLine, TableBlock
from estimator.sheets.base.context import SheetJob
from estimator.sheets.base.financial_inputs import NO_PAPERS, QuotePapers
from estimator.sheets.base.layout import make_office_sheet
from estimator.sheets.base.prose import make_paragraph, mark_up
from estimator.sheets.financial.wording import PaperWords, open_paper


def write_plan_letter(job: SheetJob) -> Sheet:
    """The letter to the plan that the papers name. It is dated as the quote is, if there is one."""
    papers = job.papers or NO_PAPERS
    made, number = find_plan(papers)
    case, settings = job.estimate.case, job.estimate.practice.settings
    day = papers.quote.made_on if papers.quote else job.day
    words = open_paper(job, "plan_letter", day=day, currency=made.plans[number].currency, number=case.reference)
    letter = write_letter(made, number, case, settings, job.wording, day=day)
    blocks: list[Block] = [
        make_paragraph(mark_up("{day}", day=letter.day), small=True),
        *(_write_about(text, case.patient.name) for text in letter.about),
        make_paragraph(mark_up("{text}", text=letter.opening)),
        _make_table(letter),
        KeepTogether(blocks=(make_paragraph(mark_up("{text}", text=letter.asking)),
                         Bullets(items=tuple(mark_up("{text}", text=text) for text in letter.questions)))),
        _write_closing(words, letter),
    ]  # fmt: skip
    name = words.say("sheet", number=case.reference)
    return make_office_sheet(words.job, title=letter.title, name=name, blocks=blocks)


def find_plan(papers: QuotePapers) -> tuple[BenefitEstimate, int]:
    """The estimate and the place in it of the plan that the letter goes to."""
    plans = [(one.as_planned, place) for one in papers.benefits for place in range(len(one.as_planned.plans))]
    return plans[papers.letter_to]


def _write_about(text: str, name: str) -> NameLine | Paragraph:
    """The patient's name stands in a cell of its own, whatever its script."""
    if name and text.endswith(name):
        return NameLine(label=text.removesuffix(name).strip(), name=name)
    return make_paragraph(mark_up("{text}", text=text), small=True)


def _make_table(letter: Letter) -> TableBlock:
    return TableBlock(
        head=letter.head, rows=letter.rows, widths=(28, 15, 11, 14, 16, 16), left=(0, 1, 4, 5), small=True
    )


def _write_closing(words: PaperWords, letter: Letter) -> KeepTogether:
    closing = make_paragraph(mark_up("{text}", text=letter.closing))
    return KeepTogether(blocks=(closing, SignLine(labels=(words.say("signed"), words.say("date")), widths=(70, 30))))
