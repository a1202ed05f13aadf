"""Problems are fields and a code below the edge, and a sentence only where somebody reads it."""

import ast
import re
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest

from estimator import files
from estimator.base.problems import Problem, offer_names
from estimator.sheets.export.problem_lines import name_place, say_expected, say_found, write_problem

PACKAGE = Path(files.__file__).parents[1]
WORDING = files.load_wording()
PARTS = ("expected", "found", "place", "near", "typed", "quoted")
MAKERS = {"Problem": None, "add_problem": 1, "make_problem": 2, "read_line": None, "read_decimal": None}
"""What makes a problem, and which argument is its code; else it is the keyword `code`."""
BUILT = re.compile(r"fees\.(fee|practice_cost)(_\w+)?|sheet\.\w+|answer\.(currency|reference)")
"""Codes that are put together from a column or a field and what is wrong with it."""
PARSED_BACK = re.compile(
    r"\b(?!change\b)\w+\.place\b\s*(==|\.(ends|starts)with|\.r?partition|\.split)"
    r"|re\.\w+\([^\n]*\.(place|found|expected)\b"
    r"|(problem|p)\.(found|expected)\b\.(replace|ends|starts|partition|split)"
)
"""How sentences of problems were taken apart once."""


def list_codes() -> set[str]:
    keys = (key.removeprefix("problems.") for key in WORDING.texts if key.startswith("problems."))
    codes = {key.rpartition(".")[0] if key.rpartition(".")[2] in PARTS else key for key in keys}
    return {code for code in codes if (not code.startswith("say.") and "." in code) or code in WORDING_TOP}


WORDING_TOP = {key.split(".")[1] for key in WORDING.texts if re.fullmatch(r"problems\.\w+(\.expected)?", key)}


def list_modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def list_literal_codes() -> Iterator[tuple[str, str]]:
    """Each code that stands in a call, with its module."""
    for path in list_modules():
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            name = getattr(node.func, "attr", getattr(node.func, "id", ""))
            if name not in MAKERS:
                continue
            position = MAKERS[name]
            found = [word.value for word in node.keywords if word.arg == "code"]
            found += node.args[position : position + 1] if position is not None else []
            for one in found:
                if (
                    isinstance(one, ast.Constant) and isinstance(one.value, str) and one.value and " " not in one.value
                ):  # some readers still hand over sentences
                    yield one.value, path.name


def list_texts() -> set[str]:
    """Every text of the package's modules."""
    return {
        node.value
        for path in list_modules()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }


def test_every_code_has_a_sentence() -> None:
    codes = list_codes()
    assert {(code, module) for code, module in list_literal_codes() if code not in codes} == set()


def test_every_sentence_has_a_use() -> None:
    unused = list_codes() - list_texts()
    assert {code for code in unused if not BUILT.fullmatch(code)} == set()


def test_nothing_takes_a_place_or_a_sentence_of_a_problem_apart() -> None:
    found = [path.name for path in list_modules() if PARSED_BACK.search(path.read_text(encoding="utf-8"))]
    assert found == []


def test_a_sentence_is_no_code() -> None:
    with pytest.raises(ValueError, match="'code' must be the key of a sentence"):
        Problem(file="case.toml", code="a whole number from 1 to 6")


def test_a_line_says_file_place_found_and_expected() -> None:
    problem = Problem(
        file="case.toml", path=("jaws", 2, "implants"), code="whole", found="four", expected={"low": 1, "high": 6}
    )
    line = "case.toml, jaws[2].implants: got 'four'; expected a whole number from 1 to 6"
    assert write_problem(problem, WORDING) == line


def test_a_cell_is_named_by_row_and_column_and_nothing_found_is_said() -> None:
    problem = Problem(file="fees.csv", row=3, column="minutes", code="fees.minutes")
    assert write_problem(problem, WORDING).startswith('fees.csv, row 3, column "minutes": got nothing; expected whole')


@pytest.mark.parametrize(("name", "expected"), [
    ("denturr", "'denture' perhaps; known are denture, bar"), ("zzz", "one of denture, bar"), (3, "one of denture, bar"),
], ids=["a slip of the pen", "another word", "a number"])  # fmt: skip
def test_known_names_are_listed_the_nearest_first(name: object, expected: str) -> None:
    problem = Problem(file="f", code="known", found=name, expected=offer_names(name, ("denture", "bar")))
    assert say_expected(problem, WORDING) == expected


def test_a_form_calls_a_field_by_its_label_and_all_that_lies_in_it() -> None:
    problem = Problem(file="plan", path=("allowed", 2, "amount"), code="text")
    assert name_place(problem, WORDING, {("allowed", 2): "Allowed amount, bar"}) == "Allowed amount, bar"
    assert name_place(problem, WORDING, {("allowed", 1): "Allowed amount, bar"}) == "allowed[2].amount"


def test_a_row_is_found_by_the_name_of_its_line() -> None:
    problem = Problem(file="fees", row=7, column="fee", code="fees.range")
    assert name_place(problem, WORDING, {(7,): "Tooth trial"}) == 'Tooth trial, row 7, column "fee"'


@pytest.mark.parametrize(("found", "said"), [
    (None, "nothing"), (True, "true"), ("", "''"), (Decimal("2.50"), "2.50"), ("a\x00b", "'a\N{REPLACEMENT CHARACTER}b'"),
    ("x" * 70, f"'{'x' * 59}…'"),
], ids=["nothing", "a flag", "an empty text", "a number", "a control character", "a long text"])  # fmt: skip
def test_a_found_value_is_shown_as_a_user_would_recognise_it(found: object, said: str) -> None:
    assert say_found(Problem(file="f", code="text", found=found), WORDING) == said


def test_text_in_place_of_a_number_gets_a_hint() -> None:
    limits = {"low": 0, "high": 40, "example": "11.5"}
    number, text = (
        say_expected(Problem(file="f", code="number.length", found=found, expected=limits), WORDING)
        for found in (Decimal(50), "11,5")
    )
    assert text == f"{number} (a number without quotes, unit or decimal comma)"
