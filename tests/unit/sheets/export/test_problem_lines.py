"""Problems are fields and a code below the edge, and a sentence only where somebody reads it."""

import ast
import re
from collections.abc import Iterator
from datetime import date
from decimal import Decimal

import pytest

from estimator import files
from estimator.base.declared import Field, FieldKind, walk_declared
from estimator.base.problems import Problem, offer_names
from estimator.inputs.payment.jurisdiction_fields import PROFILE
from estimator.inputs.plans.declared import PLAN
from estimator.inputs.practice.settings import SETTINGS
from estimator.sheets.export.problem_lines import name_place, say_expected, say_found, write_problem
from tests.source import MODULES, PACKAGE, list_nodes, read_tree

WORDING = files.load_wording()
PARTS = ("expected", "found", "place", "near", "typed", "quoted")
MAKERS = {"Problem": None, "add_problem": 1, "make_problem": 2}
"""What makes a problem, and which argument is its code."""
SENDERS = {*MAKERS, "read_line", "read_decimal"}
"""What hands a problem more than its code."""
CODE_WORDS = ("code", "missing", "below")
"""What a code is called where it is handed over."""
CODE = re.compile(r"[a-z0-9_.]+")
MOST_WORDS = 3
"""A name, a unit or a figure has no more words; what has is a sentence."""
LONG_NAMES = ("Spread of denture life",)
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


def list_literal_codes() -> Iterator[tuple[str, str]]:
    """Each code that stands in a call, with its module."""
    for path in MODULES:
        for node in list_nodes(path, ast.Call):
            found = [word.value for word in node.keywords if word.arg in CODE_WORDS]
            position = MAKERS.get(name_called(node))
            found += node.args[position : position + 1] if position is not None else []
            for one in found:
                if isinstance(one, ast.Constant) and isinstance(one.value, str) and one.value:
                    yield one.value, path.name


def name_called(node: ast.Call) -> str:
    return str(getattr(node.func, "attr", getattr(node.func, "id", "")))


def list_sentences() -> Iterator[tuple[str, str]]:
    """Each sentence in a function that makes a problem, with its module; on pages, in what is handed to the problem."""
    for path in MODULES:
        named = dict(list_named_texts(read_tree(path)))
        looked_at = ast.Call if "ui" in path.relative_to(PACKAGE).parts else ast.FunctionDef
        for node in list_nodes(path, looked_at):
            inside = [one for line in getattr(node, "body", [node]) for one in walk_values(line)]
            if any(isinstance(one, ast.Call) and name_called(one) in SENDERS for one in inside):
                texts = (
                    one.value if isinstance(one, ast.Constant) else named.get(getattr(one, "id", "")) for one in inside
                )
                yield from ((text, path.name) for text in texts if isinstance(text, str) and is_sentence(text))


def list_named_texts(tree: ast.Module) -> Iterator[tuple[str, object]]:
    """The texts that a module gives a name."""
    for line in tree.body:
        if (
            isinstance(line, ast.Assign)
            and isinstance(line.value, ast.Constant)
            and isinstance(line.targets[0], ast.Name)
        ):
            yield line.targets[0].id, line.value.value


def walk_values(node: ast.AST) -> Iterator[ast.AST]:
    """All that lies in a node, without what is raised as an error of the program and without docstrings."""
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return
    if isinstance(node, ast.Raise) and isinstance(node.exc, ast.Call) and name_called(node.exc) != "InputError":
        return
    yield node
    for inside in ast.iter_child_nodes(node):
        yield from walk_values(inside)


def is_sentence(text: str) -> bool:
    return len(re.findall(r"[^\W\d]{2,}", text)) > MOST_WORDS and not CODE.fullmatch(text) and text not in LONG_NAMES


def list_declared() -> list[tuple[str, Field]]:
    """Every field of what a practice writes, by its file and place."""
    documents = {"settings.toml": SETTINGS, "profile.toml": PROFILE, "plans/": PLAN}
    parts = ((f"{file} {place}", part) for file, whole in documents.items() for place, part in walk_declared(whole))
    return [(place, part) for place, part in parts if isinstance(part, Field)]


def list_texts() -> set[str]:
    """Every text of the package's modules."""
    return {node.value for path in MODULES for node in list_nodes(path, ast.Constant) if isinstance(node.value, str)}


def test_every_code_has_a_sentence() -> None:
    codes = list_codes()
    assert {(code, module) for code, module in list_literal_codes() if code not in codes} == set()


def test_what_makes_a_problem_holds_no_sentence() -> None:
    assert sorted(set(list_sentences())) == []


def test_no_text_stands_for_a_sentence_made_elsewhere() -> None:
    expected = {key: text for key, text in WORDING.texts.items() if re.match(r"problems\.(?!.*\.(found|place)$)", key)}
    assert [key for key, text in expected.items() if re.fullmatch(r"{\w+}.?", text)] == []


def test_every_declared_field_says_what_it_expects() -> None:
    said = {}
    for place, field in list_declared():
        limits = {"low": field.low, "high": field.high, "example": field.example, "longest": field.longest}
        for code in filter(None, (field.code, field.missing)):
            said[place] = say_expected(Problem(file="f", code=code, expected=limits), WORDING)
    needed = {place for place, field in list_declared() if field.kind in (FieldKind.NUMBER, FieldKind.PAST_DAY)}
    assert needed <= {place for place, text in said.items() if text}


def test_a_day_of_the_past_is_named_in_what_is_wrong_with_it() -> None:
    problem = Problem(file="f", code="plans.after_today", expected={"day": "plans.born", "today": date(2026, 11, 25)})
    assert say_expected(problem, WORDING) == "a date of birth, not after today, 2026-11-25"


def test_every_sentence_has_a_use() -> None:
    unused = list_codes() - list_texts()
    assert {code for code in unused if not BUILT.fullmatch(code)} == set()


def test_nothing_takes_a_place_or_a_sentence_of_a_problem_apart() -> None:
    found = [path.name for path in MODULES if PARSED_BACK.search(path.read_text(encoding="utf-8"))]
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
