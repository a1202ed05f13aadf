"""Papers of a quote on a page: drawn when asked for, offered until what they are made from changes."""

import io
from pathlib import Path

import pytest
from pypdf import PdfReader
from streamlit.testing.v1 import AppTest

from tests.app.conftest import show


def page() -> None:
    """A page with the papers of a messy case; a check box changes the quote."""
    from dataclasses import replace

    import streamlit as st

    from estimator.ui.quote.documents import offer_papers
    from tests import quote_builders as made

    papers = made.make_messy_papers()
    quote = papers.get_quote()
    if st.checkbox("a further version", key="further"):
        quote = replace(quote, version=3)
    estimate = made.MESSY
    if st.checkbox("a name without a font", key="odd"):
        patient = replace(estimate.case.patient, name="\N{EGYPTIAN HIEROGLYPH A001}")
        estimate = replace(estimate, case=replace(estimate.case, patient=patient))
    if st.checkbox("quote only", key="alone"):
        offer_papers(estimate, quote)
    else:
        offer_papers(estimate, quote, papers.benefits, papers.self_pay)


@pytest.fixture
def papers(user_folder: Path) -> AppTest:
    assert user_folder
    return AppTest.from_function(page, default_timeout=30).run()


def list_offered(app: AppTest) -> list[str]:
    return [show(button.proto.label) for button in app.get("download_button")]


def list_drawable(app: AppTest) -> list[str]:
    labels = (show(button.label) for button in app.button)
    return [label.removeprefix("Draw: ") for label in labels if label.startswith("Draw: ")]


def draw(app: AppTest, name: str) -> AppTest:
    button = next(button for button in app.button if show(button.label) == f"Draw: {name}")
    return button.click().run()


def test_each_paper_that_can_be_made_has_a_button_and_none_is_drawn_unasked(papers: AppTest) -> None:
    assert not papers.exception
    assert list_drawable(papers) == ["Fee quote", "Payment plan", "Benefit estimate", "Good Faith Estimate",
                                     "Letter to Plan A (invented)", "Letter to Plan B (invented)"]  # fmt: skip
    assert list_offered(papers) == []


def test_without_a_plan_or_a_self_pay_estimate_their_papers_are_not_offered(papers: AppTest) -> None:
    papers.checkbox("alone").check().run()
    assert list_drawable(papers) == ["Fee quote", "Payment plan"]


def test_a_paper_stays_on_offer_until_the_quote_changes(papers: AppTest) -> None:
    draw(papers, "Fee quote")
    assert not papers.exception
    assert list_offered(papers) == ["Download: Fee quote (PDF)"]
    draw(papers, "Letter to Plan B (invented)")
    assert list_offered(papers) == ["Download: Fee quote (PDF)", "Download: Letter to Plan B (invented) (PDF)"]
    papers.checkbox("further").check().run()
    assert "Download: Fee quote (PDF)" not in list_offered(papers)


def test_a_paper_that_cannot_be_drawn_says_why(papers: AppTest) -> None:
    papers.checkbox("odd").check().run()
    draw(papers, "Fee quote")
    assert not papers.exception
    assert "Fee quote was not made: 1 problem." in show(papers.error[0].value)
    assert list_offered(papers) == []


def test_the_words_that_nobody_has_approved_are_told_before(papers: AppTest) -> None:
    assert "nobody in this practice has approved it" in show(papers.warning[0].value)


def test_a_paper_is_drawn_in_the_language_and_edition_chosen_and_a_letter_to_a_plan_is_not(papers: AppTest) -> None:
    papers.selectbox("quote_paper_now_language_en_0").select("es")
    papers.selectbox("quote_paper_now_edition_normal_0").select("large print").run()
    for name in ("Payment plan", "Letter to Plan A (invented)"):
        draw(papers, name)
    assert not papers.exception
    drawn = {key: data for key, (_, data) in papers.session_state["papers_drawn"].items()}
    found = {key: str(PdfReader(io.BytesIO(data)).root_object["/Lang"]) for key, data in drawn.items()}
    assert found == {"now_payment_0": "es-US", "now_letter_0": "en-US"}
