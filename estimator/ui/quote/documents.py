"""The papers of a quote on the Quote page: each is drawn when it is asked for, then offered as a file."""

from dataclasses import dataclass
from datetime import date

import streamlit as st

from estimator import files
from estimator.base.problems import InputError
from estimator.estimate.result import CaseEstimate
from estimator.pdf.print import make_sheet, name_sheet
from estimator.quote.benefits.phasing import PhaseComparison
from estimator.quote.quote import Quote
from estimator.quote.self_pay.good_faith_estimate import SelfPayEstimate
from estimator.sheets.base.financial_inputs import QuotePapers, split_papers
from estimator.sheets.base.wording_approval import Approval, find_approval, mark_wording
from estimator.sheets.financial.plan_letter import find_plan
from estimator.sheets.registry import SheetKind, SheetReader, list_possible
from estimator.ui.shell import session
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.parts.print_edition import (
    LARGE,
    NOW,
    hold_edition,
    hold_language,
    order_editions,
    order_languages,
    say_language,
)
from estimator.ui.shell.render import show_problems

_PER_ROW = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class _Paper:
    """One file that can be made: its kind, what it is made from, and its name on the page."""

    kind: SheetKind
    papers: QuotePapers
    title: str
    place: str
    language: str
    large: bool

    @property
    def key(self) -> str:
        """Its place among the papers of the page."""
        return f"{self.place}_{self.kind.key}_{self.papers.letter_to}"


def offer_papers(
    estimate: CaseEstimate,
    quote: Quote,
    benefits: tuple[PhaseComparison, ...] = (),
    self_pay: SelfPayEstimate | None = None,
    *,
    benefit_title: str = "",
    place: str = NOW,
    confirmed_on: date | None = None,
) -> None:
    """A button for each paper that can be made of the quote and what belongs to it; pressed, the file to download.

    `benefit_title` is the profile's; `place` tells apart what is offered twice on a page; `confirmed_on` is when it was
    agreed although the room was in doubt. A paper that was drawn stays
    on offer until something it is made from changes.
    """
    papers = QuotePapers(
        quote=quote, benefits=benefits, self_pay=self_pay, benefit_title=benefit_title, confirmed_on=confirmed_on
    )
    st.subheader("On paper", anchor=False)
    if place == NOW:
        _tell_approval(estimate)
    language, large = _ask_edition(estimate, place)
    offered = _list_papers(papers, place, language, large=large)
    for start in range(0, len(offered), _PER_ROW):
        row = st.columns(_PER_ROW, gap="medium")
        for column, paper in zip(row, offered[start : start + _PER_ROW], strict=False):
            with column:
                _offer(estimate, paper)


def _tell_approval(estimate: CaseEstimate) -> None:
    """That the words are not approved as they stand; the Sheets page has the form for it."""
    wording = files.load_wording()
    state = find_approval(estimate.practice, wording)
    if state is not Approval.HOLDS:
        key = "words_none" if state is Approval.NONE else "words_lapsed"
        said = wording.say(f"missing.{key}", who=estimate.practice.settings.approved_by)
        st.warning(show_plain(said), icon=None)


def _ask_edition(estimate: CaseEstimate, place: str) -> tuple[str, bool]:
    """Language and size of what the patient gets; the patient's own come first."""
    languages, editions = order_languages(estimate), order_editions(estimate)
    row = st.columns(_PER_ROW, gap="medium")
    language = row[0].selectbox(
        "Language", languages, format_func=lambda code: say_language(estimate, code),
        **hold_language(estimate, f"quote_paper_{place}", place=place),
    )  # fmt: skip
    edition = row[1].selectbox("Edition", editions, **hold_edition(estimate, f"quote_paper_{place}", place=place))
    return language, edition == LARGE


def _list_papers(papers: QuotePapers, place: str, language: str, *, large: bool) -> list[_Paper]:
    """In the order of the set: the quote under its own title, a letter under the name of its plan."""
    return [
        _Paper(kind=kind, papers=own, title=_name_paper(kind, own), place=place, language=language, large=large)
        for kind in list_possible(papers)
        if kind.needs is not None
        for own in split_papers(kind.needs, papers)
    ]


def _name_paper(kind: SheetKind, papers: QuotePapers) -> str:
    if kind.key == "quote":
        return papers.get_quote().title
    if kind.key == "self_pay":
        return papers.get_self_pay().title
    if kind.key == "letter":
        made, number = find_plan(papers)
        return f"Letter to {made.plans[number].name}"
    return kind.title


def _offer(estimate: CaseEstimate, paper: _Paper) -> None:
    drawn: dict[str, tuple[object, bytes]] = st.session_state.setdefault("papers_drawn", {})
    made_from = _mark(estimate, paper)
    key = f"paper_{paper.key}_{session.get_generation()}"
    if st.button(show_plain(f"Draw: {paper.title}"), key=f"{key}_draw"):
        try:
            drawn[paper.key] = (made_from, _draw(estimate, paper))
        except InputError as error:
            drawn.pop(paper.key, None)
            show_problems(f"{paper.title} was not made", error.problems)
    before = drawn.get(paper.key)
    if before is not None and before[0] == made_from:
        name = name_sheet(paper.kind, estimate, 0, paper.papers)
        st.download_button(show_plain(f"Download: {paper.title} (PDF)"), before[1], name, "application/pdf", key=key)


def _mark(estimate: CaseEstimate, paper: _Paper) -> object:
    """All that the paper depends on, to be compared with what an earlier drawing was made from."""
    settings = estimate.practice.settings
    words = mark_wording(estimate.practice, files.load_wording())
    made_as = (paper.language, paper.large)
    return (paper.papers, estimate.case, settings, estimate.practice.fees.invented, words, session.get_today(), made_as)


def _draw(estimate: CaseEstimate, paper: _Paper) -> bytes:
    """Language and large print are the patient's: a letter to a plan is in English at normal size."""
    patient = paper.kind.reader is SheetReader.PATIENT
    with st.spinner("Drawing the sheet", show_time=False):
        return make_sheet(
            paper.kind, estimate, 0, wording=files.load_wording(paper.language if patient else "en"),
            today=session.get_today(), paper=estimate.practice.settings.paper, papers=paper.papers,
            large=paper.large and patient,
        )  # fmt: skip
