"""Saved cases: one contract for every database."""

import secrets
import sqlite3
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from estimator.records.cases import CaseStore, SavedCase, make_case_id
from estimator.records.database import RecordsError

CASE = SavedCase(
    id="a" * 32,
    reference="C-1",
    patient="Ольга Щербакова",
    summary="mandible",
    saved_at="2026-11-25T09:00:00+00:00",
    document="x = 1\n",
)


@pytest.fixture
def store(tmp_path: Path) -> CaseStore:
    return CaseStore(f"sqlite:///{(tmp_path / 'cases.sqlite').as_posix()}")


def test_a_new_store_is_empty(store: CaseStore) -> None:
    assert store.list_cases() == ()


def test_a_saved_case_comes_back_as_it_was(store: CaseStore) -> None:
    store.save(CASE)
    assert store.get(CASE.id) == CASE


def test_saving_again_replaces_and_adds_nothing(store: CaseStore) -> None:
    store.save(CASE)
    store.save(replace(CASE, reference="C-2"))
    assert [case.reference for case in store.list_cases()] == ["C-2"]


def test_the_latest_stands_first(store: CaseStore) -> None:
    for number in (1, 3, 2):
        store.save(replace(CASE, id=str(number), saved_at=f"2026-11-2{number}T09:00:00+00:00"))
    assert [case.id for case in store.list_cases()] == ["3", "2", "1"]


def test_a_deleted_case_is_gone(store: CaseStore) -> None:
    store.save(CASE)
    store.delete(CASE.id)
    with pytest.raises(KeyError, match="must be a saved case"):
        store.get(CASE.id)


def test_cases_outlive_the_store_that_wrote_them(tmp_path: Path) -> None:
    url = f"sqlite:///{(tmp_path / 'cases.sqlite').as_posix()}"
    CaseStore(url).save(CASE)
    assert CaseStore(url).list_cases() == (CASE,)


def test_a_file_that_is_no_database_is_said_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "cases.sqlite"
    path.write_bytes(b"not a database" * 100)
    with pytest.raises(RecordsError, match="expected a database that can be read and written"):
        CaseStore(f"sqlite:///{path.as_posix()}")
    assert path.read_bytes() == b"not a database" * 100


def test_ids_say_nothing_and_differ() -> None:
    assert make_case_id() != make_case_id()
    assert len(make_case_id()) == 32


def test_the_password_of_an_encrypted_database_is_told_to_nobody(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Plain SQLite stands in for the encrypting driver: to it the key is an unknown pragma, which it ignores.
    monkeypatch.setitem(sys.modules, "sqlcipher3", sqlite3)
    word = secrets.token_hex()
    with pytest.raises(RecordsError, match="expected a database that can be read and written") as refused:
        CaseStore(f"sqlite+pysqlcipher://:{word}@/{(tmp_path / 'no' / 'cases').as_posix()}")
    assert "***" in str(refused.value)
    assert word not in str(refused.value)
