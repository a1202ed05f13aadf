"""Every published number and every assumption, with its source and how sure we are of it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Protocol

from estimator.base.problems import InputError, Problem, offer_names
from estimator.base.table import CsvRow, CsvTable, check_columns, find_duplicates, is_heading_sound, parse_plain_decimal


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


Points = tuple[Decimal, Decimal, Decimal]
"""Low, value and high."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Confirmation:
    """A clinician's yes to a figure: by whom, on which day, and to which low, value and high."""

    points: Points
    confirmed_by: str
    confirmed_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A number: what a clinician can go down to (low), what is usual (value), and high; in `unit`.

    `own` marks a practice's override. `confirmation` is the last one on file, whether it still holds or not.
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
    confirmation: Confirmation | None = None

    @property
    def points(self) -> Points:
        """Low, value and high."""
        return self.low, self.value, self.high

    @property
    def assumption(self) -> bool:
        """Whether a clinician must confirm it before relying on it: no source gives it as it stands, or it changed."""
        if self.confirmation is not None:
            return self.lapsed
        return self.how_sure in (HowSure.MEMORY, HowSure.PRACTICE, HowSure.DERIVED)

    @property
    def lapsed(self) -> bool:
        """Whether it was confirmed once, and has changed since."""
        return self.confirmation is not None and self.confirmation.points != self.points

    @property
    def confirmed_by(self) -> str:
        """Who confirmed it as it stands; empty where nobody did."""
        return self.confirmation.confirmed_by if self.confirmation is not None and not self.lapsed else ""

    @property
    def confirmed_on(self) -> date | None:
        """The day on which it was confirmed as it stands."""
        return self.confirmation.confirmed_on if self.confirmation is not None and not self.lapsed else None


COLUMNS = ("key", "name", "low", "value", "high", "unit", "source", "place", "how_sure", "note")


class Sourced(Protocol):
    """What names a key of the sources, and a place in it."""

    @property
    def source(self) -> str:
        """A key of sources.toml."""

    @property
    def place(self) -> str:
        """Where in it; may be empty."""


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

    def cite(self, sourced: Sourced) -> str:
        """The source of a figure, or of anything else that names one, in full, with the place in it."""
        citation = self.sources.get(sourced.source, sourced.source)
        return f"{citation}, {sourced.place}" if sourced.place else citation

    def override(self, own: "Evidence") -> "Evidence":
        """This evidence with a practice's own figures in place of those of the same key, marked as its own."""
        marked = {f.key: replace(f, own=True) for f in own.figures.values()}
        return Evidence(figures={**self.figures, **marked}, sources=self.sources)

    def include(self, figures: Iterable[Figure]) -> "Evidence":
        """This evidence with the figures that options bring along; those that it has already stay."""
        return Evidence(figures={**{f.key: f for f in figures}, **self.figures}, sources=self.sources)

    def confirm(self, confirmations: Mapping[str, Confirmation]) -> "Evidence":
        """This evidence with what is on file of each figure's confirmation."""
        figures = {f.key: replace(f, confirmation=confirmations.get(f.key)) for f in self.figures.values()}
        return Evidence(figures=figures, sources=self.sources)


def read_evidence(
    table: CsvTable, sources: Mapping[str, str], *, known: Mapping[str, Figure] | None = None
) -> Evidence:
    """Figures from a table with the columns of `COLUMNS`.

    With `known` (a practice's figures.csv) every key must be a known one. Raises InputError with all problems.
    """
    problems = check_columns(table, COLUMNS, COLUMNS) or find_duplicates(table, "key")
    figures = {}
    if is_heading_sound(problems):
        for row in table.rows:
            figure = _read_figure(table, row, problems)
            if figure is None:
                continue
            if known is not None and figure.key not in known:
                problems.append(table.make_problem(row, "key", "known", **offer_names(figure.key, known)))
            if known is None and figure.source not in sources:
                problems.append(table.make_problem(row, "source", "figures.source"))
            figures[figure.key] = figure
    if problems:
        raise InputError(problems)
    return Evidence(figures=figures, sources=sources)


def _read_figure(table: CsvTable, row: CsvRow, problems: list[Problem]) -> Figure | None:
    before = len(problems)
    if row.cells["how_sure"] not in tuple(HowSure):
        problems.append(table.make_problem(row, "how_sure", "known", known=tuple(HowSure)))
    for column in ("key", "name", "unit"):
        if not row.cells[column]:
            problems.append(table.make_problem(row, column, "text"))
    points = read_points(table, row, problems)
    if points is None or len(problems) > before:
        return None
    low, value, high = points
    key, name, unit, source, place, note = (row.cells[c] for c in ("key", "name", "unit", "source", "place", "note"))
    return Figure(
        key=key, name=name, low=low, value=value, high=high, unit=unit, source=source, place=place, note=note,
        how_sure=HowSure(row.cells["how_sure"]),
    )  # fmt: skip


def read_points(table: CsvTable, row: CsvRow, problems: list[Problem]) -> Points | None:
    """The columns low, value and high of a row in rising order; None after noting what is wrong with them."""
    columns = ("low", "value", "high")
    read = {column: parse_plain_decimal(table.read_number_text(row, column)) for column in columns}
    wrong = [table.make_problem(row, column, "figures.number") for column in columns if read[column] is None]
    numbers = [number for number in read.values() if number is not None]
    if wrong or numbers != sorted(numbers):
        order = Problem(file=table.file, row=row.number, code="figures.order", found=tuple(numbers))
        problems += wrong or [order]
        return None
    low, value, high = numbers
    return low, value, high
