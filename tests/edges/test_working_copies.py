"""Working copies: one contract for every database."""

import threading
from dataclasses import replace
from pathlib import Path

import pytest

from estimator.records.database import RecordsError, TakenError
from estimator.records.working import WorkingCopy, WorkingStore, is_copy_id, make_copy_id

COPY = WorkingCopy(
    id="a" * 26,
    case_id="",
    started="2026-11-25T09:00:00+00:00",
    changed="2026-11-25T09:00:00+00:00",
    version=1,
    unsaved=True,
    document='reference = "C-1"\n',
)


@pytest.fixture
def store(tmp_path: Path) -> WorkingStore:
    return WorkingStore(f"sqlite:///{(tmp_path / 'cases.sqlite').as_posix()}")


def test_a_copy_comes_back_as_it_was(store: WorkingStore) -> None:
    store.begin(COPY)
    assert store.find(COPY.id) == COPY


def test_an_id_that_nobody_has_written_finds_nothing(store: WorkingStore) -> None:
    assert store.find(COPY.id) is None


def test_a_change_takes_the_place_of_the_version_that_was_seen(store: WorkingStore) -> None:
    store.begin(COPY)
    later = replace(COPY, version=2, document='reference = "Ольга"\n')
    store.change(later, seen=1)
    assert store.find(COPY.id) == later


def test_a_change_of_a_version_that_is_no_more_is_told_and_writes_nothing(store: WorkingStore) -> None:
    store.begin(COPY)
    theirs = replace(COPY, version=2, document="theirs = true\n")
    store.change(theirs, seen=1)
    with pytest.raises(TakenError, match="version 1 has been written over"):
        store.change(replace(COPY, version=2, document="mine = true\n"), seen=1)
    assert store.find(COPY.id) == theirs


def test_a_copy_that_was_taken_out_does_not_come_back_by_a_change(store: WorkingStore) -> None:
    store.begin(COPY)
    store.delete(COPY.id)
    with pytest.raises(TakenError):
        store.change(replace(COPY, version=2), seen=1)
    assert store.find(COPY.id) is None


def test_two_copies_of_one_id_are_not_begun(store: WorkingStore) -> None:
    store.begin(COPY)
    with pytest.raises(TakenError):
        store.begin(replace(COPY, document=""))
    assert store.find(COPY.id) == COPY


def test_only_what_is_not_saved_is_listed_and_the_latest_stands_first(store: WorkingStore) -> None:
    for number, unsaved in ((1, True), (2, False), (3, True)):
        changed = f"2026-11-2{number}T09:00:00+00:00"
        store.begin(replace(COPY, id=str(number) * 26, changed=changed, unsaved=unsaved))
    assert [copy.id[0] for copy in store.list_unsaved()] == ["3", "1"]


def test_only_what_was_left_alone_for_long_enough_is_swept(store: WorkingStore) -> None:
    for number in (1, 2, 3):
        store.begin(replace(COPY, id=str(number) * 26, changed=f"2026-11-2{number}T09:00:00+00:00"))
    assert store.sweep("2026-11-22T09:00:00+00:00") == 1
    assert [copy.id[0] for copy in store.list_unsaved()] == ["3", "2"]


def test_of_two_who_write_at_once_one_is_told_and_nothing_is_lost(tmp_path: Path) -> None:
    """Ten writers, each of whom looks again when told: every one of the fifty changes is counted."""
    url = f"sqlite:///{(tmp_path / 'cases.sqlite').as_posix()}"
    WorkingStore(url).begin(replace(COPY, document="0"))

    def count(times: int) -> None:
        store = WorkingStore(url)
        while times:
            seen = store.find(COPY.id)
            assert seen is not None
            made = replace(seen, version=seen.version + 1, document=str(int(seen.document) + 1))
            try:
                store.change(made, seen=seen.version)
                times -= 1
            except TakenError:
                continue

    writers = [threading.Thread(target=count, args=(5,)) for _ in range(10)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    found = WorkingStore(url).find(COPY.id)
    assert found is not None
    assert (found.document, found.version) == ("50", 51)


def test_a_database_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    path = tmp_path / "cases.sqlite"
    store = WorkingStore(f"sqlite:///{path.as_posix()}")
    path.write_bytes(b"not a database" * 100)
    with pytest.raises(RecordsError, match="expected a database that can be read and written"):
        store.begin(COPY)


def test_ids_differ_and_are_known_by_their_pattern() -> None:
    made = {make_copy_id() for _ in range(100)}
    assert len(made) == 100
    assert all(is_copy_id(one) for one in made)


@pytest.mark.parametrize("text", ["", "a" * 25, "A" * 26, "a" * 27, "../" + "a" * 23, "a" * 25 + "1", None, ["a" * 26]])
def test_what_is_no_id_is_never_looked_up(text: object) -> None:
    assert not is_copy_id(text)
