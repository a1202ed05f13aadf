"""Papers about money in Spanish: plain, and no English but what practice, plan or patient wrote."""

import re
from functools import cache

import pytest

from estimator import files
from estimator.inputs.practice.settings import Paper
from estimator.pdf.pen import NORMAL
from estimator.pdf.print import make_sheet
from estimator.sheets.base.blocks import Sheet
from estimator.sheets.base.content_hash import list_texts
from estimator.sheets.base.context import SheetJob
from estimator.sheets.base.financial_inputs import QuotePapers
from estimator.sheets.base.readability import list_prose
from estimator.sheets.base.translation import translate_estimate, translate_papers
from estimator.sheets.registry import KINDS, SheetReader
from tests.builders import TODAY
from tests.edges.test_languages import WIDTHS_MM, judge
from tests.papers import find_failures
from tests.quote_builders import DEMO, MESSY, make_answered_papers, make_demo_papers, make_messy_papers

MONEY = {kind.key: kind for kind in KINDS if kind.needs is not None and kind.reader is SheetReader.PATIENT}
CASES = {
    "demo": (DEMO, make_demo_papers()),
    "messy": (MESSY, make_messy_papers()),
    "answered": (DEMO, make_answered_papers(every_line=True)),
    "answered in part": (DEMO, make_answered_papers(every_line=False)),
}
ENGLISH = re.compile(
    r"\b(the|your|you|of|and|with|for|pay|pays|price|plan's|when|each|line|first|then|from|is|are|if|we|to|at)\b",
    re.IGNORECASE,
)


@cache
def write(key: str, case: str, language: str) -> Sheet:
    estimate, papers = CASES[case]
    wording = files.load_wording(language)
    told = translate_estimate(estimate, wording)
    job = SheetJob(
        estimate=told.estimate, jaw=told.estimate.jaws[0], wording=wording, day=TODAY,
        text_width_mm=WIDTHS_MM[Paper.LETTER], number="C-1", small=NORMAL.small, body=NORMAL.body,
        papers=translate_papers(papers, wording, estimate.practice.settings),
    )  # fmt: skip
    return MONEY[key].make(job)


def list_own(case: str) -> set[str]:
    """What practice, plans and office wrote themselves, longest first: it stays in their language."""
    estimate, papers = CASES[case]
    practice, quote = estimate.practice, papers.get_quote()
    own = {line.label for line in practice.fees.lines.values()} | {quote.made_by, estimate.case.patient.name}
    own |= {text.text for text in quote.texts} | set(quote.tax_reasons)
    own |= {one.adjustment.reason for one in quote.adjusted.applied}
    own |= {part for planned in quote.ways for part in (planned.way.label, *(pay.what for pay in planned.payments))}
    own |= {getattr(planned.way, "text", "") for planned in quote.ways}
    own |= {planned.box.late_payment for planned in quote.ways if planned.box}
    own |= {planned.box.paying_early for planned in quote.ways if planned.box}
    own |= {plan.name for compared in papers.benefits for plan in compared.as_planned.plans}
    own |= {said for line in practice.settings.not_included for said in (line,)} | list_self_pay(papers)
    return {text for text in own if text} | {text[:1].upper() + text[1:] for text in own if text}


def list_self_pay(papers: QuotePapers) -> set[str]:
    """Texts of the office, of providers and of a lawyer on a self-pay estimate, and how it fills the others."""
    made = papers.get_self_pay()
    found: set[str] = set()

    def gather(value: object) -> None:
        if isinstance(value, str):
            found.add(value)
        elif isinstance(value, tuple):
            for one in value:
                gather(one)
        elif hasattr(value, "__dataclass_fields__"):
            for name in value.__dataclass_fields__:
                gather(getattr(value, name))

    gather(made)
    return {text for text in found if len(text) > 1} | {"the web page of the agency"}


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("key", MONEY)
def test_a_paper_in_spanish_has_no_english_but_what_others_wrote(key: str, case: str) -> None:
    said = "\n".join(list_texts(write(key, case, "es").blocks))
    for text in sorted(list_own(case), key=len, reverse=True):
        said = said.replace(text, "")
    assert not ENGLISH.findall(said), [line for line in said.splitlines() if ENGLISH.search(line)]


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("key", MONEY)
def test_a_paper_about_money_is_plain(key: str, case: str, language: str) -> None:
    prose = "\n".join(list_prose(write(key, case, language).blocks))
    for text in sorted(list_own(case), key=len, reverse=True):
        prose = prose.replace(text, "")
    judge(prose, language)


def test_titles_options_and_ways_are_said_in_spanish_and_the_practices_own_lines_too_where_it_gives_them() -> None:
    texts = " ".join(list_texts(write("quote", "demo", "es").blocks))
    for words in ("Presupuesto", "Dentadura de broches en una barra", "En partes, según avanza el tratamiento"):
        assert words in texts


@pytest.mark.parametrize("large", [False, True], ids=["normal", "large"])
@pytest.mark.parametrize("key", MONEY)
def test_a_paper_in_spanish_passes_both_standards(key: str, large: bool) -> None:
    estimate, papers = CASES["messy"]
    data = make_sheet(
        MONEY[key], estimate, 0, wording=files.load_wording("es"), today=TODAY, paper=Paper.A4, papers=papers,
        large=large,
    )  # fmt: skip
    for profile in ("ua1", "2a"):
        assert find_failures(data, profile) == []
