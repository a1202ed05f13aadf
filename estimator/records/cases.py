"""Saved cases: save, list, open, duplicate, delete. A case is kept as the text of its case file."""

import uuid
from dataclasses import dataclass

from sqlalchemy import Column, String, Table, Text, delete, insert, select, update

from estimator.records.database import META, Database, TakenError
from estimator.records.quotes import find_agreed

_CASES = Table(
    "cases",
    META,
    Column("id", String(32), primary_key=True),
    Column("reference", String(40), nullable=False, index=True),
    Column("patient", String(120), nullable=False),
    Column("summary", String(200), nullable=False),
    Column("saved_at", String(32), nullable=False),
    Column("document", Text, nullable=False),
)


class HeldError(Exception):
    """A case must not be deleted; the message says why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SavedCase:
    """A saved case as listed: `saved_at` in ISO 8601, UTC; `document` is the text of its case file."""

    id: str
    reference: str
    patient: str
    summary: str
    saved_at: str
    document: str


class CaseStore(Database):
    """The table of saved cases."""

    def save(self, case: SavedCase, *, seen: str | None = None) -> None:
        """Write a case under its id, in place of the one saved there before.

        `seen` is the document that was opened. Raises TakenError where another one is saved there now, or none, and
        changes nothing then.
        """
        values = {column.name: getattr(case, column.name) for column in _CASES.columns}
        place = update(_CASES).where(_CASES.c.id == case.id)
        with self.connect() as connection:
            done = connection.execute(
                (place if seen is None else place.where(_CASES.c.document == seen)).values(values)
            )
            if done.rowcount == 0 and seen is not None:
                raise TakenError(f"{case.reference} was saved or deleted meanwhile, in another tab or by somebody else")
            if done.rowcount == 0:
                connection.execute(insert(_CASES).values(values))

    def list_cases(self) -> tuple[SavedCase, ...]:
        """All saved cases, the latest first."""
        with self.connect() as connection:
            rows = connection.execute(select(_CASES).order_by(_CASES.c.saved_at.desc(), _CASES.c.reference)).mappings()
            return tuple(SavedCase(**row) for row in rows)

    def get(self, case_id: str) -> SavedCase:
        """One saved case; raises KeyError if there is none."""
        with self.connect() as connection:
            row = connection.execute(select(_CASES).where(_CASES.c.id == case_id)).mappings().first()
        if row is None:
            raise KeyError(f"'case_id' must be a saved case (got '{case_id}')")
        return SavedCase(**row)

    def delete(self, case_id: str) -> None:
        """Take a saved case out for good. Raises HeldError where a quote of it is agreed."""
        with self.connect() as connection:
            if agreed := find_agreed(connection, case_id):
                raise HeldError(f"{', '.join(agreed)} is agreed, and its case is needed as long as treatment goes on.")
            connection.execute(delete(_CASES).where(_CASES.c.id == case_id))


def make_case_id() -> str:
    """A new id for a saved case; says nothing of the patient."""
    return uuid.uuid4().hex
