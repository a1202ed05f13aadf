"""A quote put together, its versions, and there and back as plain values."""

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator import files
from estimator.estimate.clearance.verdict import Verdict
from estimator.inputs.case.model import Arch
from estimator.inputs.fees.schedule import FeeKind
from estimator.inputs.payment.jurisdiction import Profile, TaxRule
from estimator.inputs.payment.model import (
    Adjustment,
    Instalments,
    Lender,
    Milestone,
    Milestones,
    PayInFull,
    PaymentTerms,
    Portion,
    Spread,
)
from estimator.quote.change_words import say_values
from estimator.quote.changes import ChangeKind
from estimator.quote.lines import QuoteLine
from estimator.quote.quote import LineHelp, Quote, QuoteHeading, QuoteState, make_quote
from estimator.quote.snapshot import kept_to_dict, quote_to_dict, read_quote
from estimator.quote.versions import has_overrun, list_changes, revise_quote
from tests.builders import estimate_all, load_demo_practice, make_jaw
from tests.problem_builders import refuses
from tests.quote_builders import list_quote_lines

MADE = date(2026, 11, 25)
PROFILE = files.load_profile(files.DATA / "demo").settle_currency("USD")
HEADING = QuoteHeading(
    number="Q-12", reference="C-1042", made_by="front office", made_on=MADE, price_date=date(2026, 11, 1),
    creditor="Harbor Row Dental", options=(("mandible", "individual_attachments"),),
)  # fmt: skip
WAYS = (
    PayInFull(key="in_full", label="In full", when="at the start", discount=Portion(percent=Decimal(3))),
    Milestones(
        key="by_stage", label="By milestone",
        stages=(Milestone(what="surgery", percent=Decimal(40)), Milestone(what="impressions", percent=Decimal(30)),
                Milestone(what="delivery", percent=Decimal(30), due=date(2027, 6, 1))),
    ),
    Instalments(key="monthly", label="Monthly", number=12, first=date(2027, 1, 31), rate_percent=Decimal("9.9"),
                set_up_fee=Decimal(50), deposit=Portion(percent=Decimal(20))),
    Lender(key="lender", label="A lender of your choice"),
)  # fmt: skip


def line(key: str, amount: str, *, kind: FeeKind = FeeKind.VISIT, **more: Any) -> QuoteLine:
    return QuoteLine(
        key=key, label=key, kind=kind, provider="practice", quantity=1, unit_fee=Decimal(amount), amount=Decimal(amount),
        **more,
    )  # fmt: skip


LINES = (line("visit", "300.00"), line("lab", "500.00", kind=FeeKind.LABORATORY), line("part", "200.00"))


def make(*lines: QuoteLine, terms: PaymentTerms | None = None, profile: Profile = PROFILE, **more: Any) -> Quote:
    return make_quote(HEADING, lines or LINES, terms or PaymentTerms(ways=WAYS), profile, **more)


def discount(percent: int, *, reason: str = "courtesy") -> Adjustment:
    return Adjustment(reason=reason, portion=Portion(percent=Decimal(percent)), spread=Spread.LINES)


def test_what_is_left_is_amount_less_discount_write_off_and_plan() -> None:
    helped = [LineHelp(key="lab", plan_pays=Decimal("200.00"), write_off=Decimal("50.00"))]
    quote = make(terms=PaymentTerms(adjustments=(discount(10),), ways=WAYS), benefits=helped)
    assert (quote.adjusted.total_before, quote.total, quote.left) == (
        Decimal("1000.00"), Decimal("900.00"), Decimal("650.00"),
    )  # fmt: skip
    assert [way.price for way in quote.ways] == [quote.left] * 4


def test_a_quote_has_number_version_title_last_day_and_who_made_it() -> None:
    quote = make()
    assert (quote.number, quote.version, quote.title, quote.made_by) == ("Q-12", 1, "Fee quote", "front office")
    assert (quote.state, quote.valid_until) == (QuoteState.BEING_PREPARED, date(2027, 2, 23))


def test_the_texts_of_the_practice_go_with_it() -> None:
    assert [text.key for text in make().texts] == ["treatment_stops", "implant_fails"]


def test_tax_comes_on_what_is_left_after_discounts() -> None:
    taxed = replace(PROFILE, taxes=(TaxRule(kind=FeeKind.LABORATORY, percent=Decimal(7)),))
    quote = make(terms=PaymentTerms(adjustments=(discount(10),)), profile=taxed)
    assert (quote.tax, quote.total) == (Decimal("31.50"), Decimal("931.50"))


def test_laboratory_fees_can_stand_in_a_column_of_their_own() -> None:
    assert make().columns == (Decimal("1000.00"), Decimal(0))
    apart = replace(PROFILE, laboratory_kinds=(FeeKind.LABORATORY,))
    assert make(profile=apart).columns == (Decimal("500.00"), Decimal("500.00"))


def test_ranges_are_quoted_where_the_place_allows_them() -> None:
    ranged = (LINES[0], replace(LINES[1], amount_to=Decimal("620.00")), LINES[2])
    assert make(*ranged, profile=replace(PROFILE, ranges=True)).at_most == Decimal("1120.00")
    with refuses("got a range; expected ranges only where the profile allows them"):
        make(*ranged)


@pytest.mark.parametrize("wrong", [
    LineHelp(key="lab", plan_pays=Decimal(500), write_off=Decimal(1)), LineHelp(key="lab", plan_pays=Decimal(-1), write_off=Decimal(0)),
    LineHelp(key="bar", plan_pays=Decimal(1), write_off=Decimal(0)),
])  # fmt: skip
def test_help_above_its_line_or_below_nothing_or_for_no_line_is_a_problem(wrong: LineHelp) -> None:
    with refuses("quote, benefits"):
        make(benefits=[wrong])


def test_what_is_charged_once_a_case_stands_once_for_two_jaws() -> None:
    jaws = estimate_all(make_jaw(), make_jaw(arch=Arch.MAXILLA)).jaws
    chosen = [(jaw.jaw.arch, jaw.estimates[0].fees) for jaw in jaws]
    lines = list_quote_lines(chosen, load_demo_practice().fees)
    expected = sum(fees.total for _, fees in chosen) - chosen[0][1].per_case
    assert sum(one.amount for one in lines) == expected
    assert make(*lines).total == expected


def test_a_profile_for_another_currency_is_a_problem() -> None:
    with refuses("currency: got USD; expected CAD, the currency of the fee schedule"):
        PROFILE.settle_currency("CAD")


def test_a_profile_that_is_not_settled_on_a_currency_makes_no_quote() -> None:
    with pytest.raises(ValueError, match="'profile' must be settled"):
        make(profile=files.load_shipped_profiles()["generic"])


@given(
    st.lists(st.decimals(300, 5000, places=2), min_size=1, max_size=10), st.integers(1, 60), st.permutations(range(10))
)
def test_the_order_of_lines_changes_no_total_and_no_way_to_pay(
    amounts: list[Decimal], percent: int, order: list[int]
) -> None:
    terms = PaymentTerms(adjustments=(discount(percent), replace(discount(percent), spread=Spread.TOTAL)), ways=WAYS)
    lines = [line(f"l{n}", f"{amount}") for n, amount in enumerate(amounts)]
    moved = [lines[n] for n in order if n < len(lines)]
    plain, other = make(*lines, terms=terms), make(*moved, terms=terms)
    assert (plain.total, plain.left, plain.ways) == (other.total, other.left, other.ways)


def test_a_further_version_says_what_changed_and_leaves_the_one_before_alone() -> None:
    first = make()
    plain = quote_to_dict(first)
    dearer = make(LINES[0], line("lab", "540.00", kind=FeeKind.LABORATORY), line("graft", "80.00"))
    second = revise_quote(first, dearer)
    assert (first.version, second.version, quote_to_dict(first)) == (1, 2, plain)
    changed = {(change.kind, change.subject.key): change for change in second.changes}
    assert say_values(changed[ChangeKind.LINE, "lab"], files.load_wording()) == (
        "lab, 1 x 500.00 = 500.00, you pay 500.00", "lab, 1 x 540.00 = 540.00, you pay 540.00",
    )  # fmt: skip
    assert changed[ChangeKind.LINE, "part"].after is changed[ChangeKind.LINE, "graft"].before is None
    total = changed[ChangeKind.TOTAL, ""]
    assert (total.before, total.after) == (Decimal("1000.00"), Decimal("920.00"))
    assert (ChangeKind.LINE, "visit") not in changed


def test_nothing_has_changed_in_the_same_quote() -> None:
    assert list_changes(make(), make()) == ()


def test_a_changed_discount_and_a_changed_way_are_named() -> None:
    found = list_changes(make(), make(terms=PaymentTerms(adjustments=(discount(5),), ways=WAYS[:3])))
    changed = {(change.kind, change.subject.key): change for change in found}
    discounted = say_values(changed[ChangeKind.ADJUSTMENT, "1"], files.load_wording())
    assert discounted == ("", "courtesy, 5 %, -50.00")
    assert changed[ChangeKind.WAY, "lender"].after is None


@pytest.mark.parametrize("changes", [{"number": "Q-13"}, {"reference": "C-1"}, {"made_on": date(2026, 11, 24)}])
def test_another_number_case_or_an_earlier_day_is_no_further_version(changes: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match="must"):
        revise_quote(make(), replace(make(), **changes))


@pytest.mark.parametrize(("amount", "over"), [("400.00", False), ("400.01", True)])
def test_a_price_that_rose_by_more_than_the_place_allows_is_seen(amount: str, over: bool) -> None:
    """The demo practice allows 10 % of 1 000.00."""
    assert has_overrun(make(), make(line("visit", amount), *LINES[1:]), PROFILE) is over


def test_a_quote_comes_back_from_json_as_it_was() -> None:
    helped = [LineHelp(key="lab", plan_pays=Decimal("200.00"), write_off=Decimal("50.00"))]
    first = make(terms=PaymentTerms(adjustments=(discount(10),), ways=WAYS), benefits=helped)
    second = revise_quote(first, make())
    for quote in (first, second):
        assert read_quote(json.loads(json.dumps(quote_to_dict(quote)))) == quote


def test_a_kept_quote_tells_its_format_first_and_comes_back_with_and_without_it() -> None:
    quote = replace(make(), rooms=(("mandible", Verdict.DOES_NOT_FIT),))
    plain = json.loads(json.dumps(kept_to_dict(quote, proposal="reference = 'C-1'", statement={"currency": "USD"})))
    assert next(iter(plain.items())) == ("format", 3)
    assert read_quote(plain) == quote
    second = {key: value for key, value in plain.items() if key not in ("proposal", "statement")} | {"format": 2}
    assert read_quote(second) == quote
    before = {key: value for key, value in second.items() if key not in ("format", "rooms")}
    assert read_quote(before) == replace(quote, rooms=())


@pytest.mark.parametrize("later", [4, 0, "2", True])
def test_a_quote_kept_in_a_format_of_a_newer_program_is_refused_by_its_format(later: object) -> None:
    plain = {**kept_to_dict(make(), proposal="", statement={}), "format": later, "a_field_of_tomorrow": 1}
    with refuses("a newer program has kept this"):
        read_quote(plain)


def test_money_in_json_is_text() -> None:
    plain = quote_to_dict(make())
    assert plain["totals"]["left"] == plain["ways"][0]["price"] == "1000.00"
    assert [way["way"]["kind"] for way in plain["ways"]] == ["in_full", "milestones", "instalments", "lender"]


def drop_version(plain: dict[str, Any]) -> None:
    del plain["version"]


@pytest.mark.parametrize(("spoil", "message"), [
    (drop_version, "quote, version: got nothing"),
    (lambda p: p.update(versoin=1), "quote, versoin: got an unknown field; expected 'version' perhaps"),
    (lambda p: p.update(version="1"), "quote, version: got '1'"),
    (lambda p: p.update(state="signed"), "quote, state: got 'signed'"),
    (lambda p: p.update(made_on="2026-02-30"), "quote, made_on: got '2026-02-30'"),
    (lambda p: p["lines"][0].update(left="NaN"), r"lines\[1\].left: got 'NaN'; expected a number as text"),
    (lambda p: p["lines"][0].update(left="299.00"), "totals.left: got '1000.00'; expected 999.00, the sum of the lines"),
    (lambda p: p["totals"].update(sum="1"), "totals.sum: got '1'; expected no such total"),
    (lambda p: p["ways"][0]["way"].update(kind="loan"), r"ways\[1\].way.kind: got 'loan'"),
    (lambda p: p["ways"][0]["way"]["discount"].update(percent="0.8"), r"ways\[1\].way.discount: got"),
    (lambda p: p.update(lines={}), "quote, lines: got {}; expected a list"),
    (lambda p: p.update(adjusted=[]), "adjusted: got \\[\\]; expected a table"),
])  # fmt: skip
def test_json_that_was_spoiled_is_a_problem_with_its_place(
    spoil: Callable[[dict[str, Any]], None], message: str
) -> None:
    plain = json.loads(json.dumps(quote_to_dict(make())))
    spoil(plain)
    with refuses(message):
        read_quote(plain)


def test_the_upper_end_of_a_range_bears_its_discount_and_its_tax() -> None:
    # 500 to 700 of laboratory work less 10 % with 19 % of tax, and 500 less 10 %: derived by hand.
    profile = replace(PROFILE, ranges=True, taxes=(TaxRule(kind=FeeKind.LABORATORY, percent=Decimal(19)),))
    tenth = Adjustment(reason="courtesy", portion=Portion(percent=Decimal(10)))
    lines = (line("lab", "500.00", kind=FeeKind.LABORATORY, amount_to=Decimal("700.00")), line("visit", "500.00"))
    quote = make_quote(HEADING, lines, PaymentTerms(adjustments=(tenth,)), profile)
    assert (quote.left, quote.at_most) == (Decimal("985.50"), Decimal("1199.70"))
    assert read_quote(json.loads(json.dumps(quote_to_dict(quote)))) == quote


def test_what_a_range_may_come_to_is_told_after_what_the_plan_takes_off() -> None:
    # 300 and 500 to 700 and 200, less the 200 that a plan pays and the 50 written off: derived by hand.
    lines = (LINES[0], line("lab", "500.00", kind=FeeKind.LABORATORY, amount_to=Decimal("700.00")), LINES[2])
    helped = [LineHelp(key="lab", plan_pays=Decimal("200.00"), write_off=Decimal("50.00"))]
    quote = make(*lines, profile=replace(PROFILE, ranges=True), benefits=helped)
    assert (quote.left, quote.at_most) == (Decimal("750.00"), Decimal("950.00"))


def test_a_version_kept_before_the_upper_end_was_counted_still_opens() -> None:
    ranged = (LINES[0], replace(LINES[1], amount_to=Decimal("620.00")), LINES[2])
    kept = quote_to_dict(replace(make(*ranged, profile=replace(PROFILE, ranges=True)), most=None))
    del kept["most"]
    assert read_quote(kept).at_most == Decimal("1120.00")


def reword_milestone(quote: Quote) -> Quote:
    way = quote.ways[1]
    first, *rest = way.payments
    return replace(
        quote, ways=(quote.ways[0], replace(way, payments=(replace(first, what="scan"), *rest)), *quote.ways[2:])
    )


def reword_box(quote: Quote) -> Quote:
    way = quote.ways[2]
    assert way.box is not None
    box = replace(way.box, late_payment="You pay 10 more.")
    return replace(quote, ways=(*quote.ways[:2], replace(way, box=box), quote.ways[3]))


def reword_lender(quote: Quote) -> Quote:
    way = replace(quote.ways[3], way=Lender(key="lender", label="A lender of your choice", text="Ask for its terms."))
    return replace(quote, ways=(*quote.ways[:3], way))


@pytest.mark.parametrize(
    ("reword", "place"),
    [
        (reword_milestone, (ChangeKind.WAY, "by_stage")),
        (reword_box, (ChangeKind.TEXT, "late_payment")),
        (reword_lender, (ChangeKind.WAY, "lender")),
    ],
)
def test_words_of_a_way_that_are_printed_are_a_change(
    reword: Callable[[Quote], Quote], place: tuple[ChangeKind, str]
) -> None:
    quote = make(*LINES)
    assert [(change.kind, change.subject.key) for change in list_changes(quote, reword(quote))] == [place]
