"""Versions that were kept of this tab's case: written, read back and moved on. A kept one is read, never made again."""

import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any, Generic, TypeVar

from estimator.base.problems import InputError, Problem, free_problem, show_found
from estimator.inputs.payment.jurisdiction import DocumentKind
from estimator.quote.quote import Quote, QuoteState, change_state
from estimator.quote.self_pay.good_faith_estimate import SelfPayEstimate, revise_self_pay
from estimator.quote.snapshot import quote_to_dict, read_quote, read_self_pay, self_pay_to_dict
from estimator.quote.versions import is_same, revise_quote
from estimator.records.quotes import KeptVersion, Move, write_number
from estimator.ui.shell import session

Content = TypeVar("Content", Quote, SelfPayEstimate)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept(Generic[Content]):
    """A kept version: its record, its content as it was kept, and the states it went through since."""

    record: KeptVersion
    content: Content
    moves: tuple[Move, ...] = ()

    @property
    def name(self) -> str:
        """How it is spoken of: C-1042-Q1, version 2."""
        return f"{self.record.number}, version {self.record.version}"


def list_kept_quotes() -> tuple[tuple[Kept[Quote], ...], tuple[Problem, ...]]:
    """The kept quotes of this tab's case by number and version, and the problems of those that cannot be read."""
    return _list_kept(DocumentKind.QUOTE, read_quote)


def list_kept_estimates() -> tuple[tuple[Kept[SelfPayEstimate], ...], tuple[Problem, ...]]:
    """The kept self-pay estimates of this tab's case, and the problems of those that cannot be read."""
    return _list_kept(DocumentKind.SELF_PAY, read_self_pay)


def _list_kept(
    kind: DocumentKind, read: Callable[..., Content]
) -> tuple[tuple[Kept[Content], ...], tuple[Problem, ...]]:
    case_id = session.get_record_id()
    if case_id is None:
        return (), ()
    store = session.get_quote_store()
    kept: list[Kept[Content]] = []
    problems: list[Problem] = []
    for record in store.list_versions(case_id, kind):
        file = f"{record.number}, version {record.version}"
        try:
            content = read(_parse(record.document, file), file=file)
        except InputError as error:
            problems += error.problems
            continue
        kept.append(Kept(record=record, content=content, moves=store.list_moves(record)))
    return tuple(kept), tuple(problems)


def _parse(text: str, file: str) -> Any:
    try:
        return json.loads(text)
    except json.JSONDecodeError as error:
        found = show_found(error.msg)
        raise InputError([free_problem(file=file, place="", found=found, expected="the text as it was kept")]) from None


def stand(kept: Kept[Quote]) -> Quote:
    """A kept quote in the state it has come to."""
    return replace(kept.content, state=QuoteState(kept.moves[-1].state)) if kept.moves else kept.content


def keep_quote(quote: Quote, made_by: str, before: Kept[Quote] | None) -> str:
    """Keep a quote as the version after `before`, or under a new number. Returns its name, nothing if it is the same.

    Raises TakenError where somebody was quicker, RecordsError where nothing can be written.
    """
    made = replace(quote, made_by=made_by)
    if before is not None and is_same(before.content, made):
        return ""
    running = _find_running(quote.reference, before)
    made = replace(made, number=write_number(quote.reference, running))
    made = revise_quote(before.content, made) if before is not None else made
    return _write(DocumentKind.QUOTE, quote.reference, running, made.version, made_by, quote_to_dict(made))


def keep_estimate(
    estimate: SelfPayEstimate, reference: str, made_by: str, before: Kept[SelfPayEstimate] | None, dispute: Decimal
) -> str:
    """Keep a self-pay estimate as `keep_quote` keeps a quote; `dispute` is the amount of the rule for one provider."""
    running = _find_running(reference, before)
    made = replace(estimate, number=write_number(reference, running))
    if before is not None:
        if replace(made, version=before.content.version) == before.content:
            return ""
        made, _ = revise_self_pay(before.content, made, dispute)
    return _write(DocumentKind.SELF_PAY, reference, running, made.version, made_by, self_pay_to_dict(made))


def _find_running(reference: str, before: Kept[Any] | None) -> int:
    return session.get_quote_store().find_next_running(reference) if before is None else before.record.running


def _write(
    kind: DocumentKind, reference: str, running: int, version: int, made_by: str, content: dict[str, Any]
) -> str:
    """A version belongs to a saved case, so the case is saved with it."""
    if session.is_unsaved() or session.get_record_id() is None:
        session.save_case()
    record = KeptVersion(
        kind=kind,
        reference=reference,
        running=running,
        version=version,
        case_id=session.get_record_id() or "",
        kept_by=made_by,
        kept_at=session.take_time(),
        document=json.dumps(content, ensure_ascii=False),
    )
    session.get_quote_store().keep(record)
    return f"{record.number}, version {record.version}"


def move_quote(kept: Kept[Quote], state: QuoteState, moved_by: str) -> None:
    """Put a kept quote into its next state. Raises TakenError where it has moved on meanwhile."""
    moved = change_state(stand(kept), state, today=session.get_today())
    move = Move(state=moved.state.value, moved_by=moved_by, moved_at=session.take_time())
    session.get_quote_store().move(kept.record, move, seen=len(kept.moves))
