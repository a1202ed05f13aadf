"""Texts are said by key and changes are values: nothing finds either by what it says."""

import re
from pathlib import Path

import pytest

from estimator.files.shipped import DATA

PACKAGE = DATA.parent
OLD = {
    "a text looked up by its English": r"\btranslate_filled\b|\bwording\.translate\(",
    "a template matched with what it was filled to": r"re\.escape\(template\)|\(\?P<\\1>",
    "the place of a change as text": r"\bchange\.place\b",
}
TELLERS = (
    "quote/change_words.py",
    "quote/changes.py",
    "quote/versions.py",
    "sheets/financial/quote_changes.py",
    "sheets/base/translation.py",
)


@pytest.mark.parametrize("way", OLD)
def test_no_module_goes_the_old_way(way: str) -> None:
    code = {path.name: path.read_text(encoding="utf-8") for path in PACKAGE.rglob("*.py")}
    pattern = OLD[way]
    found = [name for name, text in code.items() if re.search(pattern, text)]
    assert found == []


@pytest.mark.parametrize("name", TELLERS)
def test_who_tells_of_changes_takes_no_sentence_apart(name: str) -> None:
    """Quotes that kept their changes in words are read in one module, and nowhere else."""
    code = (PACKAGE / name).read_text(encoding="utf-8")
    assert not re.search(
        r"^import re$|\.r?partition\(|\.split\(|\.remove(prefix|suffix)\(|\.startswith\(", code, re.MULTILINE
    )


@pytest.mark.parametrize("path", sorted((DATA / "wording").glob("*/names/*.toml")), ids=lambda path: path.stem)
def test_no_name_of_a_translation_is_found_by_an_english_sentence(path: Path) -> None:
    assert not re.search(r'^"', path.read_text(encoding="utf-8"), re.MULTILINE)
