"""Problems as a terminal says them in English."""

import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager

import pytest

from estimator import files
from estimator.base.problems import InputError, Problem
from estimator.sheets.export.problem_lines import name_place, say_expected, say_found, write_problem


def say_problem(problem: Problem) -> str:
    """The line of a terminal."""
    return write_problem(problem, files.load_wording())


def say_problems(problems: Iterable[Problem]) -> list[str]:
    """The lines of a terminal."""
    return [say_problem(problem) for problem in problems]


def say_parts(problem: Problem) -> tuple[str, str, str]:
    """Place, what was found, what was expected."""
    wording = files.load_wording()
    return name_place(problem, wording), say_found(problem, wording), say_expected(problem, wording)


def list_places(problems: Iterable[Problem]) -> list[str]:
    """Where each lies."""
    return [say_parts(problem)[0] for problem in problems]


@contextmanager
def refuses(match: str = "") -> Iterator[pytest.ExceptionInfo[InputError]]:
    """Expects an InputError whose lines match."""
    with pytest.raises(InputError) as caught:
        yield caught
    said = "\n".join(say_problems(caught.value.problems))
    assert re.search(match, said), said
