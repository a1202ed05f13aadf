"""Declared fields in words: a file with a comment at each field, and the table of fields that README shows."""

import re
from collections.abc import Iterator, Mapping
from typing import Any

from estimator.base.declared import Field, FieldKind, Section, walk_declared, write_toml_value, write_value

_COLUMN, _WIDEST = 32, 120
_ENDLESS = 10**8
"""A number whose limit is only there against slips has none in a description."""
_BARE = re.compile(r"[A-Za-z0-9_-]+")


def comment_declared(section: Section, document: Mapping[str, Any], *, head: str) -> str:
    """A TOML file that holds the values of a document; what it does not say stands as an example behind a #."""
    lines = [f"# {head}", *_write_parts(section, document, "")]
    return "\n".join(lines) + "\n"


def _write_parts(section: Section, values: Mapping[str, Any], path: str, *, examples: bool = True) -> Iterator[str]:
    """The fields of a table, then the tables inside it. Without `examples` only what it holds, without comments."""
    if section.each is not None:
        yield from _write_named(section.each, values)
    for field in section.list_fields():
        if field.key in values:
            line = f"{field.key} = {write_toml_value(values[field.key])}"
            yield from _add_comment(line, say_help(field)) if examples else [line]
        elif examples and field.example:
            yield from _add_comment(f"# {field.key} = {field.example}", say_help(field))
    for inside in section.list_sections():
        place = f"{path}.{inside.key}" if path else inside.key
        if inside.key in values or examples:
            yield from _write_section(inside, values.get(inside.key), place)


def _write_section(section: Section, values: Any, path: str) -> Iterator[str]:
    """A table, each table of a list, each table under a free name; one that is absent stands behind a # as a whole."""
    if values is None:
        example = {section.example: {}} if section.example else [{}]
        lines = _write_section(section, example, path)
        yield from (_put_behind(line) for line in lines)
    elif section.names and section.each is None:
        for number, (name, inside) in enumerate(values.items()):
            yield from _write_one(section, inside, f"{path}.{name}", first=number == 0)
    else:
        for number, inside in enumerate(values if isinstance(values, list) else [values]):
            yield from _write_one(section, inside, path, first=number == 0)


def _write_one(section: Section, values: Mapping[str, Any], path: str, *, first: bool) -> Iterator[str]:
    yield ""
    header = f"[[{path}]]" if section.repeated else f"[{path}]"
    yield from _add_comment(header, section.help) if first else [header]
    yield from _write_parts(section, values, path, examples=first)


def _write_named(field: Field, values: Mapping[str, Any]) -> Iterator[str]:
    for name, value in values.items():
        yield f"{name if _BARE.fullmatch(name) else write_toml_value(name)} = {write_toml_value(value)}"
    if not values and field.example:
        yield f"# {field.example}"


def _put_behind(line: str) -> str:
    """A line behind a #, with what stands beside it in its column."""
    if not line or line.startswith("# "):
        return line
    left, mark, beside = line.partition("  # ")
    return f"{'# ' + left.rstrip():<{_COLUMN - 1}}  # {beside}" if mark else f"# {line}"


def _add_comment(line: str, comment: str) -> list[str]:
    """The comment beside the line, or above it where it does not fit."""
    if not comment:
        return [line]
    beside = f"{line:<{_COLUMN - 1}}  # {comment}"
    return [beside] if len(beside) <= _WIDEST else [f"# {comment}", line]


def say_help(field: Field) -> str:
    """What a field is, in a sentence; words to choose from stand with it."""
    said = field.help or f"{field.label}."
    words = " | ".join(field.choices) if field.kind is FieldKind.CHOICE and field.choices else ""
    return f"{said} {words}" if words else said


def tabulate_declared(section: Section) -> str:
    """A Markdown table: every field of a document with its place, what it is, what it takes, what stands without it."""
    rows = ["| field | what it is | takes | left out |", "|---|---|---|---|"]
    for place, part in walk_declared(section):
        if isinstance(part, Field):
            cells = (part.help or f"{part.label}.", describe_takes(part), _say_left_out(part))
        elif part.help:
            cells = (part.help, "a table, as often as needed" if part.repeated else "a table", "")
        else:
            continue
        rows.append(f"| `{place}` | {' | '.join(cell.replace('|', '&#124;') for cell in cells)} |")
    return "\n".join(rows)


def describe_takes(field: Field) -> str:
    """What a field takes, with its limits."""
    if field.kind in _SAID:
        return _SAID[field.kind]
    words = ", ".join(f"`{word}`" for word in field.choices or ())
    span = f"from {field.low} to {field.high}" if field.high < _ENDLESS else f"of {field.low} or more"
    return {
        FieldKind.LINE: f"text of at most {field.longest} characters",
        FieldKind.CHOICE: words,
        FieldKind.WHOLE: f"a whole number {span}",
        FieldKind.NUMBER: f"a number {span}",
        FieldKind.WORDS: f"a list of {words or 'texts'}",
        FieldKind.LENGTHS: f"a list of mm, {span}",
    }[field.kind]


_SAID = {
    FieldKind.KEY: "a short name: small letters, digits, underscores",
    FieldKind.FLAG: "`true`, `false`",
    FieldKind.DAY: "a day, such as `2026-11-25`",
    FieldKind.PAST_DAY: "a day, not after today",
    FieldKind.CURRENCY: "an ISO 4217 code, such as `USD`",
    FieldKind.AMOUNT: "an amount of 0 or more",
    FieldKind.PERCENT: "a percentage: `80`, not `0.8`",
    FieldKind.FEE_LINES: "keys of fee lines",
    FieldKind.CLASSES: "keys of benefit classes",
    FieldKind.PROFILE: "the key of a shipped profile",
}


def _say_left_out(field: Field) -> str:
    if field.required:
        return "needed"
    if field.default in (None, "", ()):
        return "nothing"
    return f"`{write_toml_value(write_value(field.default))}`"
