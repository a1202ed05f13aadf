"""Writes into this user's settings.toml who approved the words of the sheets."""

from datetime import date
from pathlib import Path

from estimator.base.problems import InputError, free_problem
from estimator.files.user.settings import FILE, keep_fields

_NAME_EXPECTED = "the name of who approved them, in one line of at most 60 characters, such as Dr. M. Okafor"


def keep_approval(by: str, mark: str, *, today: date) -> Path:
    """Say in settings.toml that the words of this mark are approved.

    Raises InputError and changes nothing where there is no name, or the file cannot be read or written.
    """
    name = by.strip()
    if not name or len(name) > 60 or not name.isprintable():
        raise InputError([free_problem(file=FILE, place="name", found=f"'{name[:60]}'", expected=_NAME_EXPECTED)])
    return keep_fields("wording", {"approved_by": name, "approved_on": today, "approved_text": mark})
