"""The Sheets page: choose jaw, language, size and paper, see the pages as they print, take the file."""

from datetime import date

import pypdfium2 as pdfium
import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from estimator import files
from estimator.base.formats import name_language
from estimator.base.problems import InputError
from estimator.estimate.result import CaseEstimate
from estimator.files import user
from estimator.inputs.settings import Paper, Settings
from estimator.inputs.wording import Wording
from estimator.pdf.print import make_option_sheet, name_option_sheet
from estimator.sheets.translation import translate_estimate
from estimator.ui.show import show_problems
from estimator.ui.words import say_word, show_plain

_PIXELS_PER_POINT = 1.25


def show_sheets(estimate: CaseEstimate, today: date) -> None:
    """The option sheet of one jaw."""
    row, below = st.columns(3, gap="medium"), st.columns(3, gap="medium")
    jaws = range(len(estimate.jaws))
    number = row[0].selectbox("Jaw", jaws, key="sheet_jaw", format_func=lambda n: say_word(estimate.jaws[n].jaw.arch))
    papers = [estimate.practice.settings.paper, *(p for p in Paper if p is not estimate.practice.settings.paper)]
    paper = row[1].selectbox("Paper", papers, key="sheet_paper", format_func=lambda p: p.value.capitalize())
    colour = row[2].selectbox("Print", ("in colour", "in grey"), key="sheet_colour")
    wording = _choose_wording(estimate.practice.settings, below[0])
    large = below[1].selectbox("Edition", ("normal", "large print"), key="sheet_edition") == "large print"
    try:
        with st.spinner("Drawing the sheet", show_time=False):
            data = make_option_sheet(
                estimate, number, wording=wording, today=today, paper=paper, grey=colour == "in grey", large=large
            )
    except InputError as error:
        show_problems("The sheet was not made", error.problems)
        return
    _show_state(estimate)
    _show_translation(estimate, wording)
    st.download_button(
        "Download the option sheet (PDF)", data, name_option_sheet(estimate, number), "application/pdf", key="sheet"
    )
    _show_pages(data)


def _choose_wording(settings: Settings, place: DeltaGenerator) -> Wording:
    """The practice's language first."""
    languages = (settings.language, *(code for code in files.list_languages() if code != settings.language))
    code = place.selectbox(
        "Language", languages, key="sheet_language", format_func=lambda code: name_language(code, settings.locale)
    )
    return files.load_wording(code)


def _show_translation(estimate: CaseEstimate, wording: Wording) -> None:
    """Whether somebody checked the translation, and which texts are still English."""
    if not wording.is_translation:
        return
    name = name_language(wording.language, estimate.practice.settings.locale)
    if estimate.practice.settings.find_review(wording.language, wording.fingerprint) is None:
        st.markdown(
            f"The {name} is not reviewed: every page says so until a qualified human translator has checked it. Who "
            f"and when is in settings.toml, under [translation.{wording.language}], with the signs "
            f"`{wording.fingerprint}` of these texts."
        )
    left = translate_estimate(estimate, wording).left
    if left:
        st.markdown(f"Not translated yet, printed in English: {'; '.join(show_plain(text) for text in left)}.")


def _show_state(estimate: CaseEstimate) -> None:
    settings = estimate.practice.settings
    if not settings.approved_by:
        st.markdown(
            "The wording is a sample: every page says so until somebody approves it. Who and when, the practice's "
            f"name and its paper are in settings.toml of the practice folder, `{user.find_practice_folder()}`."
        )
    if estimate.practice.fees.invented:
        st.markdown("Invented demo prices: every page says so.")


def _show_pages(data: bytes) -> None:
    document = pdfium.PdfDocument(data)
    images = [page.render(scale=_PIXELS_PER_POINT).to_pil() for page in document]
    document.close()
    # A row for each two pages, so that a phone, which stacks columns, keeps their order.
    for start in range(0, len(images), 2):
        for number, column in enumerate(st.columns(2, gap="medium"), start):
            if number < len(images):
                name = f"Page {number + 1} of {len(images)}"
                alt = f"{name}, as it prints; the file itself can be read aloud"
                column.image(images[number], width="stretch", alt=alt)
                column.markdown(f":small[{name}]")
