"""Prints the option sheets of a case into a folder, under neutral file names."""

from datetime import date
from pathlib import Path

from estimator.estimate.result import CaseEstimate
from estimator.inputs.settings import Paper
from estimator.inputs.wording import Wording
from estimator.pdf.draw import draw_sheet
from estimator.sheets.option_sheet import SheetJob, write_option_sheet

_SIDES_MM = 2 * 25.4
_WIDTHS_MM = {Paper.LETTER: 215.9, Paper.A4: 210.0}


def make_option_sheet(
    estimate: CaseEstimate, jaw_number: int, *, wording: Wording, today: date, paper: Paper, grey: bool = False
) -> bytes:
    """The option sheet of one jaw (0 or 1) as PDF."""
    job = SheetJob(
        estimate=estimate,
        jaw=estimate.jaws[jaw_number],
        wording=wording,
        day=today,
        text_width_mm=_WIDTHS_MM[paper] - _SIDES_MM,
        number=f"{estimate.case.reference}-{jaw_number + 1}",
    )
    return draw_sheet(write_option_sheet(job), paper=paper, grey=grey)


def name_option_sheet(estimate: CaseEstimate, jaw_number: int) -> str:
    """The file's name: the case's reference and the jaw, never the patient."""
    return f"option_sheet_{estimate.case.reference}_{estimate.jaws[jaw_number].jaw.arch}.pdf"


def print_option_sheets(estimate: CaseEstimate, folder: Path, *, wording: Wording, today: date) -> tuple[Path, ...]:
    """One file a jaw, named after the case's reference: never after the patient."""
    paper = estimate.practice.settings.paper
    made = []
    for number in range(len(estimate.jaws)):
        data = make_option_sheet(estimate, number, wording=wording, today=today, paper=paper)
        made.append((folder / name_option_sheet(estimate, number), data))
    folder.mkdir(parents=True, exist_ok=True)
    for path, data in made:
        path.write_bytes(data)
    return tuple(path for path, _ in made)
