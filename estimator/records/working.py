"""Working copies: what is typed before a case is saved, written at each change and found again by an opaque id."""

import re
import secrets
from dataclasses import asdict, dataclass

from sqlalchemy import Column, Integer, String, Table, Text, delete, insert, select, update
from sqlalchemy.engine import RowMapping

from estimator.records.database import META, Database, TakenError

_COPIES = Table(
    "working_copies",
    META,
    Column("id", String(26), primary_key=True),
    Column("case_id", String(32), nullable=False, index=True),
    Column("started", String(32), nullable=False),
    Column("changed", String(32), nullable=False, index=True),
    Column("version", Integer, nullable=False),
    Column("unsaved", Integer, nullable=False),
    Column("document", Text, nullable=False),
)
_LETTERS = "abcdefghijklmnopqrstuvwxyz234567"
_LENGTH = 26
_ID = re.compile(rf"[a-z2-7]{{{_LENGTH}}}")


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkingCopy:
    """What one tab has typed: `started` and `changed` in ISO 8601, UTC; `document` is the text of a TOML document.

    `case_id` is that of the saved case it began as, empty where there is none. `unsaved` says that it holds something
    that the saved case does not; `version` counts the changes.
    """

    id: str
    case_id: str
    started: str
    changed: str
    version: int
    unsaved: bool
    document: str


class WorkingStore(Database):
    """The table of working copies."""

    def begin(self, copy: WorkingCopy) -> None:
        """Add a copy. Raises TakenError where there is one of that id already."""
        with self.connect(taken=f"{copy.id} is there already") as connection:
            connection.execute(insert(_COPIES).values(_make_row(copy)))

    def change(self, copy: WorkingCopy, *, seen: int) -> None:
        """Write a copy over the version that was seen.

        Raises TakenError where another tab has written it since, and changes nothing then.
        """
        wanted = update(_COPIES).where(_COPIES.c.id == copy.id, _COPIES.c.version == seen)
        with self.connect() as connection:
            if connection.execute(wanted.values(_make_row(copy))).rowcount == 0:
                raise TakenError(f"version {seen} has been written over or taken out meanwhile")

    def find(self, copy_id: str) -> WorkingCopy | None:
        """One copy; None where there is none of that id."""
        with self.connect() as connection:
            row = connection.execute(select(_COPIES).where(_COPIES.c.id == copy_id)).mappings().first()
        return None if row is None else _read_row(row)

    def list_unsaved(self) -> tuple[WorkingCopy, ...]:
        """Copies that hold something that was not saved, the one changed last first."""
        wanted = select(_COPIES).where(_COPIES.c.unsaved == 1).order_by(_COPIES.c.changed.desc(), _COPIES.c.id)
        with self.connect() as connection:
            return tuple(_read_row(row) for row in connection.execute(wanted).mappings())

    def delete(self, copy_id: str) -> None:
        """Take a copy out for good."""
        with self.connect() as connection:
            connection.execute(delete(_COPIES).where(_COPIES.c.id == copy_id))

    def sweep(self, before: str) -> int:
        """Take out the copies that nobody has changed since `before` (ISO 8601, UTC); returns how many."""
        with self.connect() as connection:
            return int(connection.execute(delete(_COPIES).where(_COPIES.c.changed < before)).rowcount)


def _make_row(copy: WorkingCopy) -> dict[str, object]:
    return {**asdict(copy), "unsaved": int(copy.unsaved)}


def _read_row(row: RowMapping) -> WorkingCopy:
    return WorkingCopy(**{**row, "unsaved": bool(row["unsaved"])})


def make_copy_id() -> str:
    """A new id, 130 bits by chance: nobody guesses it, and it says nothing of the patient."""
    return "".join(secrets.choice(_LETTERS) for _ in range(_LENGTH))


def is_copy_id(text: object) -> bool:
    """Whether it could be an id of ours; nothing else is ever looked up."""
    return isinstance(text, str) and _ID.fullmatch(text) is not None
