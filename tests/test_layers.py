"""The house: who may import whom is import-linter's; this holds what it cannot see."""

import ast
from collections.abc import Iterable, Mapping
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

from tests.builders import CHECKOUT
from tests.source import MODULES, PACKAGE, list_nodes, read_tree

PAGES = sorted((CHECKOUT / "pages").glob("*.py"))
HOUSE = [*PAGES, *MODULES]
FOLDERS = sorted({path.parent for path in MODULES})
BELOW_THE_EDGES = sorted(
    p
    for floor in ("base", "inputs", "estimate", "quote", "pictures", "proposal", "sheets")
    for p in (PACKAGE / floor).rglob("*.py")
)
TOP_LEVEL = {
    ".ci", ".github", ".gitignore", ".pre-commit-config.yaml", "CHANGELOG.md", "DEVELOPERS.md", "LICENSE", "README.md",
    "demo_fees.csv", "estimator", "pages", "pyproject.toml", "tests",
}  # fmt: skip
NO_ARITHMETIC = (ast.BinOp, ast.AugAssign)
FORBIDDEN_CALLS = {"open", "print", "input", "now", "today", "utcnow", "default_rng", "random", "read_text", "write_text",
                   "read_bytes", "write_bytes"}  # fmt: skip


def name_path(path: Path) -> str:
    return path.relative_to(CHECKOUT).as_posix()


def list_functions(path: Path) -> list[ast.FunctionDef | ast.AsyncFunctionDef]:
    return [*list_nodes(path, ast.FunctionDef), *list_nodes(path, ast.AsyncFunctionDef)]


def list_calls(path: Path) -> set[str]:
    calls = [node.func for node in list_nodes(path, ast.Call)]
    return {f.id if isinstance(f, ast.Name) else f.attr for f in calls if isinstance(f, ast.Name | ast.Attribute)}


def find_twice(names: Iterable[tuple[str, str]]) -> dict[str, list[str]]:
    """Names that are defined more than once, each with the files that do."""
    places: dict[str, list[str]] = {}
    for name, place in names:
        places.setdefault(name, []).append(place)
    return {name: found for name, found in places.items() if len(found) > 1}


@cache
def list_imports(path: Path) -> tuple[Path, ...]:
    """Where in the package each name is that a module imports: its module, or the folder whose own file has it."""
    places = []
    for node in list_nodes(path, ast.ImportFrom):
        if (node.module or "").split(".")[0] == PACKAGE.name:
            place = CHECKOUT.joinpath(*(node.module or "").split("."))
            for named in (place / alias.name for alias in node.names):
                places.append(named if named.is_dir() or named.with_suffix(".py").exists() else place)
    return tuple(places)


def list_neighbours(folder: Path) -> dict[str, set[str]]:
    """For each room of a folder (a module or a folder in it) the rooms beside it that it imports."""
    rooms: dict[str, set[str]] = {}
    for path in folder.rglob("*.py"):
        room = path.relative_to(folder).with_suffix("").parts[0]
        beside = {place.relative_to(folder).parts[0] for place in list_imports(path) if folder in place.parents}
        rooms.setdefault(room, set()).update(beside - {room})
    return rooms


def find_circle(rooms: Mapping[str, set[str]]) -> list[str]:
    """Rooms that import each other round to the first; none where there is no such circle."""
    try:
        TopologicalSorter(rooms).prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


@pytest.mark.parametrize("path", PAGES, ids=name_path)
def test_a_page_is_short_and_does_no_arithmetic(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert len(text.splitlines()) <= 80
    assert not [node for kind in NO_ARITHMETIC for node in list_nodes(path, kind)]


@pytest.mark.parametrize("path", PAGES, ids=name_path)
def test_a_page_imports_only_streamlit_the_standard_library_and_the_house(path: Path) -> None:
    roots = {alias.name.split(".")[0] for node in list_nodes(path, ast.Import) for alias in node.names}
    roots |= {(node.module or "").split(".")[0] for node in list_nodes(path, ast.ImportFrom)}
    assert roots <= {"streamlit", "estimator", "datetime", "pathlib"}


@pytest.mark.parametrize("path", BELOW_THE_EDGES, ids=name_path)
def test_below_the_edges_there_is_no_input_output_clock_or_chance(path: Path) -> None:
    assert not list_calls(path) & FORBIDDEN_CALLS


def test_a_function_has_at_most_forty_lines() -> None:
    """About 25 is the aim; what is longer than 40 does two things."""
    long = [
        f"{name_path(path)} {node.name}: {lines} lines"
        for path in HOUSE
        for node in list_functions(path)
        if (lines := (node.end_lineno or 0) - node.lineno + 1) > 40
    ]
    assert long == []


def test_no_class_name_is_defined_twice() -> None:
    names = [(node.name, name_path(path)) for path in HOUSE for node in list_nodes(path, ast.ClassDef)]
    assert find_twice(names) == {}


def test_no_public_function_name_is_defined_twice() -> None:
    names = [
        (node.name, name_path(path))
        for path in HOUSE
        for node in read_tree(path).body
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and not node.name.startswith("_")
    ]
    assert find_twice(names) == {}


@pytest.mark.parametrize("folder", FOLDERS, ids=name_path)
def test_a_folder_has_at_most_fifteen_modules_beside_its_folders(folder: Path) -> None:
    modules = [path.name for path in folder.glob("*.py") if path.name != "__init__.py"]
    assert len(modules) <= 15, modules


@pytest.mark.parametrize("folder", FOLDERS, ids=name_path)
def test_a_folder_says_what_it_is_for(folder: Path) -> None:
    assert ast.get_docstring(read_tree(folder / "__init__.py"))


@pytest.mark.parametrize("folder", FOLDERS, ids=name_path)
def test_no_rooms_of_a_folder_import_each_other_in_a_circle(folder: Path) -> None:
    """A room is a module or a folder that stands in this one; what is imported where it is needed counts too."""
    assert find_circle(list_neighbours(folder)) == []


def test_the_top_level_holds_what_was_agreed() -> None:
    ignored = {".git", ".venv", ".mypy_cache", ".ruff_cache", ".pytest_cache", ".hypothesis", ".import_linter_cache",
               ".benchmarks", "build", "dist", "overdenture_demo"}  # fmt: skip
    assert {p.name for p in CHECKOUT.iterdir()} - ignored <= TOP_LEVEL


def test_no_pages_folder_stands_beside_the_entry_script() -> None:
    """Streamlit would find pages of its own there."""
    assert not (PACKAGE / "ui" / "pages").exists()


@pytest.mark.parametrize("path", [*PAGES, *sorted((PACKAGE / "ui").rglob("*.py"))], ids=name_path)
def test_no_page_injects_html_or_styles(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert not [
        word for word in ("unsafe_allow_html", "st.html", "components.v1", "<style", "st.iframe") if word in text
    ]
