"""Versions of a schedule: written and read back alike, held against each other, brought together."""

import time
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.base.money import MINOR_UNITS, get_quantum
from estimator.base.problems import InputError
from estimator.base.table import escape_formula, restore_formula
from estimator.files import parse_csv
from estimator.inputs.fees.schedule import FeeKind, FeeLine, FeeSchedule, Unit, read_fees
from estimator.inputs.fees.versions import FeeChangeKind, check_dates, compare_versions, merge_versions, write_fees
from tests.builders import load_demo_practice
from tests.problem_builders import refuses

DEMO = load_demo_practice().fees
DAY = date(2026, 12, 1)
FORMULAS = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\uff1d1+1", "'=1", "''-1"]
texts = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), max_size=12) | st.sampled_from(
    ["=1+1", "'=1", "@x", "-", "a;b,c", 'say "x"', "'"]
)


def read(text: str) -> FeeSchedule:
    return read_fees(parse_csv(text, DEMO.file))


def price(schedule: FeeSchedule, key: str, fee: str) -> FeeSchedule:
    line = replace(schedule.get(key), fee=Decimal(fee))
    return replace(schedule, lines={**schedule.lines, key: line})


def test_the_demo_schedule_is_read_back_as_it_was() -> None:
    assert read(write_fees(DEMO)) == DEMO


def test_a_day_from_which_it_is_used_is_kept_in_a_column_of_its_own() -> None:
    text = write_fees(replace(DEMO, effective_from=DAY))
    assert "price_date,effective_from,note" in text.splitlines()[0]
    assert read(text).effective_from == DAY


@pytest.mark.parametrize("text", FORMULAS)
def test_no_text_cell_of_a_file_begins_like_a_formula(text: str) -> None:
    written = write_fees(replace(DEMO, lines={"a": replace(DEMO.get("reline"), key="a", note=text)}))
    cell = parse_csv(written, "f.csv").rows[0].cells["note"]
    assert cell.startswith("'")
    assert read(written).get("a").note == text


@given(st.text())
def test_any_text_comes_back_from_its_escaped_form(text: str) -> None:
    assert restore_formula(escape_formula(text)) == text


def test_a_formula_in_a_file_is_read_as_text_and_leaves_as_text() -> None:
    schedule = read(write_fees(DEMO).replace("Jaw record", "=HYPERLINK(0)"))
    assert schedule.get("jaw_record").label == "=HYPERLINK(0)"
    assert ",'=HYPERLINK(0)," in write_fees(schedule)


@given(texts.filter(bool), texts, texts, st.integers(0, 10**7), st.sampled_from(["USD", "JPY", "KWD"]))
def test_a_line_of_any_currency_is_read_back_as_it_was(
    label: str, code: str, note: str, units: int, currency: str
) -> None:
    fee = units * get_quantum(currency)
    line = FeeLine(
        key="a", label=label, kind=FeeKind.AFTERCARE, charged_per=Unit.EVENT, fee=fee, fee_to=fee + 1,
        practice_cost=fee, minutes=5, office_code=code, note=note, row=2,
    )  # fmt: skip
    schedule = FeeSchedule(file=DEMO.file, currency=currency, price_date=DAY, lines={"a": line}, effective_from=DAY)
    assert read(write_fees(schedule)) == schedule


def test_a_file_as_a_spreadsheet_writes_it_is_read() -> None:
    """A byte-order mark is taken off by whoever decodes; carriage returns and blank rows at the end stay."""
    text = write_fees(DEMO).replace("\n", "\r\n") + ",,,,,,,,,,,,\r\n"
    assert read(text) == DEMO


def test_numbers_stay_numbers() -> None:
    row = next(row for row in parse_csv(write_fees(DEMO), "f.csv").rows if row.cells["key"] == "bar_remake")
    assert (row.cells["fee"], row.cells["practice_cost"], row.cells["minutes"]) == ("2900.00", "1400.00", "120")


@pytest.mark.parametrize(("column", "value", "message"), [
    ("effective_from", "1.12.2026", "expected a date"), ("effective_from", "2026-02-30", "expected a date"),
    ("effective_from", "20261201", "expected a date"), ("price_date", "20261201", "expected a date"),
])  # fmt: skip
def test_a_day_that_is_none_is_refused(column: str, value: str, message: str) -> None:
    text = write_fees(replace(DEMO, effective_from=DAY, price_date=date(2026, 11, 2)))
    known = {"effective_from": "2026-12-01", "price_date": "2026-11-02"}[column]
    with refuses(message):
        read(text.replace(known, value))


def test_two_days_in_one_file_name_the_row() -> None:
    text = write_fees(replace(DEMO, effective_from=DAY)).replace("2026-12-01", "2026-12-02", 1)
    with refuses('row 3, column "effective_from"'):
        read(text)


def test_equal_versions_have_no_changes() -> None:
    assert compare_versions(DEMO, DEMO) == ()


def test_a_version_differs_by_lines_added_removed_and_changed() -> None:
    after = price(DEMO, "reline", "500.00")
    lines = {k: v for k, v in after.lines.items() if k != "graft"}
    lines["mine"] = replace(DEMO.get("reline"), key="mine", label="Mine")
    changes = compare_versions(DEMO, replace(after, lines=lines))
    assert [(c.line.key, c.kind) for c in changes] == [
        ("graft", FeeChangeKind.REMOVED), ("reline", FeeChangeKind.CHANGED), ("mine", FeeChangeKind.ADDED),
    ]  # fmt: skip


def test_a_changed_line_is_kept_as_both_versions_have_it_and_names_the_columns_that_differ() -> None:
    dearer = price(DEMO, "reline", "500.00")
    (change,) = compare_versions(DEMO, dearer)
    assert (change.before, change.after) == (DEMO.get("reline"), dearer.get("reline"))
    assert change.columns == ("fee",)


def test_the_end_of_a_range_is_a_change_of_the_fee() -> None:
    line = replace(DEMO.get("reline"), fee_to=Decimal(600))
    (change,) = compare_versions(DEMO, replace(DEMO, lines={**DEMO.lines, "reline": line}))
    assert change.columns == ("fee",)


def test_a_line_that_one_version_lacks_differs_in_no_single_column() -> None:
    (change,) = compare_versions(DEMO, replace(DEMO, lines={k: v for k, v in DEMO.lines.items() if k != "graft"}))
    assert (change.before, change.after, change.columns) == (DEMO.get("graft"), None, ())


def test_the_same_amount_with_other_decimals_and_another_row_is_no_change() -> None:
    line = replace(DEMO.get("reline"), fee=Decimal("480"), row=99)
    assert compare_versions(DEMO, replace(DEMO, lines={**DEMO.lines, "reline": line})) == ()


@given(
    st.lists(st.sampled_from(sorted(DEMO.lines)), unique=True),
    st.lists(st.sampled_from(sorted(DEMO.lines)), unique=True),
)
def test_differences_name_exactly_the_lines_that_were_touched(dearer: list[str], gone: list[str]) -> None:
    after = DEMO
    for key in dearer:
        after = price(after, key, "7777.00")
    after = replace(after, lines={k: v for k, v in after.lines.items() if k not in gone})
    found = {(c.line.key, c.kind) for c in compare_versions(DEMO, after)}
    assert found == {(k, FeeChangeKind.REMOVED) for k in gone} | {
        (k, FeeChangeKind.CHANGED) for k in dearer if k not in gone
    }


@pytest.mark.parametrize(("changes", "column"), [
    ({"price_date": date(2026, 10, 31)}, "price_date"), ({"effective_from": date(2026, 11, 30)}, "effective_from"),
])  # fmt: skip
def test_a_version_dated_before_its_parent_is_a_problem(changes: dict[str, date], column: str) -> None:
    parent = replace(DEMO, effective_from=DAY)
    with refuses(f'column "{column}": got .* or later, the {column} of demo_fees.csv'):
        check_dates(replace(parent, **changes), parent)  # type: ignore[arg-type]


def test_a_version_of_the_same_days_or_of_a_parent_without_a_day_is_none() -> None:
    check_dates(replace(DEMO, effective_from=DAY), replace(DEMO, effective_from=DAY))
    check_dates(replace(DEMO, effective_from=DAY), DEMO)


def test_two_people_s_changes_are_brought_together() -> None:
    mine, theirs = price(DEMO, "reline", "500.00"), price(DEMO, "graft", "800.00")
    theirs = replace(theirs, lines={k: v for k, v in theirs.lines.items() if k != "sedation"})
    merged = merge_versions(DEMO, mine, theirs)
    assert (merged.schedule.get("reline").fee, merged.schedule.get("graft").fee) == (Decimal(500), Decimal(800))
    assert "sedation" not in merged.schedule.lines
    assert merged.both == ()


def test_where_two_people_changed_one_line_mine_stands_and_is_named() -> None:
    merged = merge_versions(DEMO, price(DEMO, "reline", "500.00"), price(DEMO, "reline", "510.00"))
    assert (merged.schedule.get("reline").fee, merged.both) == (Decimal(500), ("reline",))


def test_the_same_change_by_two_people_is_not_named() -> None:
    same = price(DEMO, "reline", "500.00")
    assert merge_versions(DEMO, same, same).both == ()


def make_large(lines: int) -> FeeSchedule:
    line = DEMO.get("reline")
    keys = [f"line_{number}" for number in range(lines)]
    return replace(DEMO, lines={k: replace(line, key=k, row=n) for n, k in enumerate(keys, 2)})


def test_five_thousand_lines_take_about_eighty_five_times_as_long_as_fifty_nine() -> None:
    """Reading, writing and comparing grow with the number of lines, not with its square."""

    def run(schedule: FeeSchedule) -> float:
        start = time.process_time()
        again = read(write_fees(schedule))
        assert compare_versions(schedule, again) == ()
        return time.process_time() - start

    few, many = min(run(make_large(59)) for _ in range(9)), min(run(make_large(5_000)) for _ in range(3))
    assert many < 3 * few * 5_000 / 59


def test_five_thousand_wrong_lines_are_all_listed() -> None:
    text = write_fees(make_large(5_000)).replace("480.00", "48O.00")
    with pytest.raises(InputError) as caught:
        read(text)
    assert len(caught.value.problems) == 5_000


def test_every_currency_has_an_example_that_it_takes() -> None:
    for currency in MINOR_UNITS:
        text = write_fees(replace(DEMO, currency=currency, lines={"reline": replace(
            DEMO.get("reline"), fee=get_quantum(currency), practice_cost=None)}))  # fmt: skip
        assert read(text).get("reline").fee == get_quantum(currency)
