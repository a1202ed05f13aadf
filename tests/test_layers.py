"""The house: who may import whom is import-linter's; this holds what it cannot see."""

import ast
from pathlib import Path

import pytest

from tests.builders import CHECKOUT

PACKAGE = CHECKOUT / "estimator"
PAGES = sorted((CHECKOUT / "pages").glob("*.py"))
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


def list_calls(path: Path) -> set[str]:
    calls = [node.func for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))) if isinstance(node, ast.Call)]
    return {f.id if isinstance(f, ast.Name) else f.attr for f in calls if isinstance(f, ast.Name | ast.Attribute)}


@pytest.mark.parametrize("path", PAGES, ids=name_path)
def test_a_page_is_short_and_does_no_arithmetic(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert len(text.splitlines()) <= 80
    assert not [node for node in ast.walk(ast.parse(text)) if isinstance(node, NO_ARITHMETIC)]


@pytest.mark.parametrize("path", PAGES, ids=name_path)
def test_a_page_imports_only_streamlit_the_standard_library_and_the_house(path: Path) -> None:
    roots = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            roots |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            roots.add((node.module or "").split(".")[0])
    assert roots <= {"streamlit", "estimator", "datetime", "pathlib"}


@pytest.mark.parametrize("path", BELOW_THE_EDGES, ids=name_path)
def test_below_the_edges_there_is_no_input_output_clock_or_chance(path: Path) -> None:
    assert not list_calls(path) & FORBIDDEN_CALLS


@pytest.mark.parametrize("path", sorted(PACKAGE.rglob("*.py")), ids=name_path)
def test_a_module_has_at_most_three_hundred_lines(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 300


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
