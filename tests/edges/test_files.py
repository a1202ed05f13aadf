"""Disk: files of all sorts become values or the whole list of their problems; nothing is half-loaded."""

from pathlib import Path

import pytest

from estimator import files
from estimator.base.declared import Field, Section, walk_declared
from estimator.base.problems import InputError
from estimator.files.reading import load_toml
from estimator.inputs.payment.jurisdiction_fields import PROFILE
from estimator.inputs.plans.declared import PLAN
from estimator.inputs.practice.settings import SETTINGS
from tests.builders import CHECKOUT, TODAY
from tests.problem_builders import refuses, say_problems

FEES = (CHECKOUT / "demo_fees.csv").read_text(encoding="utf-8")
CASE = (files.DATA / "demo" / "case.toml").read_text(encoding="utf-8")
ANSWER = """
plan = "plan_a"
reference = "C-1042"
currency = "USD"
asked_on = 2026-11-02
answered_on = 2026-11-20
decision = "approved"
[[lines]]
line = "finish_overdenture"
jaw = "mandible"
plan_pays = 240.00
"""


def list_problems(path: Path) -> list[str]:
    return say_problems(files.check_file(path, today=TODAY))


def write(folder: Path, name: str, data: bytes | str) -> Path:
    path = folder / name
    path.write_bytes(data.encode("utf-8") if isinstance(data, str) else data)
    return path


def test_the_demo_files_have_no_problems(tmp_path: Path) -> None:
    for name, text in (("fees.csv", FEES), ("case.toml", CASE)):
        assert list_problems(write(tmp_path, name, text)) == []


@pytest.mark.parametrize(
    "name", ["1_conventional_denture.toml", "2_individual_attachments.toml", "3_connecting_bar.toml"]
)
def test_the_shipped_options_have_no_problems(name: str) -> None:
    assert list_problems(files.DATA / "options" / name) == []


def test_the_demo_plans_have_no_problems() -> None:
    assert [list_problems(path) for path in files.find_plans(files.DATA / "demo")] == [[], []]


def test_a_plan_of_a_practice_folder_is_held_against_the_fees_of_that_folder(tmp_path: Path) -> None:
    for name in ("fees", "plans"):
        (tmp_path / name).mkdir()
    write(tmp_path / "fees", "fees.csv", FEES.replace("USD", "CAD"))
    plan = files.find_plans(files.DATA / "demo")[0].read_text(encoding="utf-8")
    (problem,) = list_problems(write(tmp_path / "plans", "plan.toml", plan))
    assert "plan.toml, currency: got 'USD'; expected CAD, the currency of fees.csv" in problem


def test_an_answer_of_a_plan_is_told_apart_from_the_plan(tmp_path: Path) -> None:
    (problem,) = list_problems(write(tmp_path, "answer.toml", ANSWER.replace("approved", "aproved")))
    assert problem.startswith("answer.toml, decision: got 'aproved'; expected 'approved' perhaps")
    assert files.load_plan_answer(write(tmp_path, "answer.toml", ANSWER), today=TODAY).lines[0].plan_pays == 240


def test_a_byte_order_mark_windows_line_ends_and_blank_rows_are_read(tmp_path: Path) -> None:
    text = "\ufeff" + FEES.replace("\n", "\r\n") + ",,,,,,,,,,,,\r\n\r\n"
    assert len(files.load_fees(write(tmp_path, "fees.csv", text)).lines) == FEES.count("\n") - 1


def test_a_schedule_with_semicolons_and_commas_has_the_same_fees(tmp_path: Path) -> None:
    rows = [line.split(",") for line in FEES.replace('"', "").splitlines()]
    simple = [row for row in rows if len(row) == 13]
    text = "\n".join(";".join(cell.replace(".", ",") for cell in row) for row in simple)
    schedule = files.load_fees(write(tmp_path, "fees.csv", text))
    plain = files.load_fees(CHECKOUT / "demo_fees.csv")
    assert {key: line.fee for key, line in schedule.lines.items()}.items() <= {
        k: v.fee for k, v in plain.lines.items()
    }.items()
    assert len(schedule.lines) > 40


BAD = [
    ("empty", "fees.csv", b"", "an empty file"),
    ("only blanks", "fees.csv", b" \n \n", "an empty file"),
    ("binary", "fees.csv", b"PK\x03\x04\x00\x00", "a binary file"),
    ("another encoding", "fees.csv", "key,label\nx,Pr\u00f3tesis\n".encode("latin-1"), "line 2: got a byte that is not UTF-8 (0xf3)"),
    ("truncated in quotes", "fees.csv", b'key,label\n"x', "a CSV file in which each opened quote is closed"),
    ("a row cut off", "fees.csv", FEES[:360].encode(), "cells, as in row 1"),
    ("a TOML file cut off", "case.toml", CASE[:300].encode() + b"\n[[jaws", "expected a TOML file"),
    ("a spreadsheet", "fees.xlsx", b"abc", "a .toml case, option, plan, settings or profile file, or a .csv fee schedule"),
    ("brackets without end", "case.toml", b"a = " + b"[" * 5000 + b"]" * 5000, "brackets nested too deep"),
    ("a number of thousands of digits", "case.toml", b"reference = " + b"9" * 6000, "expected a TOML file"),
    ("an infinite length", "case.toml", CASE.replace("12.0", "inf").encode(), "got Infinity; expected a length from 0 to 40 mm"),
    ("a length that is no number", "case.toml", CASE.replace("12.0", "nan").encode(), "got NaN; expected a length"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "data", "message"), [b[1:] for b in BAD], ids=[b[0] for b in BAD])
def test_a_file_that_cannot_be_read_is_a_problem_that_names_it(
    tmp_path: Path, name: str, data: bytes, message: str
) -> None:
    problems = list_problems(write(tmp_path, name, data))
    assert any(message in problem for problem in problems), problems
    assert all(problem.startswith(name) for problem in problems)


def test_a_missing_file_is_a_problem(tmp_path: Path) -> None:
    (problem,) = list_problems(tmp_path / "nowhere.toml")
    assert "no such file or directory" in problem


def test_a_line_that_an_option_charges_and_the_schedule_lacks_is_named(tmp_path: Path) -> None:
    text = "\n".join(line for line in FEES.splitlines() if not line.startswith("bar_base,"))
    (problem,) = list_problems(write(tmp_path, "fees.csv", text))
    assert 'the key "bar_base", which the option "connecting_bar" charges' in problem


def test_a_practice_folder_replaces_figures_and_marks_them_as_its_own(tmp_path: Path) -> None:
    head = "key,name,low,value,high,unit,source,place,how_sure,note\n"
    row = "bar_height,Our bar,3,3,4,mm,own,,own,\n"
    write(tmp_path, "figures.csv", head + row)
    evidence = files.load_practice(tmp_path).evidence
    assert (str(evidence.get("bar_height").value), evidence.get("bar_height").own) == ("3", True)
    assert not evidence.get("denture_base").own


def test_an_own_figure_of_unknown_key_is_a_problem(tmp_path: Path) -> None:
    head = "key,name,low,value,high,unit,source,place,how_sure,note\n"
    write(tmp_path, "figures.csv", head + "bar_hight,Our bar,3,3,4,mm,own,,own,\n")
    with refuses("'bar_height' perhaps"):
        files.load_practice(tmp_path)


@pytest.mark.parametrize(("row", "message"), [
    ("life_denture,Life,0,11,16,years,own,,own,", "1 to 100 years"),
    ("reline_denture,Reline,0,0.05,0.07,per jaw and year,own,,own,", "low above 0"),
    ("reline_denture,Reline,1,5,700,per jaw and year,own,,own,", "at most 20 a year"),
    ("reline_denture,Reline,-1,0.05,0.07,per jaw and year,own,,own,", "low above 0"),
    ("reline_denture,Reline,0.06,0.05,0.07,per jaw and year,own,,own,", "low, value and high in rising order"),
    ("discount_rate,Rate,-2,-2,0.05,per year,own,,own,", "figure discount_rate: got -2 to 0.05; expected a yearly rate"),
    ("inflation,Rise,0,0.02,9,per year,own,,own,", "figure inflation: got 0 to 9; expected a yearly rate"),
    ("sanity_width,Band,0,0,2,factor,own,,own,", "a factor from 1 to 100"),
    ("trips_new_overdenture,Trips,-1,5,5,trips,own,,own,", "trips from 0 to 50"),
    ("bar_height,Bar,4,3,2,mm,own,,own,", "low, value and high in rising order"),
    ("bar_height,Bar,a,3,4,mm,own,,own,", "expected a number"),
])  # fmt: skip
def test_an_own_figure_the_model_cannot_take_is_a_problem(tmp_path: Path, row: str, message: str) -> None:
    write(tmp_path, "figures.csv", "key,name,low,value,high,unit,source,place,how_sure,note\n" + row + "\n")
    with refuses(message):
        files.load_practice(tmp_path)


def test_problems_of_all_files_of_a_practice_come_together(tmp_path: Path) -> None:
    write(tmp_path, "settings.toml", "[practice]\nnme = 'x'\n")
    write(tmp_path, "figures.csv", "key\nx\n")
    (tmp_path / "fees").mkdir()
    write(tmp_path / "fees", "fees.csv", "key\nx\n")
    with pytest.raises(InputError) as caught:
        files.load_practice(tmp_path)
    assert {problem.file for problem in caught.value.problems} == {"settings.toml", "figures.csv", "fees.csv"}


def test_the_newest_schedule_of_a_practice_folder_is_used(tmp_path: Path) -> None:
    (tmp_path / "fees").mkdir()
    for year in (2026, 2027):
        write(tmp_path / "fees", f"fees_{year}.csv", FEES)
    assert files.load_practice(tmp_path).fees.file == "fees_2027.csv"


def test_the_demo_is_never_written_over_anything(tmp_path: Path) -> None:
    files.write_demo(tmp_path)
    with refuses("exists already"):
        files.write_demo(tmp_path)


def test_a_written_demo_is_a_practice_that_works(tmp_path: Path) -> None:
    files.write_demo(tmp_path)
    practice = files.load_practice(tmp_path / "practice")
    assert practice.fees.invented
    assert files.load_case(tmp_path / "case.toml", today=TODAY).reference == "C-1042"


EXPLAINED = {"settings.toml": SETTINGS, "profile.toml": PROFILE, "plans/plan_a.toml": PLAN}


@pytest.mark.parametrize("name", EXPLAINED)
def test_a_written_demo_says_the_same_as_the_one_that_ships(tmp_path: Path, name: str) -> None:
    files.write_demo(tmp_path)
    assert load_toml(tmp_path / "practice" / name) == load_toml(files.DATA / "demo" / name)


@pytest.mark.parametrize(("name", "section"), EXPLAINED.items(), ids=list(EXPLAINED))
def test_a_written_demo_shows_every_field_that_its_files_may_hold(tmp_path: Path, name: str, section: Section) -> None:
    files.write_demo(tmp_path)
    text = (tmp_path / "practice" / name).read_text(encoding="utf-8")
    shown = {line.removeprefix("# ").partition(" = ")[0] for line in text.splitlines()}
    named = {part.key for place, part in walk_declared(section) if isinstance(part, Field) and not place.endswith(">")}
    assert named <= shown
