"""The self-pay estimate: its contents, its clock, its versions."""

import json
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import holidays
import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator import files
from estimator.base.problems import InputError
from estimator.inputs.case.model import Arch, Patient
from estimator.inputs.payment.jurisdiction import Asked
from estimator.quote.self_pay.business_days import list_holidays
from estimator.quote.self_pay.good_faith_estimate import (
    Booking,
    SelfPayEstimate,
    SeparateItem,
    compare_provider_totals,
    find_due_day,
    get_rules,
    list_missing,
    make_self_pay_estimate,
    revise_self_pay,
    total_by_provider,
)
from estimator.quote.snapshot import read_self_pay, self_pay_to_dict
from estimator.sheets.export.problem_lines import write_path
from tests.builders import estimate_jaw, load_demo_practice, make_jaw
from tests.problem_builders import list_places, refuses
from tests.quote_builders import list_quote_lines

PROFILE = files.load_profile(files.DATA / "demo")
RULES = get_rules(PROFILE)
CLOSED = list_holidays("US", "", range(2026, 2029))
FEES = load_demo_practice().fees
LINES = tuple(
    replace(line, office_code="OFF-101")
    for line in list_quote_lines(
        [(Arch.MANDIBLE, estimate_jaw(make_jaw("12", implants_present=False))["individual_attachments"].fees)], FEES
    )
)
BOOKING = Booking(
    patient=Patient(name="A. Sample", born=date(1951, 5, 2)),
    primary_service="A lower denture that snaps onto implants",
    service_on=date(2026, 12, 14),
    diagnosis_codes=("OFF-D1",),
    separate=(SeparateItem(description="A new upper denture"),),
    where_to_dispute="the web page of the agency",
    phone="555 0100",
)


def make(**changes: Any) -> SelfPayEstimate:
    return make_self_pay_estimate(
        replace(BOOKING, **changes), LINES, [line.amount for line in LINES], number="G-7", issued_on=date(2026, 11, 25),
        profile=PROFILE, texts=files.load_disclaimers(), quantum=FEES.quantum,
    )  # fmt: skip


def test_a_whole_estimate_misses_nothing() -> None:
    assert list_missing(make()) == ()


def test_a_birth_after_today_and_a_service_before_it_are_problems_together() -> None:
    with pytest.raises(InputError) as raised:
        make(patient=Patient(name="A.", born=date(2026, 11, 25)), service_on=date(2026, 11, 24))
    assert list_places(raised.value.problems) == ["patient.born", "service_on"]


def test_lines_are_grouped_by_provider_and_sum_to_the_total() -> None:
    estimate = make()
    assert [group.provider.key for group in estimate.groups] == ["practice", "surgeon"]
    assert sum(len(group.items) for group in estimate.groups) == len(LINES)
    assert estimate.total == sum(line.amount for line in LINES) == sum(total_by_provider(estimate).values())


def test_every_disclaimer_of_the_rule_is_there_with_its_places_filled() -> None:
    estimate = make()
    assert [text.key for text in estimate.disclaimers] == [
        "other_items", "only_an_estimate", "right_to_dispute", "not_a_contract",
    ]  # fmt: skip
    dispute = estimate.disclaimers[2].text
    assert "at least 400.00 above" in dispute and "the web page of the agency" in dispute
    assert "555 0100" in estimate.separate_disclaimer.text


def test_the_title_is_that_of_this_document_alone() -> None:
    assert make().title == "Good Faith Estimate"


@pytest.mark.parametrize(("changes", "place"), [
    ({"patient": Patient(born=date(1951, 5, 2))}, "patient.name"), ({"patient": Patient(name="A.")}, "patient.born"),
    ({"primary_service": ""}, "primary_service"), ({"where_to_dispute": ""}, "disclaimers.right_to_dispute"),
    ({"phone": ""}, "disclaimers.separate_list"),
])  # fmt: skip
def test_a_required_element_that_is_empty_is_named(changes: dict[str, Any], place: str) -> None:
    assert [write_path(path) for path in list_missing(make(**changes))] == [place]


def test_numbers_of_a_provider_and_codes_of_an_item_are_required() -> None:
    estimate = make()
    bare = replace(estimate.groups[1], provider=replace(estimate.groups[1].provider, npi="", tin=""))
    coded = replace(estimate.groups[0].items[0], service_code="")
    first = replace(estimate.groups[0], items=(coded, *estimate.groups[0].items[1:]))
    assert list_missing(replace(estimate, groups=(first, bare))) == (
        ("groups", 1, "items", 1, "service_code"),
        ("groups", 2, "provider", "npi"),
        ("groups", 2, "provider", "tin"),
    )


def test_disclaimers_without_a_name_under_them_are_known_as_unreviewed() -> None:
    assert make().unreviewed == (
        "other_items", "only_an_estimate", "right_to_dispute", "not_a_contract", "separate_list",
    )  # fmt: skip


def test_the_practice_text_stands_in_the_place_of_the_shipped_one() -> None:
    own = replace(
        files.load_disclaimers()[3], text="Not a contract.", reviewed_by="L. Counsel", reviewed_on=date(2026, 1, 5)
    )
    estimate = make_self_pay_estimate(
        BOOKING, LINES, [line.amount for line in LINES], number="G-7", issued_on=date(2026, 11, 25),
        profile=replace(PROFILE, texts=(*PROFILE.texts, own)), texts=files.load_disclaimers(), quantum=FEES.quantum,
    )  # fmt: skip
    assert estimate.disclaimers[3].text == "Not a contract."
    assert "not_a_contract" not in estimate.unreviewed


def test_a_place_without_self_pay_rules_makes_none() -> None:
    with pytest.raises(ValueError, match="'profile' must have self-pay rules"):
        get_rules(files.load_shipped_profiles()["generic"])


@pytest.mark.parametrize(
    ("asked", "asked_on", "service_on", "due"),
    [
        (Asked.BOOKED, "2026-11-25", "2026-12-14", "2026-12-01"),  # over Thanksgiving and a weekend
        (Asked.BOOKED, "2026-12-01", "2026-12-04", "2026-12-02"),
        (Asked.BOOKED, "2026-12-01", "2026-12-15", "2026-12-04"),  # ten business days ahead
        (Asked.BOOKED, "2026-12-01", "2026-12-14", "2026-12-02"),  # nine
        (Asked.BOOKED, "2026-12-02", "2026-12-04", None),  # two
        (Asked.ON_REQUEST, "2026-12-23", None, "2026-12-29"),
        (Asked.SCOPE_CHANGED, "2026-11-20", "2026-11-27", "2026-11-25"),
    ],
)
def test_the_clock_runs_in_business_days(asked: Asked, asked_on: str, service_on: str | None, due: str | None) -> None:
    day = date.fromisoformat(service_on) if service_on else None
    found = find_due_day(RULES.clock, asked, asked_on=date.fromisoformat(asked_on), service_on=day, closed=CLOSED)
    assert found == (date.fromisoformat(due) if due else None)


@given(st.dates(date(2026, 1, 5), date(2027, 12, 1)), st.integers(0, 40))
def test_the_clock_agrees_with_working_days_counted_by_the_holidays_library(asked_on: date, ahead: int) -> None:
    service_on, oracle = asked_on + timedelta(days=ahead), holidays.country_holidays("US")
    between = sum(oracle.is_working_day(asked_on + timedelta(days=n)) for n in range(1, ahead + 1))
    if not oracle.is_working_day(service_on):
        between += 1  # a service on a closed day is as far ahead as one on the next business day
    within = 3 if between >= 10 else 1 if between >= 3 else None
    found = find_due_day(RULES.clock, Asked.BOOKED, asked_on=asked_on, service_on=service_on, closed=CLOSED)
    expected = None if within is None else oracle.get_nth_working_day(asked_on, within)
    assert found == expected


def test_a_booking_without_its_day_is_refused() -> None:
    with pytest.raises(ValueError, match="'service_on' must be a day on or after 2026-11-25"):
        find_due_day(RULES.clock, Asked.BOOKED, asked_on=date(2026, 11, 25), service_on=None, closed=CLOSED)


@pytest.mark.parametrize(("billed", "disputable"), [("4949.99", False), ("4950.00", True)])
def test_a_bill_can_be_disputed_from_four_hundred_above_the_total_of_its_provider(
    billed: str, disputable: bool
) -> None:
    """4 550.00 expected: 45 CFR 149.620 (rule)."""
    [change] = compare_provider_totals(
        {"surgeon": Decimal("4550.00")}, {"surgeon": Decimal(billed)}, RULES.dispute_amount
    )
    assert change.disputable is disputable


def test_a_provider_that_was_not_there_before_had_a_total_of_nothing() -> None:
    changes = compare_provider_totals({"a": Decimal(500)}, {"b": Decimal(400)}, RULES.dispute_amount)
    assert [(c.provider, c.difference, c.disputable) for c in changes] == [
        ("a", Decimal(-500), False), ("b", Decimal(400), True),
    ]  # fmt: skip


def test_a_further_version_counts_on_and_compares_with_the_one_before() -> None:
    first = make()
    dearer = replace(first.groups[1], total=first.groups[1].total + 400)
    second, changes = revise_self_pay(first, replace(first, groups=(first.groups[0], dearer)), RULES.dispute_amount)
    assert (first.version, second.version) == (1, 2)
    assert [(change.provider, change.disputable) for change in changes] == [("practice", False), ("surgeon", True)]


@pytest.mark.parametrize("changes", [{"number": "G-8"}, {"issued_on": date(2026, 11, 24)}])
def test_another_number_or_an_earlier_day_is_no_further_version(changes: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match="must"):
        revise_self_pay(make(), replace(make(), **changes), RULES.dispute_amount)


def test_a_place_whose_holidays_are_not_known_is_a_problem() -> None:
    with refuses("profile, self_pay: got 'ZZ'; expected a country code"):
        list_holidays("ZZ", "", [2026])
    assert list_holidays("", "", [2026]) == frozenset()
    assert date(2026, 2, 16) in list_holidays("CA", "ON", [2026]), "Family Day of Ontario"


def test_an_estimate_comes_back_from_json_as_it_was() -> None:
    assert read_self_pay(json.loads(json.dumps(self_pay_to_dict(make())))) == make()
