"""Shipped profiles, texts of the law, and words of the quote, entry by entry."""

from datetime import timedelta

import pytest

from estimator import files
from estimator.inputs.fees.schedule import FeeKind
from estimator.inputs.payment.jurisdiction import Asked, DocumentKind, Profile
from estimator.inputs.payment.legal_texts import LegalText, read_legal_texts
from estimator.quote.discounts import ORDER, ROUNDING
from estimator.quote.payment.plans import CREDIT_TEXTS, OWN_TEXTS
from estimator.quote.quote import QuoteState
from estimator.quote.self_pay.business_days import list_holidays
from tests.builders import TODAY, load_demo_practice
from tests.problem_builders import refuses

SHIPPED = tuple(files.load_shipped_profiles().values())
DEMO = files.load_profile(files.DATA / "demo")
DISCLAIMERS = files.load_disclaimers()
WORDING = files.load_wording()
TRADE = ("overdenture", "mandible", "maxilla", "benefit class", "platform", "edentulous")


@pytest.mark.parametrize("profile", [*SHIPPED, DEMO], ids=lambda p: p.name)
def test_a_profile_has_three_titles_that_differ_and_a_last_day(profile: Profile) -> None:
    assert len({profile.name_document(kind) for kind in DocumentKind}) == 3
    assert profile.find_last_day(TODAY) > TODAY + timedelta(days=7)
    assert profile.disclosure.source


@pytest.mark.parametrize("profile", [p for p in SHIPPED if p.self_pay], ids=lambda p: p.key)
def test_self_pay_rules_name_their_source_holidays_and_every_clock(profile: Profile) -> None:
    assert profile.self_pay is not None
    assert profile.self_pay.source
    assert list_holidays(profile.self_pay.country, profile.self_pay.subdivision, [TODAY.year])
    assert {rule.asked for rule in profile.self_pay.clock} == set(Asked)
    booked = [rule.at_least_ahead for rule in profile.self_pay.clock if rule.asked is Asked.BOOKED]
    assert booked == sorted(booked, reverse=True), "the first rule that is met counts"


def test_the_demo_practice_describes_every_provider_of_its_fees_and_has_its_own_texts() -> None:
    assert {line.provider for line in load_demo_practice().fees.lines.values()} <= {p.key for p in DEMO.providers}
    assert all(DEMO.find_text(key) for key in OWN_TEXTS + CREDIT_TEXTS)
    assert all("invented" in provider.name for provider in DEMO.providers)


@pytest.mark.parametrize("text", DISCLAIMERS, ids=lambda t: t.key)
def test_a_disclaimer_has_plain_words_a_source_and_no_name_under_it_yet(text: LegalText) -> None:
    assert text.source
    assert not text.reviewed
    assert not [word for word in TRADE if word in text.text.lower()]


def test_the_four_disclaimers_and_the_one_of_the_separate_list_are_there() -> None:
    assert [text.key for text in DISCLAIMERS] == [
        "other_items", "only_an_estimate", "right_to_dispute", "not_a_contract", "separate_list",
    ]  # fmt: skip


def test_every_notice_rule_and_state_has_words() -> None:
    notices = ("discount_beside_instalments", "discount_beside_plan", "deposit_over_cap")
    missing = tuple(f"{key}_missing" for key in OWN_TEXTS + CREDIT_TEXTS)
    assert {key for key in WORDING.texts if key.startswith("quote.notices.")} == {
        f"quote.notices.{key}" for key in notices + missing
    }
    assert all(WORDING.has(f"quote.rules.{key}") for key in (ORDER, *ROUNDING.values(), "total"))
    assert all(WORDING.get(f"quote.states.{state}") == state.value.replace("_", " ") for state in QuoteState)


def test_a_legal_text_without_words_is_a_problem() -> None:
    with refuses(r"texts\[1\]\.text: got nothing; expected what is printed"):
        read_legal_texts({"texts": [{"key": "empty", "source": "s", "how_sure": "rule"}]}, file="d.toml")


def test_every_group_of_lines_has_a_name_at_the_table() -> None:
    assert all(WORDING.get(f"quote.table.{kind}") for kind in FeeKind)
