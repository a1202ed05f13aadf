"""What this user's practice says of its own, kept whole or not at all: sign-offs and experience."""

from collections.abc import Iterable
from datetime import date
from pathlib import Path

from estimator.base.evidence import Figure
from estimator.base.problems import InputError, Problem
from estimator.base.sign_off import confirm_figures, read_confirmations, write_confirmations
from estimator.files.practice.own import CONFIRMED, EXPERIENCE
from estimator.files.reading import parse_csv
from estimator.files.user.data_folder import find_practice_folder, load_user_practice
from estimator.inputs.practice.experience import Observation, begin_experience, read_experience, write_experience
from estimator.inputs.practice_bundle import Practice


def keep_confirmations(figures: Iterable[Figure], by: str, *, today: date) -> Path:
    """Add a sign-off of these figures, with the numbers they were shown with, to what is on file.

    The file is read anew first, so that nothing of another tab is lost. Raises InputError and changes nothing where
    there is no name, no figure, or a file that cannot be used or written.
    """
    new = confirm_figures(figures, by, today=today)
    known = load_user_practice(today=today).evidence.figures
    kept = {f.key: f.confirmation for f in known.values() if f.confirmation is not None}
    text = write_confirmations({**kept, **new})
    read_confirmations(parse_csv(text, CONFIRMED), known=known, today=today)
    return write_whole(find_practice_folder() / CONFIRMED, text)


def check_experience_text(text: str, file: str, practice: Practice, *, today: date) -> tuple[Observation, ...]:
    """An uploaded log that the practice's options can be blended with. Raises InputError with all problems."""
    return read_experience(parse_csv(text, file), practice.options, today=today)


def replace_experience(observations: Iterable[Observation], *, today: date) -> Path:
    """Put a checked log in place of the one before, of which a copy stays in the folder `earlier`."""
    path = find_practice_folder() / EXPERIENCE
    if path.exists():
        _keep_copy(path, today)
    return write_whole(path, write_experience(observations))


def _keep_copy(path: Path, today: date) -> None:
    folder, number = path.parent / "earlier", 1
    folder.mkdir(exist_ok=True)
    while (copy := folder / f"{path.stem}_{today.isoformat()}_{number:03d}.csv").exists():
        number += 1
    copy.write_bytes(path.read_bytes())


def add_observation(new: Observation, *, today: date) -> Path:
    """Add one row to the log on file, read anew.

    Raises InputError and changes nothing where the row has problems, or counts what another row counts.
    """
    if not new.years_at_risk:
        raise InputError([Problem(file=EXPERIENCE, code="experience.nothing", found=0)])
    practice = load_user_practice(today=today)
    text = write_experience((*practice.experience, new))
    whole = check_experience_text(text, EXPERIENCE, practice, today=today)
    return write_whole(find_practice_folder() / EXPERIENCE, write_experience(whole))


def write_experience_text(practice: Practice, *, today: date) -> str:
    """The log as a file; where there is none yet, rows of zeros to be filled in."""
    return write_experience(practice.experience or begin_experience(practice.options, today=today))


def write_whole(path: Path, text: str) -> Path:
    """Write beside the file first, then take its place: a reader finds the old file or the new one, never a half."""
    beside = path.with_suffix(".part")
    try:
        beside.write_text(text, encoding="utf-8", newline="")
        return beside.replace(path)
    except OSError as error:
        beside.unlink(missing_ok=True)
        raise blame_disk(path, error) from None


def blame_disk(path: Path, error: OSError) -> InputError:
    """What stands in the way of writing a file, as a problem."""
    found = (error.strerror or type(error).__name__).lower()
    return InputError([Problem(file=path.name, code="file.unwritable", found=found)])
