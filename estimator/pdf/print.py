"""Prints the sheets of a case into a folder, under neutral file names."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

from estimator.base.problems import InputError, Problem
from estimator.estimate.result import CaseEstimate
from estimator.inputs.practice.settings import Paper
from estimator.inputs.reference.wording import Wording
from estimator.pdf.draw import draw_sheet
from estimator.pdf.figure import FigureError
from estimator.pdf.flow import TooTall
from estimator.pdf.fonts import MissingGlyph
from estimator.pdf.pen import LARGE, NORMAL
from estimator.pdf.rows import TableError
from estimator.proposal.exclusions import list_exclusions, name_exclusions
from estimator.proposal.model import Proposal
from estimator.proposal.numbering import name_file, write_sheet_number
from estimator.proposal.settle import settle
from estimator.proposal.usual import make_usual_proposal, make_usual_terms
from estimator.sheets.base.context import SheetJob
from estimator.sheets.base.financial_inputs import NO_PAPERS, Need, QuotePapers, split_papers
from estimator.sheets.base.translation import translate_estimate, translate_papers
from estimator.sheets.base.wording_approval import find_approval
from estimator.sheets.option_sheet.decision_aid import AidError
from estimator.sheets.registry import KINDS, SheetKind, SheetReader, check_papers

_SIDES_MM = 2 * 25.4
_WIDTHS_MM = {Paper.LETTER: 215.9, Paper.A4: 210.0}
OPTION_SHEET = KINDS[0]


def make_sheet(
    kind: SheetKind,
    estimate: CaseEstimate,
    jaw_number: int,
    *,
    wording: Wording,
    today: date,
    paper: Paper,
    grey: bool = False,
    chosen: str = "",
    large: bool = False,
    papers: QuotePapers | None = None,
    proposal: Proposal | None = None,
) -> bytes:
    """A sheet of one jaw (0 or 1) as PDF, for the option agreed on where one is `chosen`; `large` is large print.

    It tells what is settled of `proposal`, by default the usual one. A sheet about money is made from `papers`.

    Raises InputError for what cannot be printed: a sheet that lacks what it is made from, a character no shipped font
    has, or more options than a page holds.
    """
    job = make_job(
        kind, estimate, jaw_number, wording=wording, today=today, paper=paper, chosen=chosen, large=large,
        papers=papers, proposal=proposal,
    )  # fmt: skip
    name = name_sheet(kind, estimate, jaw_number, papers)
    try:
        return draw_sheet(kind.make(job), paper=paper, grey=grey, large=large)
    except MissingGlyph as error:
        problem = Problem(file=name, code="sheet.glyph", found=(error.character, ord(error.character), error.text))
    except (AidError, FigureError, TableError, TooTall) as error:
        problem = Problem(file=name, code="sheet.too_large", found=str(error))
    raise InputError([problem])


def make_job(
    kind: SheetKind,
    estimate: CaseEstimate,
    jaw_number: int,
    *,
    wording: Wording,
    today: date,
    paper: Paper,
    chosen: str = "",
    large: bool = False,
    papers: QuotePapers | None = None,
    proposal: Proposal | None = None,
) -> SheetJob:
    """What that sheet is written from; raises InputError where it lacks what it is made from."""
    check_papers((kind,), papers)
    told, edition = translate_estimate(estimate, wording), LARGE if large else NORMAL
    jaw = estimate.jaws[jaw_number].jaw
    offered = proposal or make_usual_proposal(estimate, chosen)
    usual = make_usual_terms(told.estimate.practice.settings.pay_at, wording)
    stated = settle(offered, told.estimate, usual, today=today)
    return SheetJob(
        estimate=told.estimate,
        jaw=told.estimate.jaws[jaw_number],
        wording=wording,
        day=today,
        text_width_mm=_WIDTHS_MM[paper] - _SIDES_MM,
        number=write_sheet_number(estimate.case.reference, jaw_number),
        chosen=chosen or offered.find_chosen(jaw.arch),
        statement=replace(stated, exclusions=name_exclusions(list_exclusions(estimate), stated.exclusions)),
        approval=find_approval(estimate.practice, wording),
        papers=papers and translate_papers(papers, wording, estimate.practice.settings),
        left_in_english=told.left,
        small=edition.small,
        body=edition.body,
        runs_on=large or wording.is_translation,
    )


def make_option_sheet(
    estimate: CaseEstimate,
    jaw_number: int,
    *,
    wording: Wording,
    today: date,
    paper: Paper,
    grey: bool = False,
    large: bool = False,
) -> bytes:
    """The option sheet of one jaw (0 or 1) as PDF; raises as `make_sheet` does."""
    return make_sheet(
        OPTION_SHEET, estimate, jaw_number, wording=wording, today=today, paper=paper, grey=grey, large=large
    )


def name_sheet(kind: SheetKind, estimate: CaseEstimate, jaw_number: int, papers: QuotePapers | None = None) -> str:
    """The file's name: the sheet, the jaw, the number of a kept quote; of a letter the plan; never the patient."""
    reference, papers = estimate.case.reference, papers or NO_PAPERS
    if kind.needs is None:
        return name_file(kind.file, reference, estimate.jaws[jaw_number].jaw.arch)
    if kind.needs is Need.LETTER:
        return name_file(kind.file, reference, str(papers.letter_to + 1))
    number = papers.get_self_pay_number() if kind.needs is Need.SELF_PAY else papers.get_quote_number()
    return name_file(kind.file, reference, number=number)


def print_sheets(
    estimate: CaseEstimate,
    folder: Path,
    *,
    wording: Wording,
    today: date,
    kinds: Iterable[SheetKind] = (OPTION_SHEET,),
    chosen: str = "",
    papers: QuotePapers | None = None,
    office_wording: Wording | None = None,
    large: bool = False,
    proposal: Proposal | None = None,
) -> tuple[tuple[SheetKind, Path], ...]:
    """A file a sheet and jaw, a case for sheets about money. Nothing is written where one of them cannot be made.

    Language and large print are the patient's: other readers get `office_wording`, where it is given, at normal size.
    """
    kinds, paper, made = tuple(kinds), estimate.practice.settings.paper, []
    check_papers(kinds, papers)
    for kind, number, own in _list_files(kinds, estimate, papers):
        patient = kind.reader is SheetReader.PATIENT
        data = make_sheet(
            kind, estimate, number, wording=wording if patient else office_wording or wording, today=today,
            paper=paper, chosen=chosen, large=large and patient, papers=own, proposal=proposal,
        )  # fmt: skip
        made.append((kind, folder / name_sheet(kind, estimate, number, own), data))
    folder.mkdir(parents=True, exist_ok=True)
    for _, path, data in made:
        path.write_bytes(data)
    return tuple((kind, path) for kind, path, _ in made)


def _list_files(
    kinds: tuple[SheetKind, ...], estimate: CaseEstimate, papers: QuotePapers | None
) -> Iterator[tuple[SheetKind, int, QuotePapers | None]]:
    """Jaw by jaw what is about a jaw, then what is about the whole case."""
    for number in range(len(estimate.jaws)):
        yield from ((kind, number, papers) for kind in kinds if kind.needs is None)
    for kind in kinds:
        if kind.needs is not None:
            yield from ((kind, 0, own) for own in split_papers(kind.needs, papers or NO_PAPERS))
