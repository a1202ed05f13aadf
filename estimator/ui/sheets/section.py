"""The Sheets page: choose sheets, see what is missing, look at the pages as they print, take one file or all."""

import io
from datetime import date

import pypdfium2 as pdfium
import streamlit as st

from estimator.base.problems import InputError
from estimator.estimate.result import CaseEstimate
from estimator.pdf.print import OPTION_SHEET, name_sheet
from estimator.sheets.preflight import Printing, find_missing
from estimator.sheets.registry import SheetReader
from estimator.ui.sheets.batch import show_batch
from estimator.ui.sheets.decision_aid import show_score
from estimator.ui.sheets.letterhead import show_letterhead
from estimator.ui.sheets.preflight import show_missing
from estimator.ui.sheets.print_options import Press, Wanted, ask_jaws, ask_kinds, ask_options, ask_press
from estimator.ui.sheets.terms import show_terms
from estimator.ui.sheets.translation_review import is_reviewed, show_translation
from estimator.ui.sheets.wording_approval import show_approval
from estimator.ui.shell import session
from estimator.ui.shell.markup import say_word
from estimator.ui.shell.render import show_problems
from estimator.ui.shell.working_copy import hold_one_of

_PIXELS_PER_POINT = 1.25
_READERS = {
    SheetReader.PATIENT: "For the patient.",
    SheetReader.OFFICE: "**For the office, not for patients.**",
    SheetReader.LABORATORY: "For the laboratory: the patient is named by the case number only.",
}


def show_sheets(estimate: CaseEstimate, today: date) -> None:
    """Choose, see what is missing, take, look."""
    settings = estimate.practice.settings
    kinds = ask_kinds()
    st.page_link(
        session.find_page("quote"), label="Papers about money are on the Quote page",
        width="content",
    )  # fmt: skip
    row = st.columns((1.3, 1, 1, 1, 1), gap="medium")
    jaws = ask_jaws(estimate, row[0])
    chosen = ask_options(estimate, jaws, kinds)
    press = ask_press(estimate, today, row[1:])
    if not kinds:
        st.markdown("**Choose at least one sheet.**")
        return
    printing = Printing(
        estimate=estimate, kinds=kinds, jaws=jaws, chosen=chosen, wording=press.wording, today=press.today,
        reviewed=is_reviewed(settings, press.wording),
    )  # fmt: skip
    show_missing(find_missing(printing))
    if printing.for_patient:
        show_approval(estimate.practice, press.wording)
        show_translation(estimate, press.wording)
        show_letterhead(settings)
        show_terms(estimate.practice)
    wanted = tuple(
        Wanted(kind=kind, jaw=jaw, chosen=option if kind.by_option else "")
        for jaw, option in zip(jaws, chosen, strict=True)
        for kind in kinds
    )
    st.header("Take and look")
    if len(wanted) > 1:
        show_batch(estimate, press, wanted)
    _show_one(estimate, press, _ask_wanted(estimate, wanted))


def _ask_wanted(estimate: CaseEstimate, wanted: tuple[Wanted, ...]) -> Wanted:
    """Which of them to look at; the first until another is chosen."""
    if len(wanted) == 1:
        return wanted[0]
    names = {
        f"{one.kind.key} {one.jaw}": f"{one.kind.title}, {say_word(estimate.jaws[one.jaw].jaw.arch)}" for one in wanted
    }
    keys = list(names)
    held = hold_one_of("sheet_look", keys, keys[0])
    looked = st.selectbox("Sheet to look at", keys, format_func=lambda key: names[key], **held)
    return wanted[keys.index(looked)]


def _show_one(estimate: CaseEstimate, press: Press, wanted: Wanted) -> None:
    try:
        with st.spinner("Drawing the sheet", show_time=False):
            data, images = _draw(estimate, press, wanted)
    except InputError as error:
        show_problems("The sheet was not made", error.problems)
        return
    kind = wanted.kind
    st.markdown(_READERS[kind.reader])
    name = name_sheet(kind, estimate, wanted.jaw)
    st.download_button(f"Download: {kind.title} (PDF)", data, name, "application/pdf", key="sheet")
    if kind is OPTION_SHEET:
        show_score(estimate.practice, press.wording)
    _show_pages(images)


def _draw(estimate: CaseEstimate, press: Press, wanted: Wanted) -> tuple[bytes, tuple[bytes, ...]]:
    """The file and its pages; only the sheet that was looked at last is held, in this tab alone."""
    drawn = st.session_state.get("sheet_drawn")
    if drawn is None or drawn[0] is not estimate or drawn[1:3] != (press, wanted):
        data = press.make(estimate, wanted)
        with pdfium.PdfDocument(data) as document:
            images = tuple(_draw_page(page) for page in document)
        drawn = st.session_state.sheet_drawn = (estimate, press, wanted, data, images)
    return drawn[3], drawn[4]


def _draw_page(page: pdfium.PdfPage) -> bytes:
    """As PNG: packed, a whole sheet of pages takes little room."""
    out = io.BytesIO()
    page.render(scale=_PIXELS_PER_POINT).to_pil().save(out, "PNG")
    return out.getvalue()


def _show_pages(images: tuple[bytes, ...]) -> None:
    # A row for each two pages, so that a phone, which stacks columns, keeps their order.
    for start in range(0, len(images), 2):
        for number, column in enumerate(st.columns(2, gap="medium"), start):
            if number < len(images):
                name = f"Page {number + 1} of {len(images)}"
                alt = f"{name}, as it prints; the file itself can be read aloud"
                column.image(images[number], width="stretch", alt=alt)
                column.markdown(f":small[{name}]")
