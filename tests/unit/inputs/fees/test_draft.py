"""The schedule while it is edited: rows changed, added, deleted, filtered, and checked like a file."""

from dataclasses import replace
from datetime import date

import pytest

from estimator.base.problems import InputError
from estimator.base.table import CsvRow
from estimator.inputs.fees.draft import FeeDraft, begin_draft, find_rows, put_rows
from estimator.inputs.fees.schedule import read_fees
from estimator.inputs.fees.versions import compare_versions
from tests.builders import TODAY, load_demo_practice
from tests.problem_builders import say_problems

DEMO = load_demo_practice().fees
DRAFT = begin_draft(DEMO, own=False, today=TODAY)


def edit(rows: tuple[CsvRow, ...], **cells: str) -> list[tuple[int | None, dict[str, str]]]:
    """The rows as an editor gives them back, with changes to the first."""
    return [(row.number, {**row.cells, **(cells if row is rows[0] else {})}) for row in rows]


def list_problems(draft: FeeDraft) -> list[str]:
    with pytest.raises(InputError) as caught:
        read_fees(draft.make_table())
    return say_problems(caught.value.problems)


def test_a_draft_begins_with_every_line_as_it_stands() -> None:
    assert not DRAFT.is_changed
    assert compare_versions(DEMO, read_fees(DRAFT.make_table())) == ()


def test_its_days_are_today_where_the_parent_is_the_demo() -> None:
    early = date(2026, 5, 1)
    draft = begin_draft(DEMO, own=False, today=early)
    assert (draft.price_date, draft.effective_from) == (early, early)


def test_its_days_are_never_before_those_of_a_parent_of_one_s_own() -> None:
    parent = replace(DEMO, effective_from=date(2027, 1, 1), price_date=date(2026, 12, 1))
    draft = begin_draft(parent, own=True, today=TODAY)
    assert (draft.price_date, draft.effective_from) == (date(2026, 12, 1), date(2027, 1, 1))


def test_an_edited_row_keeps_its_place_and_number() -> None:
    draft = put_rows(DRAFT, DRAFT.rows, edit(DRAFT.rows, fee="150.00"))
    assert draft.is_changed
    assert [row.number for row in draft.rows] == [row.number for row in DRAFT.rows]
    assert read_fees(draft.make_table()).get("examination").fee == 150


def test_what_the_filter_hides_is_kept() -> None:
    shown = find_rows(DRAFT, "bar remade")
    draft = put_rows(DRAFT, shown, edit(shown, fee="3000.00"))
    assert [c.line.key for c in compare_versions(DEMO, read_fees(draft.make_table()))] == ["bar_remake"]


def test_a_row_that_comes_back_without_its_number_s_row_is_deleted() -> None:
    shown = find_rows(DRAFT, "bar")
    draft = put_rows(DRAFT, shown, edit(shown)[1:])
    assert len(draft.rows) == len(DRAFT.rows) - 1
    assert shown[0] not in draft.rows


def test_a_new_row_gets_the_next_number_and_is_checked_by_it() -> None:
    new = {**DRAFT.rows[0].cells, "key": "mine", "fee": "12O"}
    draft = put_rows(DRAFT, (), [(None, new)])
    assert [p.split(":")[0] for p in list_problems(draft)] == ['the table, row 71, column "fee"']


def test_a_row_begun_and_left_empty_is_no_row() -> None:
    blank = dict.fromkeys(DRAFT.rows[0].cells, "")
    draft = put_rows(DRAFT, (), [(None, blank)])
    assert not draft.is_changed
    assert compare_versions(DEMO, read_fees(draft.make_table())) == ()


def test_all_that_is_wrong_is_listed_with_row_and_column() -> None:
    rows = edit(DRAFT.rows, fee="x", kind="visits")
    rows[4] = (rows[4][0], {**rows[4][1], "minutes": "-1", "key": "examination"})
    found = [p.split(": got")[0] for p in list_problems(put_rows(DRAFT, DRAFT.rows, rows))]
    assert found == [
        'the table, row 2, column "kind"', 'the table, row 2, column "fee"',
        'the table, row 6, column "minutes"', 'the table, row 6, column "key"',
    ]  # fmt: skip


def test_another_currency_makes_decimals_it_does_not_have_a_problem() -> None:
    rows = edit(DRAFT.rows, fee="140.50")
    draft = replace(put_rows(DRAFT, DRAFT.rows, rows), currency="JPY")
    assert draft.is_changed
    assert list_problems(draft)[0].startswith(
        "the table, row 2, column \"fee\": got '140.50'; expected an amount of 0 or more with no decimals"
    )


def test_what_is_typed_like_an_escaped_formula_stays_as_typed() -> None:
    draft = put_rows(DRAFT, DRAFT.rows, edit(DRAFT.rows, note="'=1", label="=x"))
    line = read_fees(draft.make_table()).get("examination")
    assert (line.note, line.label) == ("'=1", "=x")
