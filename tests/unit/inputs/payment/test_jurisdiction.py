"""Profiles: shipped ones, a practice's own on top, and every slip named."""

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from estimator import files
from estimator.base.problems import InputError
from estimator.inputs.fees.schedule import FeeKind
from estimator.inputs.payment.jurisdiction import DocumentKind, Profile
from estimator.inputs.payment.jurisdiction_reader import is_npi, read_profile
from estimator.inputs.practice.settings import Paper
from tests.problem_builders import list_places, refuses

SHIPPED = files.load_shipped_profiles()


def read(**document: Any) -> Profile:
    return read_profile({"based_on": "united_states", **document}, file="profile.toml", known=SHIPPED)


def test_what_is_left_out_is_that_of_the_profile_below() -> None:
    assert read() == SHIPPED["united_states"]


def test_what_is_said_stands_in_its_place() -> None:
    own = read(
        paper="a4", valid_days=30, deposit_cap_percent=25, laboratory_kinds=["laboratory"], titles={"quote": "Plan"}
    )
    assert (own.paper, own.valid_days, own.deposit_cap_percent) == (Paper.A4, 30, Decimal(25))
    assert own.laboratory_kinds == (FeeKind.LABORATORY,)
    assert own.name_document(DocumentKind.QUOTE) == "Plan"
    assert own.name_document(DocumentKind.SELF_PAY) == "Good Faith Estimate"


def test_a_cap_can_be_lifted() -> None:
    capped = read(deposit_cap_percent=25, key="capped")
    lifted = read_profile({"based_on": "capped", "deposit_cap_percent": "none"}, file="p", known={"capped": capped})
    assert lifted.deposit_cap_percent is None


def test_a_text_of_the_same_key_is_replaced_and_others_are_kept() -> None:
    text = {"key": "dental_plan_members", "text": "Ours.", "source": "us", "how_sure": "own"}
    own = read(texts=[text, text | {"key": "treatment_stops"}])
    assert [(one.key, one.text) for one in own.texts] == [
        ("dental_plan_members", "Ours."),
        ("treatment_stops", "Ours."),
    ]


def test_a_tax_can_be_set_by_kind_and_is_nothing_elsewhere() -> None:
    own = read(taxes=[{"kind": "laboratory", "percent": 7}])
    assert (own.find_tax(FeeKind.LABORATORY).percent, own.find_tax(FeeKind.VISIT).percent) == (Decimal(7), Decimal(0))


def test_a_provider_that_is_not_described_goes_by_its_key() -> None:
    assert read().find_provider("surgeon").name == "surgeon"


def test_a_quote_holds_for_so_many_days() -> None:
    assert read(valid_days=30).find_last_day(date(2026, 11, 25)) == date(2026, 12, 25)


PROVIDER = {"key": "practice", "name": "P", "npi": "1234567893", "tin": "00-0000001"}
RULES = {"country": "US", "dispute_amount": 400, "source": "a rule", "how_sure": "rule"}


@pytest.mark.parametrize(
    ("document", "message"),
    [
        ({"currency": "Dollar"}, "currency: got 'Dollar'; expected a three-letter ISO 4217 code"),
        ({"deposit_cap_percent": Decimal("0.3")}, r"deposit_cap_percent: got 0.3; .*\(write 30 for 30 %\)"),
        ({"overrun_percent": 200}, "overrun_percent: got 200"),
        ({"valid_days": 0}, "valid_days: got 0; expected a whole number from 1"),
        ({"paper": "legal"}, "paper: got 'legal'"),
        ({"titles": {"quote": "Benefit estimate"}}, "titles: got 'Benefit estimate' more than once; expected three titles"),
        ({"laboratory_kinds": ["lab"]}, "laboratory_kinds: got 'lab'"),
        ({"taxes": [{"kind": "visit", "percent": 0}]}, r"taxes\[1\]\.reason: got nothing; expected why no tax is due"),
        ({"taxes": [{"kind": "visit"}]}, r"taxes\[1\]\.percent: got nothing"),
        ({"providers": [PROVIDER | {"npi": "1234567890"}]}, r"providers\[1\]\.npi: got '1234567890'; expected ten digits"),
        ({"providers": [PROVIDER | {"tin": "123"}]}, r"providers\[1\]\.tin: got '123'; expected a taxpayer number"),
        ({"self_pay": RULES | {"clock": [{"asked": "soon", "within": 1}]}}, r"self_pay\.clock\[1\]\.asked: got 'soon'"),
        ({"self_pay": {"country": "US", "source": "r", "how_sure": "rule"}}, r"self_pay\.dispute_amount: got nothing"),
        ({"texts": [{"key": "late", "text": "T", "source": "s", "how_sure": "own", "reviewed_by": "L."}]},
         r"texts\[1\]\.reviewed_by: got 'L.'; expected both reviewed_by and reviewed_on"),
        ({"valid_day": 3}, "valid_day: got an unknown field 'valid_day'; expected 'valid_days' perhaps"),
        ({"based_on": "atlantis"}, "based_on: got 'atlantis'; expected one of generic, united_states"),
    ],
)  # fmt: skip
def test_a_slip_in_a_profile_is_named(document: dict[str, Any], message: str) -> None:
    with refuses(message):
        read(**document)


def test_a_profile_that_stands_alone_says_everything() -> None:
    with pytest.raises(InputError) as raised:
        read_profile({"key": "own"}, file="p")
    places = list_places(raised.value.problems)
    assert places == [
        "name", "paper", "valid_days", "titles.quote", "titles.benefit", "titles.self_pay",
        "disclosure.free_instalments", "disclosure.source", "disclosure.how_sure",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "good"), [("1234567893", True), ("1234567894", False), ("3234567893", False), ("123456789", False)]
)
def test_the_last_digit_of_a_provider_number_checks_the_others(text: str, good: bool) -> None:
    """1234567893 is the example of the Centers for Medicare and Medicaid Services (how sure: memory)."""
    assert is_npi(text) is good


def test_a_practice_folder_without_a_profile_has_the_generic_one(tmp_path: Path) -> None:
    assert files.load_profile(tmp_path).key == "generic"


def test_a_profile_file_is_checked_by_the_command(tmp_path: Path) -> None:
    path = tmp_path / "profile.toml"
    path.write_text('based_on = "generic"\nvalid_days = 0\n', encoding="utf-8")
    [problem] = files.check_file(path, today=date(2026, 11, 25))
    assert problem.path == ("valid_days",)
