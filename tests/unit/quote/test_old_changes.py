"""Changes that quotes kept in words, before they were values: read as values, or shown as they were written."""

from dataclasses import replace
from typing import Any

import pytest

from estimator import files
from estimator.inputs.payment.model import PaymentTerms
from estimator.quote.change_words import name_changed_place, say_values
from estimator.quote.changes import ChangeKind
from estimator.quote.old_changes import read_old_change
from estimator.quote.quote import Quote
from estimator.quote.snapshot import quote_to_dict, read_quote
from estimator.quote.versions import list_changes
from tests.unit.quote.test_quote import WAYS, discount, make

WORDING = files.load_wording()
OLD = [
    ("left", "1000.00", "920.00", ""),
    ("valid_until", "2027-02-18", "2027-02-23", ""),
    ("options", "mandible: Full denture; maxilla: A bar: ours", "mandible: A bar", ""),
    ("answered", "", "Plan A, of sorts, 2026-11-10", ""),
    ("lines.mandible.tray", "Tray, base, 2 x 80.00 = 160.00 to 1200.00, you pay 160.00", "", "Tray, base"),
    ("lines.graft", "", "Graft, 1 x 80.00 = 80.00, you pay 80.00", "Graft"),
    ("adjustments[1]", "for us, kindly, 2.5 %, -10.00", "for us, kindly, -20.00", "for us, kindly"),
    ("ways.in_full", "all at the start; 970.00 in all; 970.00 at signing", "", "all at the start"),
    ("ways.by_stage", "", "in parts; 900.00 in all; 100.00 at signing; surgery: 400.00; end (2027-06-01): 400.00", "in parts"),
    ("ways.monthly", "in 12; 900.00 in all; 0.00 at signing; 11 x 75.00 (2027-01-31 to 2027-11-30); 1 x 75.00 (2027-12-31)", "", "in 12"),
    ("ways.lender", "a lender; 900.00 in all; 0.00 at signing; Ask; it has terms.", "", "a lender"),
    ("texts.treatment_stops", "", "You pay for what is done.", ""),
]  # fmt: skip
READ_AS = {"options": "Full denture (lower jaw); A bar: ours (upper jaw)", "left": "1,000.00"}


@pytest.mark.parametrize(("place", "before", "after", "subject"), OLD)
def test_a_change_in_words_is_read_as_values_that_say_the_same(
    place: str, before: str, after: str, subject: str
) -> None:
    change = read_old_change(place, before, after, subject)
    assert change.kind is not ChangeKind.AS_WRITTEN
    assert change.subject.label == subject
    assert say_values(change, WORDING)[0] == READ_AS.get(place, before)
    if place != "options":
        assert say_values(change, WORDING)[1] == after


@pytest.mark.parametrize(("place", "text"), [("lines.graft", "other words"), ("some.place", "x"), ("left", "much")])
def test_words_of_another_form_stay_as_they_were_written(place: str, text: str) -> None:
    change = read_old_change(place, "", text)
    assert (change.kind, say_values(change, WORDING)) == (ChangeKind.AS_WRITTEN, ("", text))
    assert name_changed_place(change, WORDING) == WORDING.get("quote.changes.other")


def test_a_version_that_was_kept_with_its_changes_in_words_is_read() -> None:
    quote = make()
    plain: dict[str, Any] = quote_to_dict(replace(quote, version=2))
    plain["changes"] = [{"place": "total", "before": "1000.00", "after": "920.00"}]
    [change] = read_quote(plain).changes
    assert say_values(change, WORDING) == ("1,000.00", "920.00")


def test_every_kind_of_change_is_kept_and_read_again() -> None:
    before, after = make(), make(terms=PaymentTerms(adjustments=(discount(5),), ways=WAYS[:3]))
    after = replace(after, options=(("mandible", "A bar"),), currency="USD", title="Another title")
    quote: Quote = replace(after, changes=list_changes(before, after))
    assert {ChangeKind.ADJUSTMENT, ChangeKind.WAY, ChangeKind.TOTAL} <= {change.kind for change in quote.changes}
    assert read_quote(quote_to_dict(quote)) == quote
