"""The Sheets page: choose a sheet, jaw, language, size and paper, see the pages as they print, take the file."""

from datetime import date

import pypdfium2 as pdfium
import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from estimator import files
from estimator.base.formats import name_language
from estimator.base.problems import InputError
from estimator.estimate.result import CaseEstimate
from estimator.inputs.settings import Paper, Settings
from estimator.inputs.wording import Wording
from estimator.pdf.print import OPTION_SHEET, make_sheet, name_sheet
from estimator.sheets.kinds import KINDS, Reader, SheetKind
from estimator.sheets.translation import translate_estimate
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


def show_sheets(estimate: CaseEstimate, today: date) -> None:
    """One sheet of the set, for one jaw. Language and large print are the patient's."""
    row, below = st.columns(4, gap="medium"), st.columns(4, gap="medium")
    kinds = {kind.key: kind for kind in KINDS}
    kind = kinds[row[0].selectbox("Sheet", list(kinds), key="sheet_kind", format_func=lambda key: kinds[key].title)]
    jaws = range(len(estimate.jaws))
    number = row[1].selectbox("Jaw", jaws, key="sheet_jaw", format_func=lambda n: say_word(estimate.jaws[n].jaw.arch))
    papers = [estimate.practice.settings.paper, *(p for p in Paper if p is not estimate.practice.settings.paper)]
    paper = row[2].selectbox("Paper", papers, key="sheet_paper", format_func=lambda p: p.value.capitalize())
    colour = row[3].selectbox("Print", ("in colour", "in grey"), key="sheet_colour")
    wording, large = files.load_wording(), False
    if kind.reader is Reader.PATIENT:
        wording = _choose_wording(estimate.practice.settings, below[0])
        large = below[1].selectbox("Edition", ("normal", "large print"), key="sheet_edition") == "large print"
    chosen = _ask_option(estimate, number, below[2]) if kind.by_option else ""
    try:
        with st.spinner("Drawing the sheet", show_time=False):
            data = make_sheet(
                kind, estimate, number, wording=wording, today=today, paper=paper, grey=colour == "in grey",
                chosen=chosen, large=large,
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


def _ask_option(estimate: CaseEstimate, number: int, place: DeltaGenerator) -> str:
    """The option agreed on; all of them while none is."""
    names = {"": "all that apply"} | {made.key: made.name for made in estimate.jaws[number].estimates}
    return place.selectbox(
        "Option agreed on", list(names), key=f"sheet_option_{number}",
        format_func=lambda key: show_plain(names[key]),
    )  # fmt: skip


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


def _show_state(kind: SheetKind, estimate: CaseEstimate, wording: Wording) -> None:
    st.markdown(_READERS[kind.reader])
    if kind.reader is Reader.PATIENT:
        show_approval(estimate.practice, wording)
        _show_translation(estimate, wording)
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
