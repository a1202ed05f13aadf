"""What is wrong with an input, said in a language: where, what was found, what was expected.

The texts of a code are in problems.toml: `expected`, or the text itself where it is the only one; `near` instead where
a slip of the pen is likely; `typed` instead for what was typed in a form; `quoted` after it where text stood in place
of a number; `found` and `place` where more is said than the value and its place.
"""

import string
from collections.abc import Mapping, Sequence
from typing import Any

from estimator.base.problems import FieldPath, Problem
from estimator.inputs.reference.wording import Wording

Labels = Mapping[FieldPath, str]
"""What a form calls the fields of its document, or by its number the row of a table; a path stands for all in it."""
_LONGEST = 60


def write_problem(problem: Problem, wording: Wording) -> str:
    """The line of a terminal: file and place, what was found and what was expected."""
    place = name_place(problem, wording)
    where = wording.say("problems.say.where", file=problem.file, place=place) if place else problem.file
    found, expected = say_found(problem, wording), say_expected(problem, wording)
    return wording.say("problems.say.line", where=where, found=found, expected=expected)


def name_place(problem: Problem, wording: Wording, labels: Labels | None = None) -> str:
    """The place as the form calls it that has these labels; else the path or cell; empty for a whole file."""
    labels = labels or {}
    label = next((labels[path] for path in _list_paths(problem.path) if path in labels), "")
    if label:
        return label
    if text := _find_text(problem, "place", wording):
        return _fill(text, problem, wording)
    cells = (("row", problem.row), ("column", problem.column))
    parts = [wording.say(f"problems.say.{name}", **{name: value}) for name, value in cells if value]
    if problem.row and (problem.row,) in labels:  # a row is easier found by the name of its line
        parts.insert(0, labels[problem.row,])
    return ", ".join(parts) or write_path(problem.path)


def _list_paths(path: FieldPath) -> list[FieldPath]:
    """The path, then what it lies in, from the inside out."""
    return [path[:end] for end in range(len(path), 0, -1)]


def write_path(path: FieldPath) -> str:
    """A path as a TOML file would name it: jaws[1].arch."""
    text = ""
    for part in path:
        text += f"[{part}]" if isinstance(part, int) else f".{part}"
    return text.removeprefix(".")


def say_found(problem: Problem, wording: Wording) -> str:
    """What was found: the value as a user would recognise it, or what the text of the code says of it."""
    text = _find_text(problem, "found", wording)
    return _fill(text, problem, wording) if text else write_found(problem.found, wording)


def say_expected(problem: Problem, wording: Wording, *, typed: bool = False) -> str:
    """What was expected; `typed` where it was typed in a form, which has no tables and no quotes."""
    names = ("typed",) if typed else ()
    if problem.expected.get("near"):
        names = (*names, "near")
    text = next(filter(None, (_find_text(problem, name, wording) for name in (*names, "expected"))), "")
    text = text or wording.get(f"problems.{problem.code}")
    hint = _find_text(problem, "quoted", wording) if isinstance(problem.found, str) else ""
    return _fill(text + hint, problem, wording)


def write_found(value: object, wording: Wording, *, longest: int = _LONGEST) -> str:
    """A found value as a user would recognise it, shortened and without control characters; text in quotes."""
    if value is None:
        return wording.get("problems.say.nothing")
    text = value if isinstance(value, str) else str(value)
    if isinstance(value, bool):
        text = str(value).lower()
    text = "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in text)
    if len(text) > longest:
        text = text[: longest - 1] + "…"
    return f"'{text}'" if isinstance(value, str) else text


def _find_text(problem: Problem, name: str, wording: Wording) -> str:
    """The text of that name of a code, else that of its group; empty where neither has one."""
    keys = (f"problems.{code}.{name}" for code in (problem.code, problem.code.partition(".")[0]))
    return next((wording.get(key) for key in keys if wording.has(key)), "")


def _fill(text: str, problem: Problem, wording: Wording) -> str:
    return _Filler(wording).vformat(text, (), {**problem.expected, "found": problem.found, "file": problem.file})


class _Filler(string.Formatter):
    """Fills the places of a text: {known} is a list with commas, {known:or} one of them, {key:quoted} as it was found,
    {decimals:decimals} the text for that number, {day:code} the text of that code. {found} alone is shown as it was
    found; {found:plain} without quotes.
    """

    def __init__(self, wording: Wording) -> None:
        self.wording = wording

    def get_value(self, key: int | str, args: Sequence[object], kwargs: Mapping[str, object]) -> object:  # noqa: ARG002
        value = kwargs[str(key)]
        return _Found(value) if key == "found" else value

    def format_field(self, value: object, format_spec: str) -> str:
        if isinstance(value, _Found):
            value = value.value
            format_spec = format_spec or ("" if isinstance(value, tuple) else "quoted")
        if format_spec == "quoted":
            return write_found(value, self.wording)
        if isinstance(value, tuple | list):
            return self.join(value, format_spec)
        if format_spec == "code":
            return self.wording.get(f"problems.{value}")
        if self.wording.has(key := f"problems.say.{format_spec}_{value}".lower()):
            return self.wording.get(key)
        return format(value, format_spec) if format_spec not in ("", "plain") else str(value)

    def join(self, values: Sequence[Any], format_spec: str) -> str:
        if format_spec == "path":
            return write_path(tuple(values))
        word = self.wording.get(f"problems.say.{format_spec}") if format_spec else ""
        between = f" {word} " if word else " " if format_spec else ", "
        return between.join(str(part) for part in values)


class _Found:
    """Marks the value that was found, which is shown in quotes where it is text; {found[0]} is the first of several."""

    def __init__(self, value: object) -> None:
        self.value = value

    def __getitem__(self, index: int) -> object:
        return self.value[index] if isinstance(self.value, tuple) else ""
