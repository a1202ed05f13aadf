"""A practice's log of events and years at risk: what is read, and every problem at once."""

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.base.problems import InputError
from estimator.files import parse_csv
from estimator.inputs.options.model import Option, OwnCounts, Seen
from estimator.inputs.practice.experience import (
    COLUMNS,
    Observation,
    add_own_counts,
    begin_experience,
    read_experience,
    write_experience,
)
from tests.builders import TODAY, find_option, load_demo_practice
from tests.problem_builders import say_problems

OPTIONS = load_demo_practice().options
HEAD = ",".join(COLUMNS)
GOOD = "connecting_bar,retention_service,later,jaw,37.5,12,2025-01-01,2025-12-31,"


def read(*rows: str, head: str = HEAD, options: tuple[Option, ...] = OPTIONS) -> tuple[Observation, ...]:
    return read_experience(parse_csv("\n".join([head, *rows]) + "\n", "experience.csv"), options, today=TODAY)


def list_problems(*rows: str, head: str = HEAD, options: tuple[Option, ...] = OPTIONS) -> list[str]:
    with pytest.raises(InputError) as caught:
        read(*rows, head=head, options=options)
    return say_problems(caught.value.problems)


def change(column: str, value: str, row: str = GOOD) -> str:
    cells = row.split(",")
    cells[COLUMNS.index(column)] = value
    return ",".join(cells)


def find_counts(options: tuple[Option, ...], option: str, item: str) -> OwnCounts | None:
    return next(i for o in options if o.key == option for i in o.upkeep if i.key == item).own


def test_a_row_is_read() -> None:
    (row,) = read(GOOD)
    assert (row.option, row.item, row.period, row.counted_per) == (
        "connecting_bar",
        "retention_service",
        "later",
        "jaw",
    )
    assert (row.years_at_risk, row.events, row.note) == (Decimal("37.5"), 12, "")


def test_rows_of_successive_years_add_up_by_period() -> None:
    rows = read(
        GOOD,
        change("from", "2024-01-01", change("to", "2025-01-01", change("events", "3"))),
        change("period", "first_year", change("events", "1")),
    )
    own = find_counts(add_own_counts(OPTIONS, rows), "connecting_bar", "retention_service")
    assert own == OwnCounts(
        first_year=Seen(events=1, years_at_risk=Decimal("37.5")), later=Seen(events=15, years_at_risk=Decimal(75))
    )


def test_a_log_of_one_option_changes_no_other() -> None:
    options = add_own_counts(OPTIONS, read(GOOD))
    assert find_counts(options, "individual_attachments", "retention_service") is None
    assert options[0] == OPTIONS[0]


BAD = [
    (
        "an unknown option",
        "option",
        "conecting_bar",
        "column \"option\": got 'conecting_bar'; expected 'connecting_bar' perhaps",
    ),
    ("an item of another option", "item", "abutment_change", 'column "item"'),
    ("no item", "item", "", "got nothing; expected one of retention_service"),
    ("an unknown period", "period", "second_year", "expected first_year or later"),
    ("implants where jaws are counted", "counted_per", "implant", "expected jaw"),
    ("negative years", "years_at_risk", "-3", "expected years from 0 to 100000"),
    ("years in words", "years_at_risk", "many", "expected years from 0 to 100000"),
    ("absurd years", "years_at_risk", "1000000", "expected years from 0 to 100000"),
    ("negative events", "events", "-1", "expected a whole number of 0 or more"),
    ("half an event", "events", "1.5", "expected a whole number of 0 or more"),
    ("digits of another script", "events", "１２", "expected a whole number of 0 or more"),
    ("events without years", "years_at_risk", "0", "years above 0, in which the 12 of this row could happen"),
    ("an absurd rate", "events", "751", "at most 20 a year at risk"),
    ("a day to come", "to", "2026-11-26", "a day that is not after today"),
    ("an end before the beginning", "to", "2024-12-31", "a day after 2025-01-01"),
    ("no beginning", "from", "", "a date, such as 2026-11-25"),
    ("a note too long", "note", "x" * 121, "one line of at most 120 characters, without names"),
]


@pytest.mark.parametrize(("column", "value", "message"), [b[1:] for b in BAD], ids=[b[0] for b in BAD])
def test_a_bad_cell_is_refused_with_its_row(column: str, value: str, message: str) -> None:
    (problem,) = list_problems(change(column, value))
    assert problem.startswith("experience.csv, row 2, column")
    assert message in problem


def test_a_few_events_in_a_short_time_are_no_absurd_rate() -> None:
    assert read(change("years_at_risk", "0.1", change("events", "3")))


def test_a_row_that_stands_twice_is_refused() -> None:
    (problem,) = list_problems(GOOD, GOOD)
    assert 'row 3, column "from"' in problem
    assert "days outside 2025-01-01 to 2025-12-31, which row 2 counts already" in problem


def test_days_that_another_row_counts_already_are_refused_wherever_that_row_stands() -> None:
    long = change("from", "2020-01-01")
    between = change("from", "2021-01-01", change("to", "2021-06-30"))
    problems = list_problems(GOOD, between, long)
    assert [p.split(" ")[-3] for p in problems] == ["3", "2"]
    assert all("experience.csv, row 4" in p for p in problems)


def test_the_same_days_of_another_option_or_period_are_no_double_count() -> None:
    assert len(read(GOOD, change("period", "first_year"), change("option", "individual_attachments"))) == 3


def test_a_column_for_names_is_refused() -> None:
    assert any("column 'patient'" in p for p in list_problems(GOOD + ",x", head=HEAD + ",patient"))


def test_the_note_may_be_left_out() -> None:
    assert read(GOOD.removesuffix(","), head=HEAD.removesuffix(",note"))[0].note == ""


def test_all_problems_of_a_file_come_at_once() -> None:
    assert len(list_problems(change("events", "x"), change("option", "x"), "a,b,c,d,e,f,g,h,")) == 8


def test_semicolons_with_decimal_commas_are_read() -> None:
    row = GOOD.replace(",", ";").replace("37.5", "37,5")
    assert read(row, head=HEAD.replace(",", ";"))[0].years_at_risk == Decimal("37.5")


def test_events_that_the_rate_in_use_calls_impossible_are_refused() -> None:
    bar = find_option("connecting_bar")
    never = bar.change_figures(lambda f: replace(f, low=Decimal(0), value=Decimal(0), high=Decimal(0)))
    assert "the figure retention_service_later says that it never happens" in list_problems(GOOD, options=(never,))[0]


def test_what_is_written_is_read_back_as_it_was() -> None:
    rows = read(GOOD + '"front office, two chairs"', change("from", "2024-01-01", change("to", "2024-12-31")))
    assert read_experience(parse_csv(write_experience(rows), "x.csv"), OPTIONS, today=TODAY) == rows


def test_a_log_to_be_filled_in_names_everything_and_counts_nothing() -> None:
    rows = begin_experience(OPTIONS, today=TODAY)
    assert len(rows) == 2 * sum(len(option.upkeep) for option in OPTIONS)
    assert read_experience(parse_csv(write_experience(rows), "x.csv"), OPTIONS, today=TODAY) == rows
    assert add_own_counts(OPTIONS, rows) == OPTIONS


def test_a_row_may_count_what_a_row_of_zeros_left_open() -> None:
    rows = write_experience(begin_experience(OPTIONS, today=TODAY)).splitlines()
    assert read(*rows[1:], GOOD)
