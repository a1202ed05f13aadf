"""A statement as plain JSON values: whole, in text where a number must not be rounded, and the same each time."""

import json
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from estimator import files
from estimator.estimate.result import CaseEstimate
from estimator.inputs.case.model import Arch
from estimator.inputs.payment.model import Adjustment, Instalments, Portion
from estimator.inputs.practice.settings import Settings
from estimator.proposal.model import Proposal
from estimator.proposal.settle import settle
from estimator.proposal.snapshot import statement_to_dict
from estimator.proposal.usual import make_usual_proposal, make_usual_terms
from tests.builders import TODAY, estimate_all, load_demo_practice, make_jaw

BAR = "connecting_bar"
SETTINGS = Settings(pay_at=("at the start", "at the trial", "at the end"), not_included=("sedation",))
PRACTICE = replace(load_demo_practice(), settings=SETTINGS)
LOWER = estimate_all(make_jaw("11.75"), practice=PRACTICE)
BOTH = estimate_all(make_jaw("12"), make_jaw("16", arch=Arch.MAXILLA, implants=6), practice=PRACTICE)
ONE_IMPLANT = estimate_all(make_jaw("11", implants=1), practice=PRACTICE)
TENTH = Adjustment(reason="courtesy", portion=Portion(percent=Decimal(10)))
MONTHLY = Instalments(key="monthly", label="monthly", number=4, first=date(2027, 1, 31))


def show(estimate: CaseEstimate = LOWER, key: str = BAR, **changes: object) -> dict[str, Any]:
    proposal: Proposal = replace(make_usual_proposal(estimate, key), **changes)  # type: ignore[arg-type]
    terms = make_usual_terms(SETTINGS.pay_at, files.load_wording())
    shown = statement_to_dict(settle(proposal, estimate, terms, today=TODAY))
    again: dict[str, Any] = json.loads(json.dumps(shown))
    assert again == shown  # plain values and nothing else
    return again


def find_bar(shown: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = next(one for one in shown["jaws"][0]["offers"] if one["key"] == BAR)
    return found


def test_money_lengths_and_weeks_are_text_and_a_name_has_its_key() -> None:
    bar = find_bar(show())
    assert (bar["price"]["total"], bar["room"]["margin_mm"]) == ("8590.00", "1.00")
    assert isinstance(bar["time"]["weeks_to_teeth"], str)
    assert bar["option"] == {"key": f"option.{BAR}.patient_name", "label": "Snap-on denture on a bar"}


def test_the_payments_of_a_way_stand_beside_the_price() -> None:
    (way,) = find_bar(show())["price"]["ways"]
    assert (way["kind"], way["total"], way["at_signing"]) == ("milestones", "8590.00", "0.00")
    assert [one["amount"] for one in way["payments"]] == ["2863.34", "2863.33", "2863.33"]


def test_days_are_iso_dates_where_the_first_is_known_and_null_where_it_is_not() -> None:
    known, unknown = show(start_on=date(2027, 3, 1)), show()
    assert find_bar(known)["time"]["visits"][0]["day"] == "2027-03-01"
    assert find_bar(unknown)["time"]["visits"][0]["day"] is None
    (way,) = find_bar(show(ways=(MONTHLY,)))["price"]["ways"]
    assert [one["due"] for one in way["payments"]] == ["2027-01-31", "2027-02-28", "2027-03-31", "2027-04-30"]


def test_what_is_chosen_tells_its_discounts_and_the_sum_of_each_line() -> None:
    chosen = show(adjustments=(TENTH,))["chosen"]
    assert [(one["reason"], one["percent"], one["change"]) for one in chosen["discounts"]] == [
        ("courtesy", "10", "-859.00")
    ]
    assert sum(Decimal(line["left"]) for line in chosen["lines"]) == Decimal(chosen["left"]) == Decimal("7731.00")


def test_while_a_jaw_is_open_nothing_is_chosen() -> None:
    shown = show(key="")
    assert (shown["decided"], shown["chosen"], shown["jaws"][0]["chosen"]) == ([], None, None)


def test_two_jaws_have_every_pair_of_offers() -> None:
    shown = show(BOTH)
    assert len(shown["together"]) == len(shown["jaws"][0]["offers"]) * len(shown["jaws"][1]["offers"])
    assert shown["together"][0]["options"][0]["arch"] == "mandible"
    assert shown["decided"] == [{"arch": "mandible", "option": BAR}, {"arch": "maxilla", "option": BAR}]


def test_what_is_not_included_names_the_choices_that_charge_it_all_the_same() -> None:
    jaw = make_jaw("12", implants_present=False, variants=("sedation",))
    (one,) = show(estimate_all(jaw, practice=PRACTICE))["exclusions"]
    assert one["variant"] == "sedation"
    assert {"arch": "mandible", "option": BAR} in one["charged_in"]


def test_an_option_that_cannot_apply_has_its_reason() -> None:
    (jaw,) = show(ONE_IMPLANT, key="")["jaws"]
    assert [(one["key"], bool(one["reason"])) for one in jaw["not_offered"]] == [(BAR, True)]


def test_what_has_to_be_asked_again_has_its_key_and_its_values() -> None:
    (told,) = show(estimate_all(make_jaw("5"), practice=PRACTICE))["limits"]
    assert told["key"] == "statement.no_room"
    assert told["values"]["jaw"] == "mandible"


def test_why_there_is_no_quote_is_told_by_code() -> None:
    late = replace(MONTHLY, set_up_fee=Decimal(99_999))
    shown = show(ways=(late,))
    assert shown["chosen"] is None
    assert [one["code"] for one in shown["problems"]] == ["way.set_up_fee"]


def test_a_way_with_interest_stands_with_all_that_has_to_be_disclosed() -> None:
    (way,) = show(ways=(replace(MONTHLY, rate_percent=Decimal(12)),))["chosen"]["ways"]
    disclosed = way["disclosure"]
    assert Decimal(disclosed["finance_charge"]) == Decimal(way["charge"]) > 0
    assert Decimal(disclosed["total_of_payments"]) == sum(Decimal(one["amount"]) for one in way["payments"])
