"""What is wrong with an input, as data: where, what was found, what was expected. All problems of a file come at once.

No sentence stands here: `estimator.sheets.export.problem_lines` says a problem, by its code, in a language.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches

FieldPath = tuple[str | int, ...]
"""Where in a document: the names of tables and fields, and numbers in a list counted from 1."""
_CODE = re.compile(r"[a-z][a-z0-9_]*(\.[a-z][a-z0-9_]*)*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing wrong in one place: a cell of a table (`row`, `column`) or a field of a document (`path`).

    `code` is the key of its sentence, `expected` what fills it by name; `found` is the value as it was found, None
    where nothing was. A code that is none raises ValueError.
    """

    file: str
    code: str
    row: int | None = None
    column: str = ""
    path: FieldPath = ()
    found: object = None
    expected: Mapping[str, object] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not _CODE.fullmatch(self.code):
            raise ValueError(f"'code' must be the key of a sentence, such as fees.minutes (got '{self.code}')")


class InputError(Exception):
    """The input cannot be used; `problems` holds every reason found, in the order of the file."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__(*self.problems)


def offer_names(name: object, known: Iterable[str]) -> dict[str, object]:
    """What a problem says that expects one of several names: all of them, and the one meant by a slip of the pen."""
    known = tuple(known)
    near = get_close_matches(name, known, n=1, cutoff=0.6) if isinstance(name, str) else ()
    return {"known": known, "near": near[0] if near else ""}
