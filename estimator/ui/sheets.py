"""The Sheets page: choose a sheet, jaw and paper, see the pages as they print, take the file."""

from datetime import date

import pypdfium2 as pdfium
import streamlit as st

from estimator.base.problems import InputError
from estimator.estimate.result import CaseEstimate
from estimator.inputs.settings import Paper
from estimator.inputs.wording import Wording
from estimator.pdf.print import OPTION_SHEET, make_sheet, name_sheet
from estimator.sheets.kinds import KINDS, Reader, SheetKind
from estimator.ui.approval import show_approval
from estimator.ui.decision_aid import show_score
from estimator.ui.show import show_problems
from estimator.ui.words import say_word, show_plain

_PIXELS_PER_POINT = 1.25
_READERS = {
    Reader.PATIENT: "For the patient.",
    Reader.OFFICE: "**For the office, not for patients.**",
    Reader.PLAN: "For the benefit plan: it names the patient.",
    Reader.LABORATORY: "For the laboratory: the patient is named by the case number only.",
}


def show_sheets(estimate: CaseEstimate, wording: Wording, today: date) -> None:
    """One sheet of the set, for one jaw."""
    row = st.columns(4, gap="medium")
    kinds = {kind.key: kind for kind in KINDS}
    kind = kinds[row[0].selectbox("Sheet", list(kinds), key="sheet_kind", format_func=lambda key: kinds[key].title)]
    jaws = range(len(estimate.jaws))
    number = row[1].selectbox("Jaw", jaws, key="sheet_jaw", format_func=lambda n: say_word(estimate.jaws[n].jaw.arch))
    papers = [estimate.practice.settings.paper, *(p for p in Paper if p is not estimate.practice.settings.paper)]
    paper = row[2].selectbox("Paper", papers, key="sheet_paper", format_func=lambda p: p.value.capitalize())
    colour = row[3].selectbox("Print", ("in colour", "in grey"), key="sheet_colour")
    chosen = _ask_option(estimate, number) if kind.by_option else ""
    try:
        with st.spinner("Drawing the sheet", show_time=False):
            data = make_sheet(
                kind, estimate, number, wording=wording, today=today, paper=paper, grey=colour == "in grey",
                chosen=chosen,
            )  # fmt: skip
    except InputError as error:
        show_problems("The sheet was not made", error.problems)
        return
    _show_state(kind, estimate, wording)
    name = name_sheet(kind, estimate, number)
    st.download_button(f"Download: {kind.title} (PDF)", data, name, "application/pdf", key="sheet")
    if kind is OPTION_SHEET:
        show_score(estimate.practice, wording)
    _show_pages(data)


def _ask_option(estimate: CaseEstimate, number: int) -> str:
    """The option agreed on; all of them while none is."""
    names = {"": "all that apply"} | {made.key: made.name for made in estimate.jaws[number].estimates}
    return st.selectbox(
        "Option agreed on", list(names), key=f"sheet_option_{number}",
        format_func=lambda key: show_plain(names[key]),
    )  # fmt: skip


def _show_state(kind: SheetKind, estimate: CaseEstimate, wording: Wording) -> None:
    st.markdown(_READERS[kind.reader])
    if kind.reader is Reader.PATIENT:
        show_approval(estimate.practice, wording)
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
