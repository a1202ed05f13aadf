"""The fee schedules of this user's practice: checked whole, kept as a further version, never written over."""

import hashlib
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import date
from pathlib import Path

from estimator.base.problems import InputError, Problem
from estimator.base.table import CsvTable
from estimator.files.loading import load_fees
from estimator.files.practice.fee_folder import FeeVersion, list_versions
from estimator.files.reading import parse_csv
from estimator.files.user.data_folder import find_practice_folder
from estimator.files.user.own import blame_disk
from estimator.inputs.fees.schedule import FeeSchedule, read_fees
from estimator.inputs.fees.versions import check_dates, write_fees
from estimator.inputs.practice_bundle import Practice, find_missing_fees

_SAVING = "saving.part"
_LONGEST_SAVE_S = 60


class SavedMeanwhileError(InputError):
    """Somebody else has put another version into the folder since it was read."""


def list_own_versions() -> tuple[FeeVersion, ...]:
    """The versions in the practice folder, in the order of their days; none while the demo fees are in use."""
    return list_versions(find_practice_folder())


def load_version(file: str) -> FeeSchedule:
    """One version by the name of its file. Raises InputError with all problems."""
    return load_fees(find_practice_folder() / "fees" / file)


def is_own(schedule: FeeSchedule) -> bool:
    """Whether it is a version of the practice folder, not the demo schedule."""
    return (find_practice_folder() / "fees" / schedule.file).exists()


def check_fees_text(text: str, file: str, practice: Practice) -> FeeSchedule:
    """An uploaded fee schedule that every option can be priced from. Raises InputError with all problems."""
    return check_fees_table(parse_csv(text, file), practice, practice.fees)


def check_fees_table(table: CsvTable, practice: Practice, parent: FeeSchedule) -> FeeSchedule:
    """A schedule that every option can be priced from, dated no earlier than the version it was made from.

    The demo schedule is invented, and so are its dates: it is nobody's parent. Raises InputError with all problems.
    """
    schedule = replace(read_fees(table), tax=practice.fees.tax)
    problems = find_missing_fees(practice.options, schedule)
    if problems:
        raise InputError(problems)
    if is_own(parent):
        check_dates(schedule, parent)
    return schedule


def take_mark() -> str:
    """A mark of everything in the folder of fee schedules; it changes when anybody adds or edits one."""
    found = hashlib.sha256()
    for path in sorted((find_practice_folder() / "fees").glob("*.csv")):
        found.update(path.name.encode() + b"\0" + hashlib.sha256(path.read_bytes()).digest())
    return found.hexdigest()


def keep_version(schedule: FeeSchedule, *, mark: str, today: date) -> Path:
    """Put a checked schedule into the folder under a name of its own, in force from its day or from today.

    `mark` was taken when the folder was read. Raises SavedMeanwhileError where the folder is not as it was then, and
    InputError where it cannot be written; nothing is changed in either case.
    """
    folder = find_practice_folder() / "fees"
    text = write_fees(replace(schedule, effective_from=schedule.effective_from or today))
    with _take_turn(folder / _SAVING) as beside:
        if take_mark() != mark:
            raise SavedMeanwhileError([_tell_conflict(folder)])
        path = _name_version(folder, schedule.effective_from or today)
        try:
            beside.write_text(text, encoding="utf-8-sig", newline="")
            return beside.replace(path)
        except OSError as error:
            raise blame_disk(path, error) from None


@contextmanager
def _take_turn(beside: Path) -> Iterator[Path]:
    """One writer at a time: who makes this file has the turn. A file that a crash has left behind is taken over."""
    try:
        if beside.exists() and time.time() - beside.stat().st_mtime > _LONGEST_SAVE_S:
            beside.unlink(missing_ok=True)
        beside.open("x", encoding="utf-8").close()
    except FileExistsError:
        raise InputError([Problem(file=beside.parent.name, code="file.turn")]) from None
    except OSError as error:
        raise blame_disk(beside, error) from None
    try:
        yield beside
    finally:
        beside.unlink(missing_ok=True)


def _tell_conflict(folder: Path) -> Problem:
    newest = max(folder.glob("*.csv"), key=lambda path: path.stat().st_mtime, default=None)
    if newest is None:
        return Problem(file="fees", code="fees.emptied")
    return Problem(file="fees", code="fees.changed", found=newest.name)


def _name_version(folder: Path, day: date) -> Path:
    """fees_2027-01-01.csv, then fees_2027-01-01_002.csv."""
    stem, number = f"fees_{day.isoformat()}", 2
    path = folder / f"{stem}.csv"
    while path.exists():
        path, number = folder / f"{stem}_{number:03d}.csv", number + 1
    return path
