"""The Sheets page: choose jaw and paper, see the pages as they print, take the file."""

from datetime import date

import pypdfium2 as pdfium
import streamlit as st

from estimator.base.problems import InputError
from estimator.estimate.result import CaseEstimate
from estimator.files import user
from estimator.inputs.settings import Paper
from estimator.inputs.wording import Wording
from estimator.pdf.print import make_option_sheet, name_option_sheet
from estimator.ui.show import show_problems
from estimator.ui.words import say_word

_PIXELS_PER_POINT = 1.25


def show_sheets(estimate: CaseEstimate, wording: Wording, today: date) -> None:
    """The option sheet of one jaw."""
    row = st.columns(3, gap="medium")
    jaws = range(len(estimate.jaws))
    number = row[0].selectbox("Jaw", jaws, key="sheet_jaw", format_func=lambda n: say_word(estimate.jaws[n].jaw.arch))
    papers = [estimate.practice.settings.paper, *(p for p in Paper if p is not estimate.practice.settings.paper)]
    paper = row[1].selectbox("Paper", papers, key="sheet_paper", format_func=lambda p: p.value.capitalize())
    colour = row[2].selectbox("Print", ("in colour", "in grey"), key="sheet_colour")
    try:
        with st.spinner("Drawing the sheet", show_time=False):
            data = make_option_sheet(
                estimate, number, wording=wording, today=today, paper=paper, grey=colour == "in grey"
            )
    except InputError as error:
        show_problems("The sheet was not made", error.problems)
        return
    _show_state(estimate)
    st.download_button(
        "Download the option sheet (PDF)", data, name_option_sheet(estimate, number), "application/pdf", key="sheet"
    )
    _show_pages(data)


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
