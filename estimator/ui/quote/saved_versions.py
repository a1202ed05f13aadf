"""Versions that were kept of this tab's case: written, read back and moved on. A kept one is read, never made again."""

import json
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any, Generic, TypeVar

from estimator.base.problems import InputError, Problem
from estimator.files.user.data_folder import write_proposal_text
from estimator.inputs.payment.jurisdiction import DocumentKind
from estimator.proposal.model import Proposal
from estimator.proposal.snapshot import statement_to_dict
from estimator.proposal.states import Standing, check_step, is_closed_by_agreement, list_doubts, stand_quote
from estimator.quote.quote import Quote, QuoteState
from estimator.quote.self_pay.good_faith_estimate import SelfPayEstimate, revise_self_pay
from estimator.quote.snapshot import Json, kept_to_dict, read_quote, read_self_pay, self_pay_to_dict
from estimator.quote.versions import is_same, revise_quote
from estimator.records.quotes import KeptVersion, Move, MoveToMake, QuoteStore, VersionToKeep
from estimator.ui.shell import session, start
from estimator.ui.shell.offer import Offered

Content = TypeVar("Content", Quote, SelfPayEstimate)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept(Generic[Content]):
    """A kept version: its record, its content as it was kept, the states it went through, whether one follows it."""

    record: KeptVersion
    content: Content
    moves: tuple[Move, ...] = ()
    superseded: bool = False

    @property
    def name(self) -> str:
        """How it is spoken of: C-1042-Q1, version 2."""
        return self.record.name


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
    records = store.list_versions(case_id, kind)
    last = {record.number: record.version for record in records}
    for record in records:
        try:
            content = read(_parse(record.document, record.name), file=record.name)
        except InputError as error:
            problems += error.problems
            continue
        superseded = record.version < last[record.number]
        kept.append(Kept(record=record, content=content, moves=store.list_moves(record), superseded=superseded))
    return tuple(kept), tuple(problems)


def _parse(text: str, file: str) -> Any:
    try:
        return json.loads(text)
    except json.JSONDecodeError as error:
        raise InputError([Problem(file=file, code="kept.text", found=error.msg)]) from None


def stand(kept: Kept[Quote]) -> Quote:
    """A kept quote in the state it has come to."""
    return replace(kept.content, state=_find_last_state(kept.moves)) if kept.moves else kept.content


def find_standing(kept: Kept[Quote]) -> Standing:
    """Where a kept quote stands."""
    return stand_quote(stand(kept), superseded=kept.superseded)


def _find_last_state(moves: Sequence[Move]) -> QuoteState:
    return QuoteState(moves[-1].state) if moves else QuoteState.BEING_PREPARED


def keep_quote(offered: Offered, quote: Quote, made_by: str, before: Kept[Quote] | None) -> str:
    """Keep a quote as the version after `before`, or under a new number. Returns its name, nothing if it is the same.

    What it was made of, the proposal and the whole statement, is kept in it.

    Raises TakenError where somebody was quicker, RecordsError where nothing can be written.
    """
    made = replace(quote, made_by=made_by)
    if before is not None and is_same(before.content, made):
        return ""

    def write(number: str, version: int) -> Json:
        numbered = replace(made, number=number, version=version)
        revised = revise_quote(before.content, numbered) if before is not None else numbered
        statement = statement_to_dict(offered.statement)
        return kept_to_dict(revised, proposal=_write_nameless(offered.proposal), statement=statement)

    return _keep(DocumentKind.QUOTE, quote.reference, made_by, before, write)


def _write_nameless(proposal: Proposal) -> str:
    """The text of the case file without the patient's name and birthday: what is kept names nobody."""
    case = proposal.case
    patient = replace(case.patient, name="", born=None)
    return write_proposal_text(replace(proposal, case=replace(case, patient=patient)))


def keep_estimate(
    estimate: SelfPayEstimate, reference: str, made_by: str, before: Kept[SelfPayEstimate] | None, dispute: Decimal
) -> str:
    """Keep a self-pay estimate as `keep_quote` keeps a quote; `dispute` is the amount of the rule for one provider."""
    if before is not None:
        same = replace(estimate, number=before.content.number, version=before.content.version)
        if same == before.content:
            return ""

    def write(number: str, version: int) -> Json:
        numbered = replace(estimate, number=number, version=version)
        return self_pay_to_dict(
            revise_self_pay(before.content, numbered, dispute)[0] if before is not None else numbered
        )

    return _keep(DocumentKind.SELF_PAY, reference, made_by, before, write)


def _keep(
    kind: DocumentKind, reference: str, made_by: str, before: Kept[Any] | None, write: Callable[[str, int], Json]
) -> str:
    """A version belongs to a saved case, so the case is saved with it."""
    if session.is_unsaved() or session.get_record_id() is None:
        start.save_or_ask()
    wanted = VersionToKeep(
        kind=kind,
        reference=reference,
        case_id=session.get_record_id() or "",
        kept_by=made_by,
        kept_at=session.take_time(),
        follows=before.record if before is not None else None,
    )
    kept = session.get_quote_store().keep(
        wanted, lambda number, version: json.dumps(write(number, version), ensure_ascii=False)
    )
    return kept.name


def move_quote(kept: Kept[Quote], state: QuoteState, moved_by: str, *, confirmed: bool = False) -> tuple[str, ...]:
    """Put a kept quote into its next state. Returns the names of those that its agreement has put out of date.

    `confirmed`: the doubts about room were seen. Raises TakenError where one of them has moved on meanwhile.
    """
    standing, store = find_standing(kept), session.get_quote_store()
    check_step(standing, state, today=session.get_today(), confirmed=confirmed)
    move = Move(state=state.value, moved_by=moved_by, moved_at=session.take_time())
    closing: list[MoveToMake] = []
    if state is QuoteState.AGREED:
        doubts = list_doubts(standing.rooms)
        closed = replace(move, state=QuoteState.OUT_OF_DATE.value, closed_by=kept.name)
        closing = list(_list_closed(store, kept.record, closed))
        move = replace(move, confirmed="; ".join(f"{arch}: {verdict}" for arch, verdict in doubts))
    store.move(MoveToMake(kept=kept.record, move=move, seen=len(kept.moves)), *closing)
    return tuple(one.kept.name for one in closing)


def _list_closed(store: QuoteStore, agreed: KeptVersion, move: Move) -> Iterable[MoveToMake]:
    """The others of the case that are still open or were agreed, those that cannot be read any more among them."""
    for other in store.list_versions(agreed.case_id, agreed.kind):
        moves = store.list_moves(other)
        if other.name != agreed.name and is_closed_by_agreement(_find_last_state(moves)):
            yield MoveToMake(kept=other, move=move, seen=len(moves))
