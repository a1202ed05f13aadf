"""A fee schedule while somebody edits it: rows of texts, complete or not, and the version they were made from."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from estimator.base.table import CsvRow, CsvTable
from estimator.inputs.fees.schedule import FeeSchedule
from estimator.inputs.fees.versions import make_fee_table, show_line

NEW_FILE = "the table"


@dataclass(frozen=True, slots=True, kw_only=True)
class FeeDraft:
    """What the table holds. Each row keeps its number, by which problems are told; a new one gets the next."""

    parent: FeeSchedule
    rows: tuple[CsvRow, ...]
    currency: str
    price_date: date
    effective_from: date

    @property
    def is_changed(self) -> bool:
        """Whether anything but a day differs from the version it was made from."""
        cells = [row.cells for row in self.rows if any(row.cells.values())]
        was = [show_line(line) for line in self.parent.lines.values()]
        return self.currency != self.parent.currency or cells != was

    def make_table(self) -> CsvTable:
        """The draft as `read_fees` takes it, to be checked like a file."""
        return make_fee_table(
            self.rows,
            file=NEW_FILE,
            currency=self.currency,
            price_date=self.price_date,
            effective_from=self.effective_from,
        )


def begin_draft(parent: FeeSchedule, *, own: bool, today: date, lines: FeeSchedule | None = None) -> FeeDraft:
    """The lines of a version (or other lines on top of it), priced and in force from today, or later as its parent is.

    Only a practice's `own` parent binds the days: those of the demo schedule are invented.
    """
    shown = lines or parent
    rows = tuple(CsvRow(number=number, cells=show_line(line)) for number, line in enumerate(shown.lines.values(), 2))
    return FeeDraft(
        parent=parent,
        rows=rows,
        currency=shown.currency,
        price_date=max(today, parent.price_date) if own else today,
        effective_from=max(today, parent.effective_from or today) if own else today,
    )


def put_rows(draft: FeeDraft, shown: Iterable[CsvRow], edited: Sequence[tuple[int | None, dict[str, str]]]) -> FeeDraft:
    """The draft after its `shown` rows were edited: changed in place, deleted where missing, added at the end."""
    found = {number: cells for number, cells in edited if number is not None}
    hidden = {row.number for row in draft.rows} - {row.number for row in shown}
    kept = [row for row in draft.rows if row.number in hidden or row.number in found]
    rows = [replace(row, cells=found.get(row.number, row.cells)) for row in kept]
    last = max((row.number for row in draft.rows), default=1)
    new = [cells for number, cells in edited if number is None]
    rows += [CsvRow(number=number, cells=cells) for number, cells in enumerate(new, last + 1)]
    return replace(draft, rows=tuple(rows))


def find_rows(draft: FeeDraft, wanted: str) -> tuple[CsvRow, ...]:
    """The rows that hold every word of `wanted` in key, label, kind, provider or own code."""
    words = wanted.lower().split()
    columns = ("key", "label", "kind", "provider", "office_code")
    texts = {row.number: " ".join(row.cells[name] for name in columns).lower() for row in draft.rows}
    return tuple(row for row in draft.rows if all(word in texts[row.number] for word in words))
