"""Kept versions of quotes and self-pay estimates: content is only added, never changed; a state moves on step by step.

A number is the practice's own reference and a running number, over every document of that reference without a gap.
"""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import asdict, dataclass

from sqlalchemy import (
    Column,
    Connection,
    ForeignKeyConstraint,
    Integer,
    Join,
    String,
    Table,
    Text,
    UniqueConstraint,
    and_,
    func,
    insert,
    select,
)
from sqlalchemy.engine import RowMapping

from estimator.inputs.payment.jurisdiction import DocumentKind
from estimator.proposal.numbering import name_version, write_number
from estimator.quote.quote import QuoteState
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
_DETAILS = Table(
    "kept_move_details",
    META,
    Column("number", String(60), primary_key=True),
    Column("version", Integer, primary_key=True),
    Column("step", Integer, primary_key=True),
    Column("confirmed", String(200), nullable=False),
    Column("closed_by", String(80), nullable=False),
    ForeignKeyConstraint(["number", "version", "step"], ["kept_moves.number", "kept_moves.version", "kept_moves.step"]),
)
_TRY_AGAIN = "Look at it, then try again."
_MOST_TRIES = 50
"""How often another number is tried where somebody else was given the same one in the same moment."""


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

    @property
    def name(self) -> str:
        """How it is spoken of: C-1042-Q1, version 2."""
        return name_version(self.number, self.version)


@dataclass(frozen=True, slots=True, kw_only=True)
class VersionToKeep:
    """What is to be kept, of which case, by whom and when; its number and version are given when it is kept.

    It `follows` a version of the same case and sort, or begins a number of its own.
    """

    kind: DocumentKind
    reference: str
    case_id: str
    kept_by: str
    kept_at: str
    follows: KeptVersion | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """A version's step into another state, when (ISO 8601, UTC) and by whom.

    `confirmed` are the doubts about room that were confirmed with it; `closed_by` is the version that was agreed.
    """

    state: str
    moved_by: str
    moved_at: str
    confirmed: str = ""
    closed_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveToMake:
    """A step of one version, after the `seen` steps that it had when the step was decided."""

    kept: KeptVersion
    move: Move
    seen: int


class QuoteStore(Database):
    """The tables of kept versions and of the states they went through."""

    def keep(self, wanted: VersionToKeep, write: Callable[[str, int], str]) -> KeptVersion:
        """Add a version; `write` makes its JSON of the number and version that it is given in the same transaction.

        Raises TakenError where somebody has kept the version after `follows` meanwhile, and ValueError where that
        belongs to another case or sort.
        """
        follows = wanted.follows
        if follows is not None and (follows.case_id, follows.kind, follows.reference) != _get_place(wanted):
            raise ValueError(f"'follows' must be of this case and sort (got {follows.name}, which belongs to another)")
        if follows is not None:
            taken = f"{name_version(follows.number, follows.version + 1)}, was kept meanwhile, in another tab or by"
            return self._add(wanted, write, f"{taken} somebody else. {_TRY_AGAIN}")
        for _ in range(_MOST_TRIES):
            with suppress(TakenError):
                return self._add(wanted, write, "taken")
        raise TakenError(f"No number of {wanted.reference} was free: many are kept at this moment. Try again.")

    def _add(self, wanted: VersionToKeep, write: Callable[[str, int], str], taken: str) -> KeptVersion:
        with self.connect(taken=taken) as connection:
            running, version = _find_place(connection, wanted)
            number = write_number(wanted.reference, running)
            kept = KeptVersion(
                kind=wanted.kind,
                reference=wanted.reference,
                running=running,
                version=version,
                case_id=wanted.case_id,
                kept_by=wanted.kept_by,
                kept_at=wanted.kept_at,
                document=write(number, version),
            )
            connection.execute(insert(_VERSIONS).values({**asdict(kept), "kind": kept.kind.value, "number": number}))
        return kept

    def list_versions(self, case_id: str, kind: DocumentKind) -> tuple[KeptVersion, ...]:
        """All versions of one sort kept of a case, by number and version."""
        wanted = select(_VERSIONS).where(_VERSIONS.c.case_id == case_id, _VERSIONS.c.kind == kind.value)
        with self.connect() as connection:
            rows = connection.execute(wanted).mappings().all()
        return tuple(sorted(map(_read_version, rows), key=lambda kept: (kept.reference, kept.running, kept.version)))

    def move(self, *steps: MoveToMake) -> None:
        """Put versions into their next states, all of them or none.

        Raises TakenError where one has moved on meanwhile, or is agreed after a further version took its place.
        """
        if not steps:
            return
        taken = f"{steps[0].kept.name}, or another of its case, has moved on meanwhile. {_TRY_AGAIN}"
        with self.connect(taken=taken) as connection:
            if any(_count_moves(connection, step.kept) != step.seen for step in steps):
                raise TakenError(taken)
            for step in steps:
                _add_move(connection, step)
            # After the rows are written, so that no version can come between.
            if any(step.move.state == QuoteState.AGREED and _is_superseded(connection, step.kept) for step in steps):
                raise TakenError(f"A further version of {steps[0].kept.number} was kept meanwhile. {_TRY_AGAIN}")

    def list_moves(self, kept: KeptVersion) -> tuple[Move, ...]:
        """The states a version went through since it was kept, the first one first."""
        wanted = select(_MOVES, _DETAILS.c.confirmed, _DETAILS.c.closed_by).select_from(_join_details())
        wanted = wanted.where(_MOVES.c.number == kept.number, _MOVES.c.version == kept.version)
        with self.connect() as connection:
            rows = connection.execute(wanted.order_by(_MOVES.c.step)).mappings().all()
        return tuple(Move(**{name: row[name] or "" for name in Move.__dataclass_fields__}) for row in rows)


def find_agreed(connection: Connection, case_id: str) -> tuple[str, ...]:
    """The versions of a case that are agreed, by name."""
    same = (_VERSIONS.c.number == _MOVES.c.number) & (_VERSIONS.c.version == _MOVES.c.version)
    rows = connection.execute(
        select(_MOVES.c.number, _MOVES.c.version, _MOVES.c.state)
        .select_from(_MOVES.join(_VERSIONS, same))
        .where(_VERSIONS.c.case_id == case_id)
        .order_by(_MOVES.c.number, _MOVES.c.version, _MOVES.c.step)
    ).all()
    last = {(number, version): state for number, version, state in rows}
    return tuple(name_version(*place) for place, state in last.items() if state == QuoteState.AGREED)


def _get_place(wanted: VersionToKeep) -> tuple[str, DocumentKind, str]:
    return wanted.case_id, wanted.kind, wanted.reference


def _find_place(connection: Connection, wanted: VersionToKeep) -> tuple[int, int]:
    """The running number and version that come next; the database refuses them where somebody else was quicker."""
    if wanted.follows is not None:
        return wanted.follows.running, wanted.follows.version + 1
    last = connection.execute(select(func.max(_VERSIONS.c.running)).where(_VERSIONS.c.reference == wanted.reference))
    return int(last.scalar() or 0) + 1, 1


def _count_moves(connection: Connection, kept: KeptVersion) -> int:
    counted = select(func.count()).where(_MOVES.c.number == kept.number, _MOVES.c.version == kept.version)
    return int(connection.execute(counted).scalar() or 0)


def _add_move(connection: Connection, step: MoveToMake) -> None:
    """The move, and beside it what only some moves have: an older program goes on reading the moves."""
    place = {"number": step.kept.number, "version": step.kept.version, "step": step.seen + 1}
    told = asdict(step.move)
    details = {name: told.pop(name) for name in ("confirmed", "closed_by")}
    connection.execute(insert(_MOVES).values({**place, **told}))
    if any(details.values()):
        connection.execute(insert(_DETAILS).values({**place, **details}))


def _is_superseded(connection: Connection, kept: KeptVersion) -> bool:
    later = select(func.count()).where(_VERSIONS.c.number == kept.number, _VERSIONS.c.version > kept.version)
    return bool(connection.execute(later).scalar())


def _join_details() -> Join:
    same = [_MOVES.c[name] == _DETAILS.c[name] for name in ("number", "version", "step")]
    return _MOVES.outerjoin(_DETAILS, and_(*same))


def _read_version(row: RowMapping) -> KeptVersion:
    values = {name: row[name] for name in KeptVersion.__dataclass_fields__}
    return KeptVersion(**{**values, "kind": DocumentKind(row["kind"])})
