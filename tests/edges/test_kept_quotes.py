"""Kept versions of quotes: one contract for every database."""

import json
import multiprocessing
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import create_engine, text

from estimator.inputs.payment.jurisdiction import DocumentKind
from estimator.records import quotes
from estimator.records.cases import CaseStore, HeldError, SavedCase
from estimator.records.database import RecordsError, TakenError
from estimator.records.quotes import KeptVersion, Move, MoveToMake, QuoteStore, VersionToKeep

WANTED = VersionToKeep(
    kind=DocumentKind.QUOTE,
    reference="C-1042",
    case_id="a" * 32,
    kept_by="Łucja, front office",
    kept_at="2026-11-25T09:00:00+00:00",
)
CASE = SavedCase(id=WANTED.case_id, reference="C-1042", patient="", summary="", saved_at=WANTED.kept_at, document="")
HOME = Move(state="taken_home", moved_by="front office", moved_at="2026-11-25T10:00:00+00:00")
AGREED = replace(HOME, state="agreed", moved_at="2026-11-26T10:00:00+00:00")
STOPPED = replace(HOME, state="stopped", moved_at="2026-12-26T10:00:00+00:00")
CLOSED = replace(AGREED, state="out_of_date", closed_by="C-1042-Q1, version 1")


@pytest.fixture
def url(tmp_path: Path) -> str:
    return f"sqlite:///{(tmp_path / 'cases.sqlite').as_posix()}"


@pytest.fixture
def store(url: str) -> QuoteStore:
    return QuoteStore(url)


def write_json(number: str, version: int) -> str:
    return json.dumps({"number": number, "version": version})


def keep(store: QuoteStore, follows: KeptVersion | None = None, **more: object) -> KeptVersion:
    return store.keep(replace(WANTED, follows=follows, **more), write_json)  # type: ignore[arg-type]


def move(store: QuoteStore, kept: KeptVersion, state: Move, seen: int) -> None:
    store.move(MoveToMake(kept=kept, move=state, seen=seen))


def list_kept(store: QuoteStore) -> list[str]:
    return [kept.name for kept in store.list_versions(WANTED.case_id, DocumentKind.QUOTE)]


def test_a_new_store_is_empty_and_begins_with_one(store: QuoteStore) -> None:
    assert list_kept(store) == []
    assert keep(store).name == "C-1042-Q1, version 1"


def test_a_kept_version_comes_back_as_it_was_from_another_store(store: QuoteStore, url: str) -> None:
    kept = keep(store)
    assert QuoteStore(url).list_versions(WANTED.case_id, DocumentKind.QUOTE) == (kept,)


def test_what_is_written_bears_the_number_that_was_given(store: QuoteStore) -> None:
    first = keep(store)
    assert [kept.document for kept in (first, keep(store, first), keep(store))] == [
        write_json("C-1042-Q1", 1), write_json("C-1042-Q1", 2), write_json("C-1042-Q2", 1),
    ]  # fmt: skip


def test_versions_stand_in_the_order_of_their_numbers(store: QuoteStore) -> None:
    kept = [keep(store) for _ in range(10)]
    keep(store, kept[1])
    assert list_kept(store)[:3] == ["C-1042-Q1, version 1", "C-1042-Q2, version 1", "C-1042-Q2, version 2"]
    assert list_kept(store)[-1] == "C-1042-Q10, version 1"


def test_what_is_kept_is_never_written_over(store: QuoteStore) -> None:
    first = keep(store)
    second = keep(store, first)
    with pytest.raises(TakenError, match=r"C-1042-Q1, version 2, was kept meanwhile.*then try again"):
        keep(store, first)
    assert store.list_versions(WANTED.case_id, DocumentKind.QUOTE) == (first, second)


def test_the_store_has_no_way_to_change_or_delete_what_is_kept() -> None:
    public = {name for name in vars(QuoteStore) if not name.startswith("_")}
    assert public == {"keep", "list_versions", "move", "list_moves"}
    names = vars(quotes)
    assert not [name for name in ("update", "delete") if name in names]


def fail_to_write(number: str, version: int) -> str:
    raise ValueError(f"{number}, version {version}")


def test_a_number_that_was_not_used_is_given_again(store: QuoteStore) -> None:
    with pytest.raises(ValueError, match="C-1042-Q1, version 1"):
        store.keep(WANTED, fail_to_write)
    assert keep(store).name == "C-1042-Q1, version 1"


@pytest.mark.parametrize("wrong", [{"case_id": "b" * 32}, {"kind": DocumentKind.SELF_PAY}, {"reference": "C-2"}])
def test_a_number_belongs_to_one_case_and_one_sort_of_document(wrong: dict[str, object], store: QuoteStore) -> None:
    with pytest.raises(ValueError, match="belongs to another"):
        keep(store, keep(store), **wrong)


def test_all_documents_of_a_reference_share_its_running_numbers(store: QuoteStore) -> None:
    keep(store)
    assert keep(store, kind=DocumentKind.SELF_PAY).number == "C-1042-Q2"
    assert list_kept(store) == ["C-1042-Q1, version 1"]


def test_two_cases_with_the_same_reference_do_not_mix(store: QuoteStore) -> None:
    keep(store)
    assert keep(store, case_id="b" * 32).number == "C-1042-Q2"
    assert list_kept(store) == ["C-1042-Q1, version 1"]


def keep_some(url: str, how_many: int = 6) -> list[str]:
    """What another tab or another program keeps."""
    store = QuoteStore(url)
    return [keep(store).number for _ in range(how_many)]


@pytest.mark.parametrize("begin", [
    pytest.param(lambda: ThreadPoolExecutor(4), id="threads"),
    pytest.param(lambda: ProcessPoolExecutor(2, multiprocessing.get_context("spawn")), id="programs"),
])  # fmt: skip
def test_many_that_keep_at_once_get_a_number_each_without_a_gap(
    begin: Callable[[], ThreadPoolExecutor | ProcessPoolExecutor], url: str
) -> None:
    QuoteStore(url)
    with begin() as pool:
        numbers = [number for kept in pool.map(keep_some, [url] * 4) for number in kept]
    assert sorted(numbers) == sorted(f"C-1042-Q{running}" for running in range(1, 25))
    kept = QuoteStore(url).list_versions(WANTED.case_id, DocumentKind.QUOTE)
    assert [json.loads(one.document)["number"] for one in kept] == [one.number for one in kept]


def test_of_many_further_versions_kept_at_once_one_is_kept(url: str) -> None:
    first = keep(QuoteStore(url))

    def follow(number: int) -> bool:
        try:
            keep(QuoteStore(url), first, kept_by=f"tab {number}")
        except TakenError:
            return False
        return True

    with ThreadPoolExecutor(8) as pool:
        assert list(pool.map(follow, range(8))).count(True) == 1
    assert list_kept(QuoteStore(url)) == ["C-1042-Q1, version 1", "C-1042-Q1, version 2"]


def test_the_database_itself_refuses_a_number_twice(store: QuoteStore, url: str) -> None:
    """Where two ask at the same instant, both see the place free; the constraint decides."""
    keep(store)
    copy = "INSERT INTO kept_versions SELECT number || 'x', version, kind, reference, running, case_id, kept_by, kept_at, document FROM kept_versions"
    engine = create_engine(url)
    with pytest.raises(Exception, match=r"(?i)unique"), engine.begin() as connection:
        connection.execute(text(copy))
    engine.dispose()


def test_states_are_kept_one_after_the_other_with_when_and_who(store: QuoteStore) -> None:
    kept = keep(store)
    move(store, kept, HOME, seen=0)
    move(store, kept, AGREED, seen=1)
    assert store.list_moves(kept) == (HOME, AGREED)


def test_that_too_little_room_was_confirmed_is_kept_with_the_move(store: QuoteStore) -> None:
    kept, confirmed = keep(store), replace(AGREED, confirmed="mandible: does_not_fit")
    move(store, kept, confirmed, seen=0)
    assert store.list_moves(kept) == (confirmed,)


def test_a_state_that_moved_on_meanwhile_is_said(store: QuoteStore) -> None:
    kept = keep(store)
    move(store, kept, HOME, seen=0)
    with pytest.raises(TakenError, match="has moved on meanwhile"):
        move(store, kept, replace(AGREED, state="not_now"), seen=0)
    assert store.list_moves(kept) == (HOME,)


def test_a_state_leaves_the_content_and_other_versions_alone(store: QuoteStore) -> None:
    first = keep(store)
    second = keep(store, first)
    move(store, second, HOME, seen=0)
    assert store.list_versions(WANTED.case_id, DocumentKind.QUOTE) == (first, second)
    assert store.list_moves(first) == ()


def test_an_agreement_and_what_it_closes_are_kept_together_or_not_at_all(store: QuoteStore) -> None:
    agreed, other = keep(store), keep(store)
    move(store, other, HOME, seen=0)
    stale = MoveToMake(kept=other, move=CLOSED, seen=0)
    with pytest.raises(TakenError, match="has moved on meanwhile"):
        store.move(MoveToMake(kept=agreed, move=AGREED, seen=0), stale)
    assert store.list_moves(agreed) == ()
    store.move(MoveToMake(kept=agreed, move=AGREED, seen=0), replace(stale, seen=1))
    assert (store.list_moves(agreed), store.list_moves(other)) == ((AGREED,), (HOME, CLOSED))


def test_a_version_that_was_superseded_meanwhile_is_not_agreed(store: QuoteStore) -> None:
    first = keep(store)
    keep(store, first)
    with pytest.raises(TakenError, match="A further version of C-1042-Q1 was kept meanwhile"):
        move(store, first, AGREED, seen=0)
    assert store.list_moves(first) == ()


def test_deleting_a_case_leaves_what_was_kept_of_it(store: QuoteStore, url: str) -> None:
    keep(store)
    CaseStore(url).delete(WANTED.case_id)
    assert list_kept(store) == ["C-1042-Q1, version 1"]


def test_a_case_with_an_agreed_quote_is_not_deleted_until_it_is_agreed_no_more(store: QuoteStore, url: str) -> None:
    kept, cases = keep(store), CaseStore(url)
    cases.save(CASE)
    move(store, kept, HOME, seen=0)
    move(store, kept, AGREED, seen=1)
    with pytest.raises(HeldError, match="C-1042-Q1, version 1 is agreed"):
        cases.delete(CASE.id)
    assert cases.list_cases() == (CASE,)
    move(store, kept, STOPPED, seen=2)
    cases.delete(CASE.id)
    assert cases.list_cases() == ()


def test_a_case_is_deleted_whatever_is_agreed_of_another(store: QuoteStore, url: str) -> None:
    move(store, keep(store, case_id="b" * 32), AGREED, seen=0)
    cases = CaseStore(url)
    cases.save(CASE)
    cases.delete(CASE.id)
    assert cases.list_cases() == ()


def test_a_number_says_nothing_but_the_practice_s_own_reference(store: QuoteStore) -> None:
    assert keep(store).number == "C-1042-Q1"


def test_a_file_that_is_no_database_is_said(tmp_path: Path) -> None:
    path = tmp_path / "cases.sqlite"
    path.write_bytes(b"not a database" * 100)
    with pytest.raises(RecordsError, match="expected a database that can be read and written"):
        QuoteStore(f"sqlite:///{path.as_posix()}")
