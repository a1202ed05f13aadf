"""A practice's sign-offs and experience on disk: loaded with its folder, checked, kept whole or not at all."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from estimator import files
from estimator.base.evidence import Figure
from estimator.base.problems import InputError
from estimator.estimate.snapshot import take_snapshot
from estimator.files.user import data_folder, own
from estimator.inputs.options.model import Per
from estimator.inputs.practice.experience import Observation, Period
from estimator.inputs.practice_bundle import Practice
from estimator.proposal.usual import settle_usual
from estimator.sheets.export.terminal import write_text
from tests.builders import TODAY, estimate_all, make_jaw
from tests.problem_builders import refuses, say_problems

SIGNED = "key,low,value,high,confirmed_by,confirmed_on\n"
COUNTED = "option,item,period,counted_per,years_at_risk,events,from,to,note\n"
RETENTION = "connecting_bar,retention_service,later,jaw,50,60,2025-01-01,2025-12-31,\n"
FIGURES = "key,name,low,value,high,unit,source,place,how_sure,note\n"
OWN_OPTION = (files.DATA / "options" / "3_connecting_bar.toml").read_text(encoding="utf-8").replace(
    'key = "connecting_bar"', 'key = "our_bar"', 1
).replace('height = "bar_height"', 'height = { low = 3, value = 3, high = 4, source = "us", how_sure = "memory" }', 1)  # fmt: skip


def write(folder: Path, name: str, text: str) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    (folder / name).write_text(text, encoding="utf-8")
    return folder / name


def load(folder: Path) -> Practice:
    return files.load_practice(folder, today=TODAY)


def check(path: Path) -> list[str]:
    return say_problems(files.check_file(path, today=TODAY))


def make_row(**changes: object) -> Observation:
    row = Observation(
        option="connecting_bar", item="retention_service", period=Period.LATER, counted_per=Per.JAW,
        years_at_risk=Decimal(50), events=60, start=date(2025, 1, 1), end=date(2025, 12, 31),
    )  # fmt: skip
    return replace(row, **changes)  # type: ignore[arg-type]


@pytest.fixture
def practice_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("OVERDENTURE_DATA", str(tmp_path))
    return data_folder.find_practice_folder()


def test_a_sign_off_holds_in_evidence_and_in_the_options_that_use_the_figure(tmp_path: Path) -> None:
    write(tmp_path, "confirmed.csv", SIGNED + "bar_screw,0.01,0.03,0.08,Dr. A,2026-11-20\n")
    practice = load(tmp_path)
    assert practice.evidence.get("bar_screw").confirmed_by == "Dr. A"
    used = [f for option in practice.options for f in option.list_figures() if f.key == "bar_screw"]
    assert {figure.confirmed_by for figure in used} == {"Dr. A"}


def test_a_sign_off_lapses_when_the_practice_puts_its_own_number_in_place(tmp_path: Path) -> None:
    write(tmp_path, "confirmed.csv", SIGNED + "bar_screw,0.01,0.03,0.08,Dr. A,2026-11-20\n")
    write(tmp_path, "figures.csv", FIGURES + "bar_screw,Bar screw,0.01,0.02,0.08,per jaw and year,own,,own,\n")
    figure = load(tmp_path).evidence.get("bar_screw")
    assert (figure.assumption, figure.lapsed, figure.confirmed_by) == (True, True, "")


def test_a_sign_off_of_the_practice_s_own_number_holds(tmp_path: Path) -> None:
    write(tmp_path, "confirmed.csv", SIGNED + "bar_screw,0.01,0.02,0.08,Dr. A,2026-11-20\n")
    write(tmp_path, "figures.csv", FIGURES + "bar_screw,Bar screw,0.01,0.02,0.08,per jaw and year,own,,memory,\n")
    assert not load(tmp_path).evidence.get("bar_screw").assumption


def test_a_figure_that_an_option_file_brings_along_can_be_signed_off(tmp_path: Path) -> None:
    write(tmp_path / "options", "our_bar.toml", OWN_OPTION)
    (assumed,) = (f for f in load(tmp_path).evidence.figures.values() if f.key.startswith("our_bar_"))
    assert assumed.assumption
    path = write(tmp_path, "confirmed.csv", SIGNED + f"{assumed.key},3,3,4,Dr. A,2026-11-20\n")
    practice = load(tmp_path)
    (part,) = (part for part in practice.options[-1].stack if part.figure.key == assumed.key)
    assert part.figure.confirmed_by == "Dr. A"
    assert check(path) == []


def test_without_own_files_the_options_are_those_of_the_package(tmp_path: Path) -> None:
    assert load(tmp_path).options == files.load_practice(today=TODAY).options
    assert load(tmp_path).experience == ()


def test_json_says_by_whom_and_when(tmp_path: Path) -> None:
    write(
        tmp_path, "confirmed.csv", SIGNED + "bar_height,2,2,4,Dr. A,2026-11-20\ndenture_base,1,2,3,Dr. B,2026-11-20\n"
    )
    shot = take_snapshot(estimate_all(make_jaw("12"), practice=load(tmp_path)))
    basis = {figure["figure"]: figure for figure in shot["basis"]}
    said = [(basis[key]["confirmed_by"], basis[key]["confirmed_on"], basis[key]["lapsed"], basis[key]["assumption"])
            for key in ("bar_height", "denture_base", "ground_tooth")]  # fmt: skip
    assert said == [("Dr. A", "2026-11-20", False, False), ("", None, True, True), ("", None, False, True)]


def tell(practice: Practice) -> str:
    estimate = estimate_all(make_jaw("12"), practice=practice)
    statement = settle_usual(estimate, "", files.load_wording(), today=TODAY)
    return write_text(estimate, statement, files.load_wording())


def test_text_counts_the_assumptions_that_are_left_and_the_rates_with_own_data(tmp_path: Path) -> None:
    write(tmp_path, "experience.csv", COUNTED + RETENTION)
    before = tell(load(tmp_path))
    write(tmp_path, "confirmed.csv", SIGNED + "ground_tooth,1,3,4,Dr. A,2026-11-20\n")
    after = tell(load(tmp_path))
    assert "2 rates are blended with this practice's own count." in after
    assumed = [int(text.split(" figures used")[0].split("\n")[-1].split(" ")[0]) for text in (before, after)]
    assert assumed[0] == assumed[1] + 1


def test_a_log_is_loaded_and_changes_the_item_it_counts(tmp_path: Path) -> None:
    write(tmp_path, "experience.csv", COUNTED + RETENTION)
    practice = load(tmp_path)
    assert practice.experience == (make_row(),)
    counted = [(o.key, i.key) for o in practice.options for i in o.upkeep if i.own is not None]
    assert counted == [("connecting_bar", "retention_service")]


def test_problems_of_sign_offs_and_log_come_with_those_of_the_other_files(tmp_path: Path) -> None:
    write(tmp_path, "settings.toml", "[practice]\nnme = 'x'\n")
    write(tmp_path, "confirmed.csv", SIGNED + "bar_hight,1,2,3,Dr. A,2026-11-20\n")
    write(tmp_path, "experience.csv", COUNTED + RETENTION.replace("60", "-60"))
    with pytest.raises(InputError) as caught:
        load(tmp_path)
    assert {problem.file for problem in caught.value.problems} == {"settings.toml", "confirmed.csv", "experience.csv"}


def test_an_option_that_cannot_be_read_is_not_blamed_on_the_log(tmp_path: Path) -> None:
    write(tmp_path / "options", "our_bar.toml", OWN_OPTION.replace("[renewal]", "[renewl]"))
    write(tmp_path, "experience.csv", COUNTED + RETENTION.replace("connecting_bar", "our_bar"))
    with pytest.raises(InputError) as caught:
        load(tmp_path)
    assert {problem.file for problem in caught.value.problems} == {"our_bar.toml"}


@pytest.mark.parametrize(("name", "text", "message"), [
    ("confirmed.csv", SIGNED + "bar_hight,2,2,4,Dr. A,2026-11-20\n", "'bar_height' perhaps"),
    ("signed.csv", SIGNED + "bar_height,2,2,4,Dr. A,2027-11-20\n", "not after today"),
    ("confirmed.csv", "key,label\nx,y\n", 'no column "confirmed_by"'),
    ("experience.csv", COUNTED + RETENTION.replace("later", "latter"), "expected first_year or later"),
    ("ours.csv", COUNTED + RETENTION + RETENTION, "which row 2 counts already"),
    ("experience.csv", "a,b\n1,2\n", 'no column "years_at_risk"'),
])  # fmt: skip
def test_check_knows_both_files_by_name_or_by_content(tmp_path: Path, name: str, text: str, message: str) -> None:
    problems = check(write(tmp_path, name, text))
    assert any(message in problem for problem in problems), problems
    assert all(problem.startswith(name) for problem in problems)


def test_check_finds_no_problem_in_good_files(tmp_path: Path) -> None:
    assert check(write(tmp_path, "experience.csv", COUNTED + RETENTION)) == []
    assert check(write(tmp_path, "confirmed.csv", SIGNED + "bar_height,2,2,4,Dr. A,2026-11-20\n")) == []


def find_figures(*keys: str) -> list[Figure]:
    evidence = data_folder.load_user_practice(today=TODAY).evidence
    return [evidence.get(key) for key in keys]


def test_a_kept_sign_off_is_read_and_added_to_what_was_there(practice_folder: Path) -> None:
    own.keep_confirmations(find_figures("bar_height", "bar_screw"), "Dr. A", today=TODAY)
    own.keep_confirmations(find_figures("denture_base", "bar_screw"), "Dr. B", today=TODAY)
    said = [figure.confirmed_by for figure in find_figures("bar_height", "bar_screw", "denture_base")]
    assert said == ["Dr. A", "Dr. B", "Dr. B"]
    assert (practice_folder / "confirmed.csv").read_text(encoding="utf-8").count("\n") == 4


def test_a_number_that_changed_since_it_was_shown_is_not_confirmed(practice_folder: Path) -> None:
    shown = find_figures("bar_screw")
    write(practice_folder, "figures.csv", FIGURES + "bar_screw,Bar screw,0.01,0.02,0.08,per jaw and year,own,,own,\n")
    own.keep_confirmations(shown, "Dr. A", today=TODAY)
    (figure,) = find_figures("bar_screw")
    assert (figure.assumption, figure.lapsed) == (True, True)


def test_a_sign_off_that_cannot_be_kept_changes_nothing(practice_folder: Path) -> None:
    own.keep_confirmations(find_figures("bar_height"), "Dr. A", today=TODAY)
    before = (practice_folder / "confirmed.csv").read_bytes()
    with pytest.raises(InputError):
        own.keep_confirmations(find_figures("bar_screw"), "", today=TODAY)
    assert (practice_folder / "confirmed.csv").read_bytes() == before


def test_a_file_that_cannot_be_written_is_a_problem_and_leaves_no_half(
    practice_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(self: Path, target: Path) -> Path:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "replace", refuse)
    with refuses(r"confirmed.csv: got permission denied; expected a file that can be written"):
        own.keep_confirmations(find_figures("bar_height"), "Dr. A", today=TODAY)
    assert [path.name for path in practice_folder.iterdir()] == ["fees"]


def test_an_added_row_is_read_and_a_doubled_one_changes_nothing(practice_folder: Path) -> None:
    own.add_observation(make_row(), today=TODAY)
    own.add_observation(make_row(start=date(2024, 1, 1), end=date(2024, 12, 31)), today=TODAY)
    with refuses("which row 3 counts already"):
        own.add_observation(make_row(start=date(2024, 6, 1), end=date(2024, 7, 1)), today=TODAY)
    assert len(data_folder.load_user_practice(today=TODAY).experience) == 2
    assert (practice_folder / "experience.csv").read_text(encoding="utf-8").startswith(COUNTED)


def test_a_row_without_years_at_risk_is_not_added(practice_folder: Path) -> None:
    with refuses("years above 0"):
        own.add_observation(make_row(years_at_risk=Decimal(0), events=0), today=TODAY)
    assert not (practice_folder / "experience.csv").exists()


def test_a_log_that_is_replaced_stays_as_a_copy(practice_folder: Path) -> None:
    for events in (1, 2, 3):
        own.replace_experience([make_row(events=events)], today=TODAY)
    assert data_folder.load_user_practice(today=TODAY).experience[0].events == 3
    assert [path.name for path in sorted((practice_folder / "earlier").iterdir())] == [
        "experience_2026-11-25_001.csv",
        "experience_2026-11-25_002.csv",
    ]


def test_what_is_exported_is_the_file_and_has_no_column_for_a_name(practice_folder: Path) -> None:
    own.add_observation(make_row(), today=TODAY)
    text = own.write_experience_text(data_folder.load_user_practice(today=TODAY), today=TODAY)
    assert text == (practice_folder / "experience.csv").read_text(encoding="utf-8")
    assert "name" not in text.splitlines()[0]
    assert "patient" not in text.splitlines()[0]
