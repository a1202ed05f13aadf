"""A quote that counts what the plan answered says so on paper, in both languages, and that it is no guarantee still."""

import io

import pytest
from pypdf import PdfReader

from estimator import files
from estimator.inputs.practice.settings import Paper
from estimator.pdf.print import make_sheet
from estimator.sheets.base.financial_inputs import QuotePapers
from tests.builders import TODAY
from tests.edges.test_quote_papers import MONEY
from tests.quote_builders import DEMO, make_answered_papers, make_demo_papers

KEYS = ("quote", "benefit")
ALL, PART = make_answered_papers(every_line=True), make_answered_papers(every_line=False)


def read(key: str, papers: QuotePapers, language: str = "en") -> str:
    data = make_sheet(
        MONEY[key], DEMO, 0, wording=files.load_wording(language), today=TODAY, paper=Paper.LETTER, papers=papers
    )
    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)
    return " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())


@pytest.mark.parametrize("papers", [ALL, PART], ids=["every line", "some lines"])
@pytest.mark.parametrize("key", KEYS)
def test_a_paper_with_a_counted_answer_names_its_day_and_promises_nothing(key: str, papers: QuotePapers) -> None:
    text = read(key, papers)
    assert "as the plan answered on November 10, 2026 (Plan A (invented))" in text
    assert "still not a guarantee of payment." in text


@pytest.mark.parametrize("papers", [ALL, PART], ids=["every line", "some lines"])
@pytest.mark.parametrize("key", KEYS)
def test_a_paper_in_spanish_says_the_same(key: str, papers: QuotePapers) -> None:
    text = read(key, papers, "es")
    assert "como el plan respondió el 10 de noviembre de 2026 (Plan A (invented))" in text
    assert "Todavía no es una garantía de pago." in text


@pytest.mark.parametrize("key", KEYS)
def test_what_is_still_estimated_is_called_an_estimate(key: str) -> None:
    assert "The rest is our estimate." in read(key, PART)
    assert "The rest is our estimate." not in read(key, ALL)


@pytest.mark.parametrize("key", KEYS)
def test_a_paper_without_a_counted_answer_does_not_speak_of_one(key: str) -> None:
    assert "answered" not in read(key, make_demo_papers())


def test_what_the_plan_pays_is_called_its_word_only_where_it_answered_every_line() -> None:
    assert "The plan says it pays" in read("quote", ALL)
    assert "We think the plan pays" in read("quote", PART)


def test_what_changed_names_the_answer_that_is_counted_now() -> None:
    assert "As the plan answered \N{EN DASH} Plan A (invented), November 10, 2026" in read("quote", ALL)


def test_every_answered_line_of_the_benefit_estimate_says_so() -> None:
    assert "This is what the plan answered on November 10, 2026." in read("benefit", ALL)
