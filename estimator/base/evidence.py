"""Every published number and every assumption, with its source and how sure we are of it."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import StrEnum

from estimator.base.problems import InputError, Problem, show_found, suggest_name
from estimator.base.table import Row, Table, check_columns, find_duplicates, parse_plain_decimal


class HowSure(StrEnum):
    """How a number reached us, from read in the source to this practice's own."""

    ABSTRACT = "abstract"
    CHAPTER = "chapter"
    RULE = "rule"
    QUOTED = "quoted"
    DERIVED = "derived"
    MEMORY = "memory"
    PRACTICE = "practice"
    OWN = "own"


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A number: what a clinician can go down to (low), what is usual (value), and high; in `unit`.

    `assumption` is True for every number that no source gives as it stands. `own` marks a practice's override.
    """

    key: str
    name: str
    low: Decimal
    value: Decimal
    high: Decimal
    unit: str
    source: str
    place: str
    how_sure: HowSure
    note: str = ""
    own: bool = False

    @property
    def assumption(self) -> bool:
        """Whether a clinician must confirm it before relying on it."""
        return self.how_sure in (HowSure.MEMORY, HowSure.PRACTICE, HowSure.DERIVED)


COLUMNS = ("key", "name", "low", "value", "high", "unit", "source", "place", "how_sure", "note")


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """The table of figures and the sources they name."""

    figures: Mapping[str, Figure]
    sources: Mapping[str, str] = field(default_factory=dict)

    def get(self, key: str) -> Figure:
        """The figure of that key."""
        if key not in self.figures:
            raise KeyError(f"'key' must be a figure of the evidence table (got '{key}')")
        return self.figures[key]

    def cite(self, figure: Figure) -> str:
        """The source of a figure in full, with the place in it."""
        citation = self.sources.get(figure.source, figure.source)
        return f"{citation}, {figure.place}" if figure.place else citation

    def override(self, own: "Evidence") -> "Evidence":
        """This evidence with a practice's own figures in place of those of the same key, marked as its own."""
        marked = {f.key: replace(f, own=True) for f in own.figures.values()}
        return Evidence(figures={**self.figures, **marked}, sources=self.sources)


def read_evidence(table: Table, sources: Mapping[str, str], *, known: Mapping[str, Figure] | None = None) -> Evidence:
    """Figures from a table with the columns of `COLUMNS`.

    With `known` (a practice's figures.csv) every key must be a known one. Raises InputError with all problems.
    """
    problems = check_columns(table, COLUMNS, COLUMNS) or find_duplicates(table, "key")
    figures = {}
    if not any(p.place == "row 1" for p in problems):
        for row in table.rows:
            figure = _read_figure(table, row, problems)
            if figure is None:
                continue
            if known is not None and figure.key not in known:
                problems.append(table.blame(row, "key", suggest_name(figure.key, known)))
            if known is None and figure.source not in sources:
                problems.append(table.blame(row, "source", "a key of sources.toml"))
            figures[figure.key] = figure
    if problems:
        raise InputError(problems)
    return Evidence(figures=figures, sources=sources)


def _read_figure(table: Table, row: Row, problems: list[Problem]) -> Figure | None:
    before = len(problems)
    numbers = {}
    for column in ("low", "value", "high"):
        number = parse_plain_decimal(table.read_number_text(row, column))
        if number is None:
            problems.append(table.blame(row, column, "a number, such as 2.25"))
        else:
            numbers[column] = number
    if row.cells["how_sure"] not in tuple(HowSure):
        problems.append(table.blame(row, "how_sure", f"one of {', '.join(HowSure)}"))
    for column in ("key", "name", "unit"):
        if not row.cells[column]:
            problems.append(table.blame(row, column, "a short text"))
    if len(problems) == before and not numbers["low"] <= numbers["value"] <= numbers["high"]:
        found = " / ".join(show_found(numbers[c]) for c in ("low", "value", "high"))
        problems.append(
            Problem(
                file=table.file, place=f"row {row.number}", found=found, expected="low, value and high in rising order"
            )
        )
    if len(problems) > before:
        return None
    key, name, unit, source, place, note = (row.cells[c] for c in ("key", "name", "unit", "source", "place", "note"))
    low, value, high = (numbers[c] for c in ("low", "value", "high"))
    return Figure(
        key=key, name=name, low=low, value=value, high=high, unit=unit, source=source, place=place, note=note,
        how_sure=HowSure(row.cells["how_sure"]),
    )  # fmt: skip
