"""Writes into this user's settings.toml: some fields of some tables, and leaves all else in the file as it is."""

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import tomli_w

from estimator.base.problems import InputError, Problem
from estimator.files.languages import list_languages
from estimator.files.loading import LOCALES
from estimator.files.reading import decode_text, parse_toml
from estimator.files.user.data_folder import find_practice_folder
from estimator.files.user.own import write_whole
from estimator.inputs.practice.settings import read_settings

FILE = "settings.toml"


def keep_fields(table: str, values: Mapping[str, Any]) -> Path:
    """Write these fields of a table; comments and all other lines stay. Raises as `keep_tables` does."""
    return keep_tables({table: values})


def keep_tables(tables: Mapping[str, Mapping[str, Any]]) -> Path:
    """Write these fields of tables such as terms.guarantee, all or none; a field that is None is taken out.

    Raises InputError and changes nothing where the file cannot be read or written, or would not be sound.
    """
    path = find_practice_folder() / FILE
    text = decode_text(path.read_bytes(), FILE) if path.exists() else ""
    for table, values in tables.items():
        text = write_fields(text, table, values)
    return write_whole(path, text)


def write_fields(before: str, table: str, values: Mapping[str, Any]) -> str:
    """The text of a settings file with these fields in place of what they were before. Raises InputError."""
    header = re.compile(rf"\s*\[\s*{re.escape(table)}\s*\]\s*(#.*)?")
    old = re.compile(rf"\s*(?:{'|'.join(values)})\s*=")
    said = {key: value for key, value in values.items() if value is not None}
    lines = before.splitlines()
    place = next((n for n, line in enumerate(lines) if header.fullmatch(line)), None)
    if place is None:
        if not said:
            return before
        lines += [""] * bool(lines) + [f"[{table}]"]
        place = len(lines) - 1
    end = next((n for n in range(place + 1, len(lines)) if lines[n].lstrip().startswith("[")), len(lines))
    kept = [line for line in lines[place + 1 : end] if not old.match(line)]
    new = tomli_w.dumps(said).splitlines()
    text = "\n".join((*lines[: place + 1], *new, *kept, *lines[end:])) + "\n"
    _check_nothing_else_changed(before, text, table, tuple(values))
    read_settings(parse_toml(text, FILE), file=FILE, locales=LOCALES, languages=list_languages())
    return text


def _check_nothing_else_changed(before: str, after: str, table: str, keys: tuple[str, ...]) -> None:
    """A file written in an unusual way is left alone rather than spoilt."""
    names = table.split(".")
    if _strip(parse_toml(before, FILE), names, keys) != _strip(parse_toml(after, FILE), names, keys):
        expected = {"table": tuple(names), "keys": keys}
        raise InputError([Problem(file=FILE, path=tuple(names), code="file.unusual", expected=expected)])


def _strip(document: dict[str, Any], names: list[str], keys: tuple[str, ...]) -> dict[str, Any]:
    """A settings document without these fields of the table that the names lead to."""
    if not names:
        return {key: value for key, value in document.items() if key not in keys}
    first, *more = names
    return document | {first: _strip(document.get(first, {}), more, keys)}
