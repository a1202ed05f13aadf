"""Sheets and calendars into a folder, and whether the words of the sheets are approved."""

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from estimator import files
from estimator.cli.offering import list_offered_papers

if TYPE_CHECKING:
    from estimator.estimate.result import CaseEstimate
    from estimator.inputs.practice_bundle import Practice
    from estimator.proposal.model import Proposal
    from estimator.proposal.statement import Statement


def write_sheets(
    estimate: "CaseEstimate",
    proposal: "Proposal",
    statement: "Statement",
    folder: Path,
    *,
    keys: tuple[str, ...] = ("option",),
    quiet: bool = False,
) -> None:
    """The sheets asked for as PDF files, each named as it is written; raises InputError and writes none of them."""
    from estimator.pdf.print import print_sheets
    from estimator.sheets.registry import KINDS, SheetReader, check_papers, find_kinds, list_possible

    wanted = KINDS if keys == ("all",) else find_kinds(keys)
    papers = list_offered_papers(statement) if any(kind.needs for kind in wanted) else None
    kinds = list_possible(papers) if wanted is KINDS else wanted
    check_papers(kinds, papers)
    wording = files.load_wording(proposal.language or estimate.language)
    if any(kind.reader is SheetReader.PATIENT for kind in kinds):
        _warn_of_wording(estimate.practice)
    made = print_sheets(
        estimate, folder, wording=wording, today=statement.made_on, kinds=kinds, papers=papers, proposal=proposal,
        office_wording=files.load_wording(), large=proposal.reads_large,
    )  # fmt: skip
    for kind, path in made:
        print(f"{kind.title}: {path}", file=sys.stderr if quiet else sys.stdout)


def _warn_of_wording(practice: "Practice") -> None:
    from estimator.sheets.base.wording_approval import Approval, find_approval

    state = find_approval(practice, files.load_wording())
    if state is Approval.NONE:
        print("Sample wording: nobody in the practice has approved it, and every page says so.", file=sys.stderr)
    elif state is Approval.LAPSED:
        print("The wording has changed since it was approved, and every page says so.", file=sys.stderr)


def run_wording(folder: Path | None) -> int:
    """Tell the mark of the words that patients read, and whether they are approved."""
    from estimator.sheets.base.wording_approval import mark_wording

    practice, wording = files.load_practice(folder), files.load_wording()
    mark = mark_wording(practice, wording)
    print(f"Mark of the words that patients read ({wording.language}): {mark}")
    print(f'When they are approved, settings.toml says: [wording] approved_by, approved_on, approved_text = "{mark}"')
    _warn_of_wording(practice)
    return 0


def write_calendars(estimate: "CaseEstimate", statement: "Statement", folder: Path, *, quiet: bool) -> None:
    """A calendar file for each option that has days."""
    if statement.start_on is None:
        return
    from estimator.sheets.export.icalendar import list_calendars

    for name, text in list_calendars(estimate, statement, today=date.today()):  # noqa: DTZ011
        path = folder / name
        path.write_text(text, encoding="utf-8", newline="")
        print(f"Calendar: {path}", file=sys.stderr if quiet else sys.stdout)
