"""The form of numbers, marks and file names."""

from dataclasses import replace
from decimal import Decimal

from estimator.proposal.numbering import (
    PaperNumber,
    group_mark,
    make_visit_id,
    mark_texts,
    name_file,
    name_version,
    number_quote,
    write_number,
    write_sheet_number,
)
from tests.unit.quote.test_quote import LINES, line, make

DRAFT = replace(make(), number="")


def test_numbers_have_one_form_each() -> None:
    assert (write_number("C-1042", 3), write_sheet_number("C-1042", 0)) == ("C-1042-Q3", "C-1042-1")
    assert name_version("C-1042-Q3", 2) == "C-1042-Q3, version 2"


def test_a_kept_quote_bears_the_number_it_was_kept_under_and_no_mark() -> None:
    kept = replace(DRAFT, number="C-1042-Q1", version=2)
    assert number_quote(kept) == PaperNumber(number="C-1042-Q1", version=2)


def test_a_draft_bears_a_mark_and_neither_number_nor_version() -> None:
    number = number_quote(DRAFT)
    assert (number.number, number.version, len(number.mark)) == ("", 0, 9)


def test_two_drafts_that_differ_by_a_cent_have_different_marks() -> None:
    other = replace(make(*LINES[:2], line("part", "200.01")), number="")
    assert other.total - DRAFT.total == Decimal("0.01")
    assert number_quote(other) != number_quote(DRAFT)


def test_the_same_draft_has_the_same_mark() -> None:
    assert number_quote(replace(make(), number="")) == number_quote(DRAFT)


def test_a_mark_is_printed_in_two_groups() -> None:
    assert group_mark("ab12cd34") == "ab12 cd34"
    assert mark_texts(("a", "b")) != mark_texts(("ab",))


def test_a_file_is_named_by_number_and_version_or_by_reference_and_mark() -> None:
    kept = PaperNumber(number="C-1042-Q1", version=2)
    assert name_file("quote", "C-1042", number=kept) == "quote_C-1042-Q1_version_2.pdf"
    assert name_file("quote", "C-1042", number=PaperNumber(mark="ab12 cd34")) == "quote_C-1042_ab12cd34.pdf"
    assert name_file("visits", "C-1042", "mandible", "bar", end="ics") == "visits_C-1042_mandible_bar.ics"


def test_an_appointment_keeps_its_identity_and_tells_nothing() -> None:
    identity = make_visit_id("C-1042", "mandible", "bar", "delivery")
    assert identity == make_visit_id("C-1042", "mandible", "bar", "delivery")
    assert "1042" not in identity
    assert identity != make_visit_id("C-1042", "maxilla", "bar", "delivery")
