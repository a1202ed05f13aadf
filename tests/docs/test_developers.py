"""DEVELOPERS: its map is what the folders say of themselves, and every file that it names is there."""

import ast
import re
from pathlib import Path

import pytest

from tests.builders import CHECKOUT

TEXT = (CHECKOUT / "DEVELOPERS.md").read_text(encoding="utf-8")
PACKAGE = CHECKOUT / "estimator"
NAMED = sorted(set(re.findall(r"`((?:[a-z_0-9]+/)+(?:[a-z_0-9]+\.[a-z]+)?)`", TEXT)))


def write_map() -> str:
    """A row a folder, with the first line of its docstring."""
    rows = ["| folder | what is there |", "|---|---|"]
    for path in sorted(PACKAGE.rglob("__init__.py")):
        said = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
        if path.parent != PACKAGE:
            rows.append(f"| `{path.parent.relative_to(PACKAGE).as_posix()}/` | {said.splitlines()[0]} |")
    return "\n".join(rows)


def test_the_map_is_what_the_folders_say_of_themselves() -> None:
    found = re.search(r"<!-- map -->\n(.*?)\n<!-- end of map -->", TEXT, flags=re.DOTALL)
    assert found is not None
    assert found[1] == write_map()


@pytest.mark.parametrize("name", NAMED)
def test_a_file_or_folder_that_is_named_is_there(name: str) -> None:
    places: list[Path] = [CHECKOUT, PACKAGE, *(path for path in PACKAGE.iterdir() if path.is_dir())]
    assert any((place / name).exists() for place in places), name
