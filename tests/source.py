"""The modules of the package as syntax trees, each read and gone through once a run for all tests about the code."""

import ast
import gc
from collections import defaultdict
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from tests.builders import CHECKOUT

Node = TypeVar("Node", bound=ast.AST)
PACKAGE = CHECKOUT / "estimator"
MODULES = sorted(PACKAGE.rglob("*.py"))


@cache
def read_tree(path: Path) -> ast.Module:
    """The tree of a file. Nothing of it is garbage, and to look for some takes twice as long as to read it."""
    gc.disable()
    try:
        return ast.parse(path.read_text(encoding="utf-8"))
    finally:
        gc.enable()


@cache
def sort_nodes(path: Path) -> Mapping[type[ast.AST], list[Any]]:
    """All that stands in the tree of a file, in the order of `ast.walk`, by its kind."""
    found: defaultdict[type[ast.AST], list[Any]] = defaultdict(list)
    for node in ast.walk(read_tree(path)):
        found[type(node)].append(node)
    return found


def list_nodes(path: Path, kind: type[Node]) -> list[Node]:
    """Everything of one kind in a file."""
    return sort_nodes(path).get(kind, [])
