"""An approval is written into settings.toml whole, and all else in the file stays as it was."""

from datetime import date
from pathlib import Path

import pytest

from estimator import files
from estimator.base.problems import InputError
from estimator.files.user.data_folder import find_practice_folder, load_user_practice
from estimator.files.user.settings import keep_tables, write_fields
from estimator.files.user.wording_approval import keep_approval
from estimator.sheets.base.wording_approval import Approval, find_approval, mark_wording
from tests.builders import TODAY
from tests.problem_builders import refuses

APPROVAL = {"approved_by": "Dr. M. Okafor", "approved_on": date(2026, 11, 25), "approved_text": "0123abcd"}
LINES = 'approved_by = "Dr. M. Okafor"\napproved_on = 2026-11-25\napproved_text = "0123abcd"\n'


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("OVERDENTURE_DATA", str(tmp_path))
    return find_practice_folder()


@pytest.mark.parametrize(("before", "after"), [
    ("", "[wording]\n" + LINES),
    ("[practice]\nname = 'A'\n", "[practice]\nname = 'A'\n\n[wording]\n" + LINES),
    ("[wording] # who\napproved_by = ''\n# a note\n\n[paper]\nsize = 'a4'\n",
     "[wording] # who\n" + LINES + "# a note\n\n[paper]\nsize = 'a4'\n"),
    ("[wording]\n" + LINES, "[wording]\n" + LINES),
], ids=["no file yet", "no table yet", "comments and other tables stay", "one in place of the one before"])  # fmt: skip
def test_only_the_approval_changes(before: str, after: str) -> None:
    assert write_fields(before, "wording", APPROVAL) == after


TERMS = "[terms]\nvoid = 'x'\n\n[terms.guarantee]\nbar = 'two years'\nlid = 'none'\n"


def test_a_table_in_a_table_is_written_and_a_field_without_a_value_is_taken_out() -> None:
    after = write_fields(TERMS, "terms.guarantee", {"bar": "three years", "lid": None})
    assert after == "[terms]\nvoid = 'x'\n\n[terms.guarantee]\nbar = \"three years\"\n"


def test_no_table_is_begun_for_nothing() -> None:
    assert write_fields(TERMS, "terms.remake", {"bar": None}) == TERMS


@pytest.mark.parametrize("before", ["[terms]\nguarantee = { bar = 'x' }\n", "[terms]\nguarantee.bar = 'x'\n"])
def test_terms_written_in_an_unusual_way_are_left_alone(before: str) -> None:
    with pytest.raises(InputError):
        write_fields(before, "terms.guarantee", {"bar": "y"})


def test_two_tables_are_kept_together_or_not_at_all(folder: Path) -> None:
    path = folder / "settings.toml"
    path.write_text(TERMS, encoding="utf-8")
    with refuses("void"):
        keep_tables({"terms.guarantee": {"bar": "three years"}, "terms": {"void": "x" * 401}})
    assert path.read_text(encoding="utf-8") == TERMS


@pytest.mark.parametrize("before", ["wording.approved_by = 'A'\n", "wording = { approved_by = 'A' }\n", "[[wording]\n"])
def test_a_file_written_in_an_unusual_way_is_left_alone(before: str) -> None:
    with pytest.raises(InputError):
        write_fields(before, "wording", APPROVAL)


@pytest.mark.parametrize("name", ["", "  ", "x" * 61, "a\nb"])
def test_without_a_name_nothing_is_written(name: str, folder: Path) -> None:
    with refuses(r"Dr\. M\. Okafor"):
        keep_approval(name, "0123abcd", today=TODAY)
    assert not (folder / "settings.toml").exists()


def test_an_approval_holds_until_a_word_of_the_practice_changes(folder: Path) -> None:
    wording = files.load_wording()
    keep_approval(" Dr. M. Okafor ", mark_wording(load_user_practice(today=TODAY), wording), today=TODAY)
    assert find_approval(load_user_practice(today=TODAY), wording) is Approval.HOLDS
    path = folder / "settings.toml"
    path.write_text(path.read_text(encoding="utf-8") + "\n[terms]\nvoid = 'x'\n", encoding="utf-8")
    assert find_approval(load_user_practice(today=TODAY), wording) is Approval.LAPSED


def test_a_term_of_an_unknown_option_is_a_problem(folder: Path) -> None:
    (folder / "settings.toml").write_text("[terms.guarantee]\nbar = 'x'\n", encoding="utf-8")
    with refuses(r"settings.toml, terms.guarantee: got 'bar'"):
        load_user_practice(today=TODAY)
