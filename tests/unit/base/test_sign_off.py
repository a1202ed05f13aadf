"""A practice's sign-off of figures: what is read, and every problem at once."""

from datetime import date
from decimal import Decimal

import pytest

from estimator.base.evidence import Confirmation, Evidence, Figure, HowSure
from estimator.base.problems import InputError
from estimator.base.sign_off import COLUMNS, confirm_figures, read_confirmations, write_confirmations
from estimator.files import parse_csv
from tests.builders import TODAY
from tests.problem_builders import list_places, say_problems

HEAD = ",".join(COLUMNS)
GOOD = "bar_height,2.0,2.0,4.0,Dr. M. Okafor,2026-11-20"


def make_figure(*points: str, key: str = "bar_height", how_sure: HowSure = HowSure.MEMORY) -> Figure:
    low, value, high = (Decimal(p) for p in points or ("2", "2", "4"))
    return Figure(
        key=key, name=key, low=low, value=value, high=high, unit="mm", source="x", place="", how_sure=how_sure
    )


KNOWN = {key: make_figure(key=key) for key in ("bar_height", "denture_base")}


def read(*rows: str, head: str = HEAD) -> dict[str, Confirmation]:
    return read_confirmations(parse_csv("\n".join([head, *rows]) + "\n", "confirmed.csv"), known=KNOWN, today=TODAY)


def list_problems(*rows: str, head: str = HEAD) -> list[str]:
    with pytest.raises(InputError) as caught:
        read(*rows, head=head)
    return say_problems(caught.value.problems)


def change(column: str, value: str, row: str = GOOD) -> str:
    cells = row.split(",")
    cells[COLUMNS.index(column)] = value
    return ",".join(cells)


def confirm(figure: Figure, *rows: str) -> Figure:
    return Evidence(figures={figure.key: figure}).confirm(read(*rows)).get(figure.key)


def test_a_confirmed_figure_says_who_confirmed_it_and_is_no_assumption_any_more() -> None:
    figure = confirm(make_figure(), GOOD)
    assert not figure.assumption
    assert (figure.confirmed_by, figure.confirmed_on, figure.lapsed) == ("Dr. M. Okafor", date(2026, 11, 20), False)


@pytest.mark.parametrize(
    "points", [("1.9", "2", "4"), ("2", "2.1", "4"), ("2", "2", "4.5")], ids=["low", "value", "high"]
)
def test_a_figure_that_changed_in_any_number_is_an_assumption_again_and_says_that_it_lapsed(
    points: tuple[str, str, str],
) -> None:
    figure = confirm(make_figure(*points), GOOD)
    assert figure.assumption
    assert (figure.confirmed_by, figure.confirmed_on, figure.lapsed) == ("", None, True)


def test_zeros_at_the_end_of_a_number_change_nothing() -> None:
    assert confirm(make_figure("2.00", "2", "4.0"), change("low", "2")).confirmed_by


def test_a_practice_s_own_number_in_place_of_a_confirmed_one_waits_to_be_confirmed() -> None:
    assert confirm(make_figure("3", "3", "4", how_sure=HowSure.OWN), GOOD).assumption


def test_without_a_file_every_derived_number_stays_an_assumption() -> None:
    assert make_figure(how_sure=HowSure.DERIVED).assumption
    assert not make_figure(how_sure=HowSure.ABSTRACT).assumption


BAD = [
    ("an unknown figure", "key", "bar_hight", "'bar_height' perhaps"),
    ("no number", "value", "two", "expected a number, such as 2.25"),
    ("numbers out of order", "low", "3", "low, value and high in rising order"),
    ("no name", "confirmed_by", "", "the name of a clinician"),
    ("a formula for a name", "confirmed_by", "=1+1", "the name of a clinician"),
    ("a name too long", "confirmed_by", "a" * 61, "at most 60 characters"),
    ("a day to come", "confirmed_on", "2026-11-26", "a day that is not after today, 2026-11-25"),
    ("a day of another order", "confirmed_on", "20.11.2026", "a date, such as 2026-11-25"),
    ("a day without dashes", "confirmed_on", "20261120", "a date, such as 2026-11-25"),
    ("a day that is not in the calendar", "confirmed_on", "2026-02-30", "a date, such as 2026-11-25"),
]


@pytest.mark.parametrize(("column", "value", "message"), [b[1:] for b in BAD], ids=[b[0] for b in BAD])
def test_a_bad_cell_is_refused_with_its_row(column: str, value: str, message: str) -> None:
    (problem,) = list_problems(change(column, value))
    assert problem.startswith("confirmed.csv, row 2")
    assert message in problem


def test_a_figure_confirmed_in_two_rows_is_refused() -> None:
    assert "it stands in row 2 already" in list_problems(GOOD, GOOD)[0]


def test_a_misspelt_column_is_named() -> None:
    assert any("'confirmed_by' perhaps" in p for p in list_problems(GOOD, head=HEAD.replace("_by", "_bye")))


def test_all_problems_of_a_row_come_at_once() -> None:
    assert len(list_problems("x,a,b,c,,tomorrow")) == 6


def test_semicolons_with_decimal_commas_are_read() -> None:
    row = "bar_height;2,0;2,0;4,0;Ольга Щербакова;2026-11-20"
    assert read(row, head=HEAD.replace(",", ";"))["bar_height"].confirmed_by == "Ольга Щербакова"


def test_what_is_written_is_read_back_as_it_was() -> None:
    said = confirm_figures([make_figure("0.0017", "0.0022", "100")], '  Nguyễn  "Thị", Ánh ', today=TODAY)
    assert said["bar_height"].confirmed_by == 'Nguyễn "Thị", Ánh'
    text = write_confirmations(said)
    assert read_confirmations(parse_csv(text, "confirmed.csv"), known=KNOWN, today=TODAY) == said


def test_a_confirmation_without_name_and_figure_is_refused_for_both() -> None:
    with pytest.raises(InputError) as caught:
        confirm_figures([], " ", today=TODAY)
    assert list_places(caught.value.problems) == ["name", "figures"]
