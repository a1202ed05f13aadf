"""Prints the option sheets of a case into a folder, under neutral file names."""

from datetime import date
from pathlib import Path

from estimator.base.problems import InputError, Problem
from estimator.estimate.result import CaseEstimate
from estimator.inputs.settings import Paper
from estimator.inputs.wording import Wording
from estimator.pdf.draw import draw_sheet
from estimator.pdf.figure import FigureError
from estimator.pdf.flow import TooTall
from estimator.pdf.fonts import MissingGlyph
from estimator.pdf.pen import LARGE, NORMAL
from estimator.pdf.rows import TableError
from estimator.sheets.option_sheet import SheetJob, write_option_sheet
from estimator.sheets.translation import translate_estimate

_SIDES_MM = 2 * 25.4
_WIDTHS_MM = {Paper.LETTER: 215.9, Paper.A4: 210.0}


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
    """The option sheet of one jaw (0 or 1) as PDF; `large` is the large-print edition.

    Raises InputError for what cannot be printed: a character no shipped font has, or more options than a page holds.
    """
    told, edition = translate_estimate(estimate, wording), LARGE if large else NORMAL
    job = SheetJob(
        estimate=told.estimate,
        jaw=told.estimate.jaws[jaw_number],
        wording=wording,
        day=today,
        text_width_mm=_WIDTHS_MM[paper] - _SIDES_MM,
        number=f"{estimate.case.reference}-{jaw_number + 1}",
        left_in_english=told.left,
        small=edition.small,
        body=edition.body,
        runs_on=large or wording.is_translation,
    )
    try:
        return draw_sheet(write_option_sheet(job), paper=paper, grey=grey, large=large)
    except MissingGlyph as error:
        found = f"{error.character!r} (U+{ord(error.character):04X}) in {error.text!r}"
        expected = "letters of a living script or common symbols"
    except (FigureError, TableError, TooTall) as error:
        found, expected = str(error), "texts and numbers of options that fit on a page"
    raise InputError([Problem(file=name_option_sheet(estimate, jaw_number), place="", found=found, expected=expected)])


def name_option_sheet(estimate: CaseEstimate, jaw_number: int) -> str:
    """The file's name: the case's reference and the jaw, never the patient."""
    return f"option_sheet_{estimate.case.reference}_{estimate.jaws[jaw_number].jaw.arch}.pdf"


def print_option_sheets(
    estimate: CaseEstimate, folder: Path, *, wording: Wording, today: date, large: bool = False
) -> tuple[Path, ...]:
    """One file a jaw, named after the case's reference: never after the patient."""
    paper = estimate.practice.settings.paper
    made = []
    for number in range(len(estimate.jaws)):
        data = make_option_sheet(estimate, number, wording=wording, today=today, paper=paper, large=large)
        made.append((folder / name_option_sheet(estimate, number), data))
    folder.mkdir(parents=True, exist_ok=True)
    for path, data in made:
        path.write_bytes(data)
    return tuple(path for path, _ in made)
