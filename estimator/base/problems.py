"""What is wrong with an input: where, what was found, what was expected. All problems of a file come at once."""

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing wrong in one place; `str()` is the line a user reads."""

    file: str
    place: str
    found: str
    expected: str

    def __str__(self) -> str:
        where = f"{self.file}, {self.place}" if self.place else self.file
        return f"{where}: got {self.found}; expected {self.expected}"


class InputError(Exception):
    """The input cannot be used; `problems` holds every reason found, in the order of the file."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(p) for p in self.problems))


def show_found(value: object, *, longest: int = 60) -> str:
    """A found value as a user would recognise it, shortened and without control characters."""
    text = value if isinstance(value, str) else str(value)
    if isinstance(value, bool):
        text = str(value).lower()
    text = "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in text)
    if len(text) > longest:
        text = text[: longest - 1] + "…"
    return f"'{text}'" if isinstance(value, str) else text


def suggest_name(name: str, known: Iterable[str]) -> str:
    """The known names, the nearest one first if `name` looks like a slip of the pen."""
    known = tuple(known)
    near = get_close_matches(name, known, n=1, cutoff=0.6)
    listed = ", ".join(known)
    return f"'{near[0]}' perhaps; known are {listed}" if near else f"one of {listed}"
