"""Texts are said by key and changes are values: nothing finds either by what it says."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from estimator.files.shipped import DATA
from tests.source import MODULES, PACKAGE, list_nodes

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
CUTS = {
    "split",
    "rsplit",
    "partition",
    "rpartition",
    "startswith",
    "endswith",
    "removeprefix",
    "removesuffix",
    "index",
    "find",
}
PATTERNS = {"compile", "match", "fullmatch", "search", "split", "findall", "finditer", "sub"}
PROSE = re.compile(r"[A-Za-z]{2,}[,;:.]? [A-Za-z(\"']|[;:,(] ?$|^[;:,]|^ \(")
"""Words with a space between them, or a mark that parts of a sentence stand between."""
MAY_CUT = {
    "cli/__init__.py": "sheets as a command names them, with commas between",
    "files/reading.py": "what the reader of TOML says, in English only, without its second half",
    "inputs/fees/schedule.py": "a fee that somebody typed as a range",
    "quote/old_changes.py": "quotes that kept their changes in words",
    "ui/quote/self_pay/form.py": "codes and exclusions as somebody typed them",
}
MAY_COMPARE = {
    "estimate/snapshot.py": "the unit of a figure",
    "ui/sheets/print_options.py": "which of a row of choices is pressed",
}


def name_module(path: Path) -> str:
    return path.relative_to(PACKAGE).as_posix()


def list_texts(*nodes: ast.expr) -> list[str]:
    found = (part.value for node in nodes for part in ast.walk(node) if isinstance(part, ast.Constant))
    return [text for text in found if isinstance(text, str)]


def finds_prose(call: ast.Call) -> bool:
    """Whether a text is cut, or matched with a pattern, at words or marks of a sentence."""
    if not isinstance(call.func, ast.Attribute):
        return False
    if isinstance(call.func.value, ast.Name) and call.func.value.id == "re":
        return call.func.attr in PATTERNS and any(re.search(r"\w[,;:]? |[,;:] ", t) for t in list_texts(*call.args[:1]))
    return call.func.attr in CUTS and any(PROSE.search(text) for text in list_texts(*call.args[:1]))


def compares_prose(node: ast.AST) -> bool:
    """Whether a text is held against words of a sentence."""
    if isinstance(node, ast.MatchValue):
        return any(re.search(r"\w \w", text) for text in list_texts(node.value))
    return isinstance(node, ast.Compare) and any(
        re.search(r"\w \w", text) for text in list_texts(node.left, *node.comparators)
    )


def list_comparisons(path: Path) -> Iterator[ast.AST]:
    yield from list_nodes(path, ast.Compare)
    yield from list_nodes(path, ast.MatchValue)


@pytest.mark.parametrize("way", OLD)
def test_no_module_goes_the_old_way(way: str) -> None:
    found = [name_module(path) for path in MODULES if re.search(OLD[way], path.read_text(encoding="utf-8"))]
    assert found == []


@pytest.mark.parametrize("name", TELLERS)
def test_who_tells_of_changes_takes_no_sentence_apart(name: str) -> None:
    """Quotes that kept their changes in words are read in one module, and nowhere else."""
    code = (PACKAGE / name).read_text(encoding="utf-8")
    assert not re.search(
        r"^import re$|\.r?partition\(|\.split\(|\.remove(prefix|suffix)\(|\.startswith\(", code, re.MULTILINE
    )


def test_only_what_people_or_older_files_wrote_is_cut_at_words_or_marks() -> None:
    cutting = {name_module(p) for p in MODULES if any(map(finds_prose, list_nodes(p, ast.Call)))}
    assert cutting == set(MAY_CUT)


def test_nothing_is_found_by_the_sentence_that_says_it() -> None:
    comparing = {name_module(path) for path in MODULES if any(map(compares_prose, list_comparisons(path)))}
    assert comparing == set(MAY_COMPARE)


@pytest.mark.parametrize("code", [
    "place.partition('; ')", "x.endswith('column \"fee\"')", "said.split(' (')[0]", "text.removeprefix('You pay ')",
    "re.fullmatch(r'(.*), (.*)', text)", "re.compile(r'row (\\d+)')",
])  # fmt: skip
def test_a_sentence_taken_apart_is_seen(code: str) -> None:
    assert any(isinstance(node, ast.Call) and finds_prose(node) for node in ast.walk(ast.parse(code)))


@pytest.mark.parametrize("code", ["p.place == 'row 1'", "label in ('a fee', 'a part')", "match x:\n case 'a b': pass"])
def test_a_sentence_looked_for_is_seen(code: str) -> None:
    assert any(compares_prose(node) for node in ast.walk(ast.parse(code)))


@pytest.mark.parametrize("path", sorted((DATA / "wording").glob("*/names/*.toml")), ids=lambda path: path.stem)
def test_no_name_of_a_translation_is_found_by_an_english_sentence(path: Path) -> None:
    assert not re.search(r'^"', path.read_text(encoding="utf-8"), re.MULTILINE)
