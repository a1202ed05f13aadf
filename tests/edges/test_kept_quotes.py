"""Kept versions of quotes: one contract for every database."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import create_engine, text

from estimator.inputs.payment.jurisdiction import DocumentKind
from estimator.records import quotes
from estimator.records.cases import CaseStore
from estimator.records.database import RecordsError, TakenError
from estimator.records.quotes import KeptVersion, Move, QuoteStore

FIRST = KeptVersion(
    kind=DocumentKind.QUOTE,
    reference="C-1042",
    running=1,
    version=1,
    case_id="a" * 32,
    kept_by="Łucja, front office",
    kept_at="2026-11-25T09:00:00+00:00",
    document='{"number": "C-1042-Q1"}',
)
SECOND = replace(FIRST, version=2, document='{"number": "C-1042-Q1", "version": 2}')
HOME = Move(state="taken_home", moved_by="front office", moved_at="2026-11-25T10:00:00+00:00")
AGREED = replace(HOME, state="agreed", moved_at="2026-11-26T10:00:00+00:00")


@pytest.fixture
def url(tmp_path: Path) -> str:
    return f"sqlite:///{(tmp_path / 'cases.sqlite').as_posix()}"


@pytest.fixture
def store(url: str) -> QuoteStore:
    return QuoteStore(url)


def list_places(store: QuoteStore) -> list[tuple[str, int]]:
    return [(kept.number, kept.version) for kept in store.list_versions(FIRST.case_id, DocumentKind.QUOTE)]


def test_a_new_store_is_empty_and_begins_with_one(store: QuoteStore) -> None:
    assert list_places(store) == []
    assert store.find_next_running("C-1042") == 1


def test_a_kept_version_comes_back_as_it_was_from_another_store(store: QuoteStore, url: str) -> None:
    store.keep(FIRST)
    assert QuoteStore(url).list_versions(FIRST.case_id, DocumentKind.QUOTE) == (FIRST,)


def test_versions_stand_in_the_order_of_their_numbers(store: QuoteStore) -> None:
    for running in range(1, 11):
        store.keep(replace(FIRST, running=running))
    store.keep(replace(FIRST, running=2, version=2))
    assert list_places(store)[:3] == [("C-1042-Q1", 1), ("C-1042-Q2", 1), ("C-1042-Q2", 2)]
    assert list_places(store)[-1] == ("C-1042-Q10", 1)


def test_what_is_kept_is_never_written_over(store: QuoteStore) -> None:
    store.keep(FIRST)
    with pytest.raises(TakenError, match=r"C-1042-Q1, version 1, was kept meanwhile.*then try again"):
        store.keep(replace(FIRST, document="{}"))
    assert store.list_versions(FIRST.case_id, DocumentKind.QUOTE) == (FIRST,)


def test_the_store_has_no_way_to_change_or_delete_what_is_kept() -> None:
    public = {name for name in vars(QuoteStore) if not name.startswith("_")}
    assert public == {"find_next_running", "keep", "list_versions", "move", "list_moves"}
    names = vars(quotes)
    assert not [name for name in ("update", "delete") if name in names]


@pytest.mark.parametrize("wrong", [
    replace(FIRST, version=3), replace(FIRST, running=3), replace(FIRST, running=2, version=2),
])  # fmt: skip
def test_no_gap_is_left_between_numbers_or_versions(wrong: KeptVersion, store: QuoteStore) -> None:
    store.keep(FIRST)
    with pytest.raises(ValueError, match="must be"):
        store.keep(wrong)
    assert list_places(store) == [("C-1042-Q1", 1)]


@pytest.mark.parametrize("wrong", [
    replace(SECOND, case_id="b" * 32), replace(SECOND, kind=DocumentKind.SELF_PAY),
])  # fmt: skip
def test_a_number_belongs_to_one_case_and_one_sort_of_document(wrong: KeptVersion, store: QuoteStore) -> None:
    store.keep(FIRST)
    with pytest.raises(ValueError, match="belongs to another"):
        store.keep(wrong)


def test_all_documents_of_a_reference_share_its_running_numbers(store: QuoteStore) -> None:
    store.keep(FIRST)
    store.keep(replace(FIRST, running=2, kind=DocumentKind.SELF_PAY))
    assert store.find_next_running("C-1042") == 3
    assert list_places(store) == [("C-1042-Q1", 1)]


def test_two_cases_with_the_same_reference_do_not_mix(store: QuoteStore) -> None:
    store.keep(FIRST)
    store.keep(replace(FIRST, running=2, case_id="b" * 32))
    assert list_places(store) == [("C-1042-Q1", 1)]


def test_many_that_keep_the_same_number_at_once_get_one_of_it(url: str) -> None:
    QuoteStore(url)

    def keep(number: int) -> bool:
        try:
            QuoteStore(url).keep(replace(FIRST, kept_by=f"tab {number}"))
        except TakenError:
            return False
        return True

    with ThreadPoolExecutor(8) as pool:
        kept = list(pool.map(keep, range(8)))
    assert kept.count(True) == 1
    assert list_places(QuoteStore(url)) == [("C-1042-Q1", 1)]


def test_the_database_itself_refuses_a_number_twice(store: QuoteStore, url: str) -> None:
    """Where two ask at the same instant, both see the place free; the constraint decides."""
    store.keep(FIRST)
    copy = "INSERT INTO kept_versions SELECT number || 'x', version, kind, reference, running, case_id, kept_by, kept_at, document FROM kept_versions"
    with pytest.raises(Exception, match=r"(?i)unique"), create_engine(url).begin() as connection:
        connection.execute(text(copy))


def test_states_are_kept_one_after_the_other_with_when_and_who(store: QuoteStore) -> None:
    store.keep(FIRST)
    store.move(FIRST, HOME, seen=0)
    store.move(FIRST, AGREED, seen=1)
    assert store.list_moves(FIRST) == (HOME, AGREED)


def test_a_state_that_moved_on_meanwhile_is_said(store: QuoteStore) -> None:
    store.keep(FIRST)
    store.move(FIRST, HOME, seen=0)
    with pytest.raises(TakenError, match="has moved on meanwhile"):
        store.move(FIRST, replace(AGREED, state="not_now"), seen=0)
    assert store.list_moves(FIRST) == (HOME,)


def test_a_state_leaves_the_content_and_other_versions_alone(store: QuoteStore) -> None:
    store.keep(FIRST)
    store.keep(SECOND)
    store.move(SECOND, HOME, seen=0)
    assert store.list_versions(FIRST.case_id, DocumentKind.QUOTE) == (FIRST, SECOND)
    assert store.list_moves(FIRST) == ()


def test_deleting_a_case_leaves_what_was_kept_of_it(store: QuoteStore, url: str) -> None:
    store.keep(FIRST)
    CaseStore(url).delete(FIRST.case_id)
    assert list_places(store) == [("C-1042-Q1", 1)]


def test_a_number_says_nothing_but_the_practice_s_own_reference() -> None:
    assert FIRST.number == "C-1042-Q1"


def test_a_file_that_is_no_database_is_said(tmp_path: Path) -> None:
    path = tmp_path / "cases.sqlite"
    path.write_bytes(b"not a database" * 100)
    with pytest.raises(RecordsError, match="expected a database that can be read and written"):
        QuoteStore(f"sqlite:///{path.as_posix()}")
