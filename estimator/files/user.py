"""The user's own folder: practice files and saved cases, kept when the tool is updated."""

import os
from datetime import date
from pathlib import Path

import platformdirs
import tomli_w

from estimator.base.problems import InputError
from estimator.files.loading import find_demo_fees, load_cautions, load_practice, load_variants
from estimator.files.reading import parse_csv, parse_toml
from estimator.inputs.case import Case
from estimator.inputs.case_document import make_document
from estimator.inputs.case_file import read_case
from estimator.inputs.fees import FeeSchedule, read_fees
from estimator.inputs.practice import Practice, find_missing_fees

_FOLDER_VARIABLE = "OVERDENTURE_DATA"


def find_user_folder() -> Path:
    """The folder named by OVERDENTURE_DATA, else the place where this system keeps a user's data."""
    named = os.environ.get(_FOLDER_VARIABLE)
    return Path(named) if named else platformdirs.user_data_path("overdenture-options", appauthor=False)


def find_practice_folder() -> Path:
    """The practice folder of this user, made if it is not there yet."""
    folder = find_user_folder() / "practice"
    (folder / "fees").mkdir(parents=True, exist_ok=True)
    return folder


def find_records_url() -> str:
    """The database of saved cases: a SQLite file in the user's folder."""
    folder = find_user_folder()
    folder.mkdir(parents=True, exist_ok=True)
    return f"sqlite:///{(folder / 'cases.sqlite').as_posix()}"


def load_user_practice(*, today: date | None = None) -> Practice:
    """The practice of this user, with the demo fees until there are fees of its own."""
    return load_practice(find_practice_folder(), today=today)


def check_fees_text(text: str, file: str, practice: Practice) -> FeeSchedule:
    """An uploaded fee schedule that every option can be priced from. Raises InputError with all problems."""
    schedule = read_fees(parse_csv(text, file))
    problems = find_missing_fees(practice.options, schedule)
    if problems:
        raise InputError(problems)
    return schedule


def keep_fees(text: str, file: str, *, today: date) -> Path:
    """Put a checked schedule into the practice folder, under a name that sorts last; nothing is replaced."""
    folder = find_practice_folder() / "fees"
    stem = Path(file).stem
    number = 1
    while (path := folder / f"{today.isoformat()}_{number:03d}_{stem}.csv").exists():
        number += 1
    path.write_text(text, encoding="utf-8", newline="")
    return path


def read_fees_text(practice: Practice) -> str:
    """The text of the schedule in use, as it stands on disk."""
    own = find_practice_folder() / "fees" / practice.fees.file
    return (own if own.exists() else find_demo_fees()).read_text(encoding="utf-8-sig")


def write_case_text(case: Case) -> str:
    """A case as the text of a case file."""
    return tomli_w.dumps(make_document(case))


def read_case_text(text: str, file: str, *, today: date) -> Case:
    """A case from the text of a case file. Raises InputError with all problems."""
    health = [key for key, caution in load_cautions().items() if caution.health]
    return read_case(parse_toml(text, file), file=file, today=today, health_flags=health, variants=load_variants())
