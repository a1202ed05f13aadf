"""The quote as plain text: all that is charged, by group, and what each way asks for."""

import re
from decimal import Decimal

from estimator import files
from estimator.inputs.practice.settings import Paper
from estimator.pdf.print import make_job
from estimator.sheets.financial.quote_email import write_quote_text
from estimator.sheets.financial.wording import open_quote_paper
from estimator.sheets.registry import find_kinds
from tests.builders import TODAY
from tests.quote_builders import LONG, MESSY, make_messy_papers

PAPERS = make_messy_papers()


def write(language: str = "en") -> list[str]:
    (kind,) = find_kinds(("quote",))
    job = make_job(kind, MESSY, 0, wording=files.load_wording(language), today=TODAY, paper=Paper.LETTER, papers=PAPERS)
    return write_quote_text(open_quote_paper(job, "quote.table")).splitlines()


def read_amounts(pattern: str) -> list[Decimal]:
    found = (re.search(pattern, line) for line in write())
    return [Decimal(match[1].replace(",", "").replace("\N{MINUS SIGN}", "-")) for match in found if match]


def test_lines_add_up_to_their_groups_and_the_quote_to_what_is_paid() -> None:
    quote = PAPERS.get_quote()
    groups = read_amounts(r"^(?:Visits|Work of the laboratory|Parts|Surgery|X-rays and scans): ([\d,.]+)$")
    lines = read_amounts(r"^- .*?: ([\d,]+\.\d\d)(?:, at most [\d,.]+)?$")
    assert sum(groups) == sum(lines) == sum(one.line.amount for one in quote.lines)
    (left,) = read_amounts(r"^You pay: ([\d,.]+)$")
    assert left == quote.left


def test_each_way_has_its_steps_and_credit_its_terms() -> None:
    text = "\n".join(write())
    for words in (
        "When you sign: 500.00. 11,756.95: surgery.", "23 × 1,113.02, from January 31, 2027.",
        "Finance charge: what the credit costs you: 2,848.71", "A lender of your choice, on its own terms.",
    ):  # fmt: skip
        assert words in text


def test_the_text_names_no_patient_and_says_that_it_is_an_estimate() -> None:
    text = "\n".join(write())
    assert LONG not in text
    for words in (
        "not a guarantee of payment", "Your dental practice made this estimate.", "Your dentist decides with you.",
        "The law where you live applies.", "Invented prices, not a real quote.",
    ):  # fmt: skip
        assert words in text


def test_the_text_in_spanish_has_the_same_amounts() -> None:
    numbers = [sorted(re.findall(r"\d[\d,]*\.\d\d", "\n".join(write(language)))) for language in ("en", "es")]
    assert numbers[0] == numbers[1]
