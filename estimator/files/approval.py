"""Writes into this user's settings.toml who approved the words of the sheets, and leaves all else in it as it is."""

import re
from datetime import date
from pathlib import Path
from typing import Any

import tomli_w

from estimator.base.problems import InputError, Problem
from estimator.files.languages import list_languages
from estimator.files.loading import LOCALES
from estimator.files.reading import decode_text, parse_toml
from estimator.files.user import find_practice_folder
from estimator.files.user_own import write_whole
from estimator.inputs.settings import read_settings

FILE = "settings.toml"
_TABLE = "wording"
_KEYS = ("approved_by", "approved_on", "approved_text")
_HEADER = re.compile(r"\s*\[\s*wording\s*\]\s*(#.*)?")
_OLD = re.compile(rf"\s*(?:{'|'.join(_KEYS)})\s*=")
_NAME_EXPECTED = "the name of who approved them, in one line of at most 60 characters, such as Dr. M. Okafor"


def keep_approval(by: str, mark: str, *, today: date) -> Path:
    """Say in settings.toml that the words of this mark are approved; comments and all other lines stay.

    Raises InputError and changes nothing where there is no name, or the file cannot be read or written.
    """
    name = by.strip()
    if not name or len(name) > 60 or not name.isprintable():
        raise InputError([Problem(file=FILE, place="name", found=f"'{name[:60]}'", expected=_NAME_EXPECTED)])
    path = find_practice_folder() / FILE
    before = decode_text(path.read_bytes(), FILE) if path.exists() else ""
    text = write_approval(before, {"approved_by": name, "approved_on": today, "approved_text": mark})
    return write_whole(path, text)


def write_approval(before: str, approval: dict[str, Any]) -> str:
    """The text of a settings file with this approval in place of the one before. Raises InputError."""
    lines = before.splitlines()
    place = next((n for n, line in enumerate(lines) if _HEADER.fullmatch(line)), None)
    if place is None:
        lines += [""] * bool(lines) + [f"[{_TABLE}]"]
        place = len(lines) - 1
    end = next((n for n in range(place + 1, len(lines)) if lines[n].lstrip().startswith("[")), len(lines))
    kept = [line for line in lines[place + 1 : end] if not _OLD.match(line)]
    new = tomli_w.dumps(approval).splitlines()
    text = "\n".join((*lines[: place + 1], *new, *kept, *lines[end:])) + "\n"
    _check_nothing_else_changed(before, text)
    read_settings(parse_toml(text, FILE), file=FILE, locales=LOCALES, languages=list_languages())
    return text


def _check_nothing_else_changed(before: str, after: str) -> None:
    """A file written in an unusual way is left alone rather than spoilt."""
    if _strip(parse_toml(before, FILE)) != _strip(parse_toml(after, FILE)):
        expected = f"a table that begins with a line [{_TABLE}]; or enter {', '.join(_KEYS)} by hand"
        raise InputError([Problem(file=FILE, place=_TABLE, found="an unusual way of writing", expected=expected)])


def _strip(document: dict[str, Any]) -> dict[str, Any]:
    """A settings document without what is said of the approval."""
    wording = {key: value for key, value in document.get(_TABLE, {}).items() if key not in _KEYS}
    return {key: value for key, value in document.items() if key != _TABLE} | {_TABLE: wording}
