"""What changed between two versions, in words."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator import files
from estimator.inputs.payment.model import PayInFull, PaymentTerms
from estimator.quote.change_words import name_changed_place, say_values
from estimator.quote.changes import VALUE_KINDS, ChangeKind, ChangeSubject, QuoteChange
from estimator.quote.payment.plans import OWN_TEXTS
from estimator.quote.quote import QuoteState
from estimator.quote.versions import is_same, list_changes
from tests.unit.quote.test_quote import LINES, discount, line, make

WORDING = files.load_wording()
WAY = PayInFull(key="in_full", label="in full")


@pytest.mark.parametrize("change", [
    *(QuoteChange(kind=kind, after="x") for kind in VALUE_KINDS if kind not in (ChangeKind.LINE, ChangeKind.TEXT)),
    *(QuoteChange(kind=ChangeKind.TEXT, subject=ChangeSubject(key=key), after="x") for key in OWN_TEXTS),
])  # fmt: skip
def test_every_place_of_its_own_has_a_name(change: QuoteChange) -> None:
    name = name_changed_place(change, WORDING)
    assert name
    assert "_" not in name
    assert "{" not in name


def test_a_line_is_called_as_it_is_printed_with_its_jaw_in_plain_words() -> None:
    after = make(*LINES, replace(line("maxilla.graft", "80.00", arch="maxilla"), label="Graft"))
    [change] = [one for one in list_changes(make(), after) if one.kind is ChangeKind.LINE]
    assert name_changed_place(change, WORDING) == "Graft (upper jaw)"


def test_a_line_that_is_gone_keeps_its_name() -> None:
    [change] = [one for one in list_changes(make(), make(*LINES[:2])) if one.kind is ChangeKind.LINE]
    assert (name_changed_place(change, WORDING), change.after) == ("part", None)


def test_a_discount_and_a_way_are_called_by_their_words() -> None:
    changes = list_changes(
        make(terms=PaymentTerms()), make(terms=PaymentTerms(adjustments=(discount(5),), ways=(WAY,)))
    )
    names = [name_changed_place(change, WORDING) for change in changes]
    assert "Discount or increase: courtesy" in names
    assert "Way to pay: in full" in names


def test_amounts_and_jaws_are_shown_as_they_are_read() -> None:
    total = QuoteChange(kind=ChangeKind.TOTAL, after=Decimal("12500.00"))
    assert say_values(total, WORDING) == ("", "12,500.00")
    options = QuoteChange(kind=ChangeKind.OPTIONS, after=(("mandible", "Bar"), ("maxilla", "Full denture")))
    assert say_values(options, WORDING)[1] == "Bar (lower jaw); Full denture (upper jaw)"


def test_a_text_of_the_practice_that_changed_is_named() -> None:
    quote = make()
    other = replace(quote, texts=(replace(quote.texts[0], text="Other words."), *quote.texts[1:]))
    [change] = list_changes(quote, other)
    assert (change.after, name_changed_place(change, WORDING)) == ("Other words.", "Text: if treatment stops")


def test_who_made_it_is_no_new_content_but_a_later_last_day_is() -> None:
    quote = make()
    assert is_same(quote, replace(quote, made_by="somebody else", number="X-1", version=4, state=QuoteState.AGREED))
    assert not is_same(quote, replace(quote, valid_until=date(2027, 3, 1)))
    assert not is_same(quote, make(*LINES[:2], line("part", "200.01")))


def test_what_no_total_shows_is_content_too() -> None:
    quote = make()
    assert not is_same(quote, replace(quote, signature_required=not quote.signature_required))


def test_a_total_of_nothing_is_no_amount() -> None:
    assert say_values(QuoteChange(kind=ChangeKind.LEFT, after=Decimal("0.00")), WORDING) == ("", "0.00")
