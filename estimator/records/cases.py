"""Saved cases: save, list, open, duplicate, delete. A case is kept as the text of its case file."""

import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from sqlalchemy import (
    Column,
    Connection,
    Engine,
    MetaData,
    String,
    Table,
    Text,
    create_engine,
    delete,
    insert,
    select,
    update,
)
from sqlalchemy.exc import SQLAlchemyError
from sqlalchemy.pool import NullPool

_META = MetaData()
_CASES = Table(
    "cases",
    _META,
    Column("id", String(32), primary_key=True),
    Column("reference", String(40), nullable=False, index=True),
    Column("patient", String(120), nullable=False),
    Column("summary", String(200), nullable=False),
    Column("saved_at", String(32), nullable=False),
    Column("document", Text, nullable=False),
)


class RecordsError(Exception):
    """The saved cases cannot be reached; the message says what to do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SavedCase:
    """A saved case as listed: `saved_at` in ISO 8601, UTC; `document` is the text of its case file."""

    id: str
    reference: str
    patient: str
    summary: str
    saved_at: str
    document: str


class CaseStore:
    """The table of saved cases. Every call opens a connection of its own, so that two tabs do not share one."""

    def __init__(self, url: str) -> None:
        self.engine: Engine = create_engine(url, poolclass=NullPool)
        with self._connect() as connection:
            _META.create_all(connection)

    @contextmanager
    def _connect(self) -> Iterator[Connection]:
        try:
            with self.engine.begin() as connection:
                yield connection
        except SQLAlchemyError as error:
            where = self.engine.url.render_as_string(hide_password=True)
            reason = str(error.__cause__ or error)
            raise RecordsError(f"{where}: {reason}; expected a database that can be read and written") from error

    def save(self, case: SavedCase) -> None:
        """Write a case under its id, in place of the one saved there before."""
        values = {column.name: getattr(case, column.name) for column in _CASES.columns}
        with self._connect() as connection:
            done = connection.execute(update(_CASES).where(_CASES.c.id == case.id).values(values))
            if done.rowcount == 0:
                connection.execute(insert(_CASES).values(values))

    def list_cases(self) -> tuple[SavedCase, ...]:
        """All saved cases, the latest first."""
        with self._connect() as connection:
            rows = connection.execute(select(_CASES).order_by(_CASES.c.saved_at.desc(), _CASES.c.reference)).mappings()
            return tuple(SavedCase(**row) for row in rows)

    def get(self, case_id: str) -> SavedCase:
        """One saved case; raises KeyError if there is none."""
        with self._connect() as connection:
            row = connection.execute(select(_CASES).where(_CASES.c.id == case_id)).mappings().first()
        if row is None:
            raise KeyError(f"'case_id' must be a saved case (got '{case_id}')")
        return SavedCase(**row)

    def delete(self, case_id: str) -> None:
        """Take a saved case out for good."""
        with self._connect() as connection:
            connection.execute(delete(_CASES).where(_CASES.c.id == case_id))


def make_case_id() -> str:
    """A new id for a saved case; says nothing of the patient."""
    return uuid.uuid4().hex
