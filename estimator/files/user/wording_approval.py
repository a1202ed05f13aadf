"""Writes into this user's settings.toml who approved the words of the sheets."""

from datetime import date
from pathlib import Path

from estimator.base.problems import InputError, Problem
from estimator.files.user.settings import FILE, keep_fields


def keep_approval(by: str, mark: str, *, today: date) -> Path:
    """Say in settings.toml that the words of this mark are approved.

    Raises InputError and changes nothing where there is no name, or the file cannot be read or written.
    """
    name = by.strip()
    if not name or len(name) > 60 or not name.isprintable():
        raise InputError([Problem(file=FILE, path=("name",), code="settings.approved_by", found=name)])
    return keep_fields("wording", {"approved_by": name, "approved_on": today, "approved_text": mark})
