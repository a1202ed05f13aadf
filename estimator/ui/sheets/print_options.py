"""What the Sheets page asks: which sheets of which jaws, for which option, and how they are printed."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from estimator import files
from estimator.estimate.result import CaseEstimate
from estimator.inputs.practice.settings import Paper
from estimator.inputs.reference.wording import Wording
from estimator.pdf.print import OPTION_SHEET, make_sheet
from estimator.proposal.model import Proposal
from estimator.sheets.registry import JAW_KINDS, SheetKind, SheetReader
from estimator.ui.shell.ask import hold_option
from estimator.ui.shell.markup import say_word
from estimator.ui.shell.offer import settle_shown
from estimator.ui.shell.parts.print_edition import (
    LARGE,
    hold_edition,
    hold_language,
    order_editions,
    order_languages,
    say_language,
)
from estimator.ui.shell.render import show_problems
from estimator.ui.shell.working_copy import hold, hold_one_of, show_value

_READERS = {
    SheetReader.PATIENT: "For the patient",
    SheetReader.OFFICE: "For the office",
    SheetReader.LABORATORY: "For the laboratory",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """One sheet of one jaw (0 or 1), for the option agreed on where there is one."""

    kind: SheetKind
    jaw: int
    chosen: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Press:
    """How all of them are printed; language and large print are the patient's. They tell what `proposal` offers."""

    proposal: Proposal
    wording: Wording
    office_wording: Wording
    today: date
    paper: Paper
    grey: bool
    large: bool = False

    def make(self, estimate: CaseEstimate, wanted: Wanted) -> bytes:
        """The sheet as PDF; raises InputError for what cannot be printed."""
        patient = wanted.kind.reader is SheetReader.PATIENT
        return make_sheet(
            wanted.kind, estimate, wanted.jaw, wording=self.wording if patient else self.office_wording,
            today=self.today, paper=self.paper, grey=self.grey, chosen=wanted.chosen, large=self.large and patient,
            proposal=self.proposal,
        )  # fmt: skip


def ask_kinds() -> tuple[SheetKind, ...]:
    """A box for each sheet, in columns by reader, and two sets at once."""
    chosen: list[SheetKind] = []
    readers = [reader for reader in SheetReader if any(kind.reader is reader for kind in JAW_KINDS)]
    for reader, column in zip(readers, st.columns(len(readers), gap="medium"), strict=True):
        column.markdown(f"**{_READERS[reader]}**")
        for kind in (kind for kind in JAW_KINDS if kind.reader is reader):
            if column.checkbox(kind.title, **hold(_name_box(kind), kind is OPTION_SHEET)):
                chosen.append(kind)
    with st.container(horizontal=True):
        st.button("The whole set for the patient", on_click=_choose, args=(SheetReader.PATIENT,), key="sheets_patient")
        st.button("Only for the laboratory", on_click=_choose, args=(SheetReader.LABORATORY,), key="sheets_laboratory")
    return tuple(kind for kind in JAW_KINDS if kind in chosen)


def _name_box(kind: SheetKind) -> str:
    return f"sheet_{kind.key}"


def _choose(reader: SheetReader) -> None:
    for kind in JAW_KINDS:
        show_value(_name_box(kind), kind.reader is reader)


def ask_jaws(estimate: CaseEstimate, place: DeltaGenerator) -> tuple[int, ...]:
    """One jaw or both, both first."""
    numbers = tuple(range(len(estimate.jaws)))
    choices = (numbers, *((number,) for number in numbers)) if len(numbers) > 1 else (numbers,)
    names = [_name_jaws(estimate, jaws) for jaws in choices]
    return choices[names.index(_select("Jaw", names, place, name="sheet_jaw"))]


def _name_jaws(estimate: CaseEstimate, jaws: tuple[int, ...]) -> str:
    return "both jaws" if len(jaws) > 1 else say_word(estimate.jaws[jaws[0]].jaw.arch)


def ask_press(estimate: CaseEstimate, today: date, places: Sequence[DeltaGenerator]) -> Press:
    """Paper, colour, and for patients language and edition; what practice and patient use comes first."""
    usual = estimate.practice.settings.paper
    papers = [usual.value, *(paper.value for paper in Paper if paper is not usual)]
    paper = _select("Paper", papers, places[0], name="sheet_paper", say=str.capitalize)
    colour = _select("Print", ("in colour", "in grey"), places[1], name="sheet_colour")
    language = places[2].selectbox(
        "Language", order_languages(estimate), format_func=lambda code: say_language(estimate, code),
        **hold_language(estimate, "sheet"),
    )  # fmt: skip
    edition = places[3].selectbox("Edition", order_editions(estimate), **hold_edition(estimate, "sheet"))
    return Press(
        proposal=_settle(estimate), wording=files.load_wording(language), office_wording=files.load_wording(),
        today=today, paper=Paper(paper), grey=colour == "in grey", large=edition == LARGE,
    )  # fmt: skip


def _settle(estimate: CaseEstimate) -> Proposal:
    """What is offered; where it cannot be read as it stands, the options alone, and the page says so."""
    offered = settle_shown(estimate)
    if problems := (*offered.problems, *offered.statement.problems):
        show_problems("What is offered does not work out yet, so the sheets leave it out", problems)
    return offered.proposal


def ask_options(estimate: CaseEstimate, jaws: tuple[int, ...], kinds: Iterable[SheetKind]) -> tuple[str, ...]:
    """The option agreed on in each of these jaws; all of them while none is. Not asked where no sheet is for one."""
    if not any(kind.by_option for kind in kinds):
        return ("",) * len(jaws)
    columns = st.columns(max(2, len(jaws)), gap="medium")
    return tuple(_ask_option(estimate, number, column) for number, column in zip(jaws, columns, strict=False))


def _ask_option(estimate: CaseEstimate, number: int, place: DeltaGenerator) -> str:
    jaw = estimate.jaws[number]
    names = {"": "none yet, all that apply"} | {made.key: made.name for made in jaw.estimates}
    arch = f", {say_word(jaw.jaw.arch)}" if len(estimate.jaws) > 1 else ""
    held = hold_option(f"sheet_option_{number}", jaw.jaw.arch, list(names), "")
    option: str = place.selectbox(f"Option agreed on{arch}", list(names), format_func=names.__getitem__, **held)
    return option


def _select(
    label: str, choices: Sequence[str], place: DeltaGenerator, *, name: str, say: Callable[[str], str] = str
) -> str:
    held = hold_one_of(name, choices, choices[0])
    return str(place.selectbox(label, choices, format_func=say, **held))
