"""A fee schedule: what is read, and every problem at once."""

from datetime import date
from decimal import Decimal

import pytest

from estimator.base.problems import InputError
from estimator.files import parse_csv
from estimator.inputs.fees.schedule import COLUMNS, FeeSchedule, read_fees
from tests.problem_builders import say_problems

HEAD = ",".join(COLUMNS)
GOOD = "reline,Reline,aftercare,event,480.00,180.00,30,practice,,,USD,2026-11-01,"


def read(*rows: str, head: str = HEAD) -> FeeSchedule:
    return read_fees(parse_csv("\n".join([head, *rows]) + "\n", "fees.csv"))


def list_problems(*rows: str, head: str = HEAD) -> list[str]:
    with pytest.raises(InputError) as caught:
        read(*rows, head=head)
    return say_problems(caught.value.problems)


def change(column: str, value: str, row: str = GOOD) -> str:
    cells = row.split(",")
    cells[COLUMNS.index(column)] = value
    return ",".join(cells)


def test_a_row_is_read() -> None:
    schedule = read(GOOD)
    line = schedule.get("reline")
    assert (line.fee, line.practice_cost, line.minutes, line.row) == (Decimal("480.00"), Decimal("180.00"), 30, 2)
    assert (schedule.currency, schedule.price_date, schedule.invented) == ("USD", date(2026, 11, 1), False)


def test_a_note_that_says_invented_marks_the_schedule() -> None:
    assert read(change("note", "Invented price")).invented


def test_an_aftercare_fee_may_be_a_range() -> None:
    line = read(change("fee", "400.00-600.00")).get("reline")
    assert (line.fee, line.fee_to) == (Decimal(400), Decimal(600))


BAD = [
    ("a letter O in an amount", "fee", "12O.00",
     "fees.csv, row 2, column \"fee\": got '12O.00'; expected an amount of 0 or more with at most two decimals, "
     "such as 1250.00 (there is a letter in it: O)"),
    ("a negative fee", "fee", "-3", "got '-3'; expected an amount of 0 or more"),
    ("an absurd fee", "fee", "9999999999", "expected an amount"),
    ("not a number", "fee", "NaN", "got 'NaN'"),
    ("a huge exponent", "fee", "1e9999999", "got '1e9999999'"),
    ("digits of another script", "fee", "１２", "got '１２'"),
    ("no fee", "fee", "", "got nothing"),
    ("three decimals", "fee", "1.005", "at most two decimals"),
    ("a range turned round", "fee", "600-400", "from the smaller to the larger amount"),
    ("a misspelt unit", "charged_per", "inplant", "expected one of case, jaw, implant"),
    ("a misspelt kind", "kind", "labratory", "expected one of visit, laboratory"),
    ("negative minutes", "minutes", "-30", "expected whole minutes from 0 to 600"),
    ("minutes with decimals", "minutes", "12.5", "expected whole minutes"),
    ("no key", "key", "", "expected a short name"),
    ("no label", "label", "", "expected what the line is called"),
    ("a letter in a cost", "practice_cost", "1O", "expected nothing, or an amount"),
    ("an unknown currency", "currency", "DOL", "expected a three-letter ISO 4217 code"),
    ("a date of another order", "price_date", "01.11.2026", "expected a date, such as 2026-11-01"),
]  # fmt: skip


@pytest.mark.parametrize(("column", "value", "message"), [b[1:] for b in BAD], ids=[b[0] for b in BAD])
def test_a_bad_cell_is_refused_with_row_and_column(column: str, value: str, message: str) -> None:
    problems = list_problems(change(column, value))
    assert len(problems) == 1
    assert message in problems[0]
    assert f'row 2, column "{column}"' in problems[0]


@pytest.mark.parametrize("kind", ["visit", "laboratory", "part", "surgery", "imaging"])
def test_a_fee_of_any_kind_may_be_a_range_and_counts_with_its_middle(kind: str) -> None:
    line = read(change("kind", kind, change("fee", "400.00-600.00"))).get("reline")
    assert (line.fee, line.fee_to, line.middle) == (Decimal(400), Decimal(600), Decimal(500))


def test_a_doubled_key_names_both_rows() -> None:
    (problem,) = list_problems(GOOD, GOOD)
    assert "row 3" in problem
    assert "it stands in row 2 already" in problem


def test_mixed_currencies_and_dates_name_the_row() -> None:
    other = change("price_date", "2026-12-01", change("currency", "EUR", change("key", "other")))
    assert [p.split(": ")[0] for p in list_problems(GOOD, other)] == [
        'fees.csv, row 3, column "currency"',
        'fees.csv, row 3, column "price_date"',
    ]


def test_all_problems_come_at_once_in_the_order_of_the_rows() -> None:
    rows = [change("fee", "x"), change("key", "b", change("minutes", "x")), change("key", "c", change("kind", "x"))]
    assert [p.split(",")[1] for p in list_problems(*rows)] == [" row 2", " row 3", " row 4"]


def test_a_misspelt_column_is_named_and_the_other_columns_are_still_checked() -> None:
    problems = list_problems(change("fee", "x"), head=HEAD.replace("minutes", "minuts"))
    assert any("'minutes' perhaps" in p for p in problems)
    assert any('no column "minutes"' in p for p in problems)
    assert any('column "fee"' in p for p in problems)


def test_a_heading_alone_is_refused() -> None:
    assert any("no rows" in p for p in list_problems())


def test_yen_have_no_decimals() -> None:
    row = change("currency", "JPY", change("practice_cost", "", change("fee", "48000")))
    assert read(row).get("reline").fee == 48000
    assert "no decimals" in list_problems(change("fee", "480.5", row))[0]


def test_semicolons_with_decimal_commas_are_read() -> None:
    row = GOOD.replace(",", ";").replace("480.00", "480,00").replace("180.00", "180,00")
    assert read(row, head=HEAD.replace(",", ";")).get("reline").fee == Decimal("480.00")


def test_a_thousands_separator_in_a_semicolon_file_is_refused() -> None:
    row = GOOD.replace(",", ";").replace("480.00", "1.480,00")
    assert "got '1.480,00'" in list_problems(row, head=HEAD.replace(",", ";"))[0]
