"""Kept versions of quotes and self-pay estimates: content is only added, never changed; a state moves on step by step.

A number is the practice's own reference and a running number, over every document of that reference without a gap.
"""

from collections.abc import Sequence
from dataclasses import asdict, dataclass

from sqlalchemy import (
    Column,
    ForeignKeyConstraint,
    Integer,
    String,
    Table,
    Text,
    UniqueConstraint,
    func,
    insert,
    select,
)
from sqlalchemy.engine import RowMapping

from estimator.inputs.payment.jurisdiction import DocumentKind
from estimator.records.database import META, Database, TakenError

_VERSIONS = Table(
    "kept_versions",
    META,
    Column("number", String(60), primary_key=True),
    Column("version", Integer, primary_key=True),
    Column("kind", String(20), nullable=False),
    Column("reference", String(40), nullable=False),
    Column("running", Integer, nullable=False),
    Column("case_id", String(32), nullable=False, index=True),
    Column("kept_by", String(120), nullable=False),
    Column("kept_at", String(32), nullable=False),
    Column("document", Text, nullable=False),
    UniqueConstraint("reference", "running", "version"),
)
_MOVES = Table(
    "kept_moves",
    META,
    Column("number", String(60), primary_key=True),
    Column("version", Integer, primary_key=True),
    Column("step", Integer, primary_key=True),
    Column("state", String(20), nullable=False),
    Column("moved_by", String(120), nullable=False),
    Column("moved_at", String(32), nullable=False),
    ForeignKeyConstraint(["number", "version"], ["kept_versions.number", "kept_versions.version"]),
)
_TRY_AGAIN = "was kept meanwhile, in another tab or by somebody else. Look at it, then try again."


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptVersion:
    """One version as it was kept: `kept_at` in ISO 8601, UTC; `document` is its JSON."""

    kind: DocumentKind
    reference: str
    running: int
    version: int
    case_id: str
    kept_by: str
    kept_at: str
    document: str

    @property
    def number(self) -> str:
        """The number that stands on it; it says nothing of the patient beyond the practice's own reference."""
        return write_number(self.reference, self.running)


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """A version's step into another state, when (ISO 8601, UTC) and by whom."""

    state: str
    moved_by: str
    moved_at: str


def write_number(reference: str, running: int) -> str:
    """C-1042-Q3: the third document of that reference; its letter tells it from C-1042-1, the sheet of a jaw."""
    return f"{reference}-Q{running}"


class QuoteStore(Database):
    """The tables of kept versions and of the states they went through."""

    def find_next_running(self, reference: str) -> int:
        """The running number of the next document of a reference; nothing is reserved by asking."""
        with self.connect() as connection:
            last = connection.execute(select(func.max(_VERSIONS.c.running)).where(_VERSIONS.c.reference == reference))
            return int(last.scalar() or 0) + 1

    def keep(self, kept: KeptVersion) -> None:
        """Add a version. Raises TakenError where it is there already, and ValueError where one before it is missing."""
        with self.connect(taken=f"{kept.number}, version {kept.version}, {_TRY_AGAIN}") as connection:
            places = [_VERSIONS.c[name] for name in ("running", "version", "case_id", "kind")]
            rows = connection.execute(select(*places).where(_VERSIONS.c.reference == kept.reference)).mappings().all()
            _check_place(kept, rows)
            row = {**asdict(kept), "kind": kept.kind.value, "number": kept.number}
            connection.execute(insert(_VERSIONS).values(row))

    def list_versions(self, case_id: str, kind: DocumentKind) -> tuple[KeptVersion, ...]:
        """All versions of one sort kept of a case, by number and version."""
        wanted = select(_VERSIONS).where(_VERSIONS.c.case_id == case_id, _VERSIONS.c.kind == kind.value)
        with self.connect() as connection:
            rows = connection.execute(wanted).mappings().all()
        return tuple(sorted(map(_read_version, rows), key=lambda kept: (kept.reference, kept.running, kept.version)))

    def move(self, kept: KeptVersion, move: Move, *, seen: int) -> None:
        """Put a version into its next state, after the `seen` steps it had when that was decided.

        Raises TakenError where it has moved on meanwhile.
        """
        taken = f"{kept.number}, version {kept.version}, has moved on meanwhile. Look at it, then try again."
        with self.connect(taken=taken) as connection:
            steps = connection.execute(
                select(func.count()).where(_MOVES.c.number == kept.number, _MOVES.c.version == kept.version)
            ).scalar()
            if steps != seen:
                raise TakenError(taken)
            place = {"number": kept.number, "version": kept.version, "step": seen + 1}
            connection.execute(insert(_MOVES).values({**place, **asdict(move)}))

    def list_moves(self, kept: KeptVersion) -> tuple[Move, ...]:
        """The states a version went through since it was kept, the first one first."""
        wanted = select(_MOVES).where(_MOVES.c.number == kept.number, _MOVES.c.version == kept.version)
        with self.connect() as connection:
            rows = connection.execute(wanted.order_by(_MOVES.c.step)).mappings().all()
        return tuple(Move(state=row["state"], moved_by=row["moved_by"], moved_at=row["moved_at"]) for row in rows)


def _check_place(kept: KeptVersion, rows: Sequence[RowMapping]) -> None:
    """A number follows the one before it, a version the one before it of the same case and sort; no gap is left."""
    mine = [row for row in rows if row["running"] == kept.running]
    if any(row["version"] == kept.version for row in mine):
        raise TakenError(f"{kept.number}, version {kept.version}, {_TRY_AGAIN}")
    if mine and any((row["case_id"], row["kind"]) != (kept.case_id, kept.kind.value) for row in mine):
        raise ValueError(f"'number' must be one of this case and sort (got {kept.number}, which belongs to another)")
    if kept.version != len(mine) + 1:
        raise ValueError(f"'version' must be {len(mine) + 1} (got {kept.version})")
    last = max((row["running"] for row in rows), default=0)
    if not mine and kept.running != last + 1:
        raise ValueError(f"'running' must be {last + 1} (got {kept.running})")


def _read_version(row: RowMapping) -> KeptVersion:
    values = {name: row[name] for name in KeptVersion.__dataclass_fields__}
    return KeptVersion(**{**values, "kind": DocumentKind(row["kind"])})
