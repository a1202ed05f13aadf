"""A proposal is the case file with one table more: it is read whole or not at all, and written so that it reads again."""

import tomllib
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
import tomli_w

from estimator import files
from estimator.base.problems import InputError
from estimator.inputs.case.model import Arch
from estimator.inputs.payment.model import Milestones
from estimator.proposal.document import make_proposal_document
from estimator.proposal.model import Edition, HelpState, Proposal
from tests.builders import TODAY, case_document, load_demo_practice
from tests.problem_builders import list_places, refuses

FEES = load_demo_practice().fees
PLAN = tomllib.loads(
    files.find_plans(files.DATA / "demo")[0].read_text(encoding="utf-8"), parse_float=Decimal
)  # fmt: skip
ANSWER = {
    "plan": PLAN["key"], "reference": "T-1", "currency": "USD", "asked_on": date(2026, 11, 1),
    "answered_on": date(2026, 11, 20), "decision": "approved_in_part",
    "lines": [{"line": "examination", "plan_pays": 90}, {"line": "denture", "jaw": "mandible", "plan_pays": Decimal("0.5")}],
}  # fmt: skip
EVERYTHING: dict[str, Any] = {
    "chosen": {"mandible": "connecting_bar"},
    "start_on": date(2026, 12, 1),
    "years": 15,
    "language": "es",
    "edition": "large",
    "set_aside": ["conventional_denture"],
    "adjustments": [
        {"reason": "courtesy", "percent": 10},
        {"reason": "of one line", "amount": Decimal("20.50"), "spread": "lines", "lines": ["mandible.denture"]},
        {"reason": "in a hurry", "percent": Decimal("2.5"), "direction": "increase"},
    ],
    "ways": [
        {"key": "full", "kind": "in_full", "label": "In full", "discount_percent": 3},
        {"key": "later", "kind": "in_full", "label": "At the end", "in_advance": False, "when": "at the end"},
        {"key": "thirds", "kind": "milestones", "label": "In thirds", "deposit_amount": 100,
         "stages": [{"what": "start"}, {"what": "trial"}, {"what": "end", "due": date(2027, 3, 1)}]},
        {"key": "monthly", "kind": "instalments", "label": "Monthly", "number": 12, "first": date(2027, 1, 31),
         "rate_percent": Decimal("9.9"), "set_up_fee": 20, "interval": "two_weeks"},
    ],
    "help": {"state": "known", "plans": [PLAN], "answer": ANSWER, "counted": True},
}  # fmt: skip


def read(offer: dict[str, Any] | None = None, **changes: Any) -> Proposal:
    document = case_document(**changes) | ({} if offer is None else {"proposal": offer})
    return files.parse_proposal(document, "case.toml", today=TODAY, fees=FEES)


def test_a_case_file_without_a_proposal_is_the_case_with_nothing_chosen() -> None:
    proposal = read()
    assert proposal == Proposal(case=files.parse_case(case_document(), "case.toml", today=TODAY))
    assert "proposal" not in make_proposal_document(proposal)


def test_everything_that_is_chosen_is_read() -> None:
    proposal = read(EVERYTHING)
    assert proposal.chosen == ((Arch.MANDIBLE, "connecting_bar"),)
    assert (proposal.start_on, proposal.years, proposal.language) == (date(2026, 12, 1), 15, "es")
    assert (proposal.edition, proposal.set_aside) == (Edition.LARGE, ("conventional_denture",))
    assert [one.reason for one in proposal.adjustments] == ["courtesy", "of one line", "in a hurry"]
    assert proposal.ways is not None
    assert [way.key for way in proposal.ways] == ["full", "later", "thirds", "monthly"]
    assert (proposal.help.state, proposal.help.counted) == (HelpState.KNOWN, True)
    assert [plan.key for plan in proposal.help.plans] == [PLAN["key"]]


def test_what_is_written_is_read_again_as_the_same_proposal() -> None:
    proposal = read(EVERYTHING)
    text = tomli_w.dumps(make_proposal_document(proposal))
    again = files.parse_proposal(files.parse_toml(text, "case.toml"), "case.toml", today=TODAY, fees=FEES)
    assert again == proposal


def test_no_ways_to_pay_are_not_the_usual_ways() -> None:
    assert (read({"ways": []}).ways, read({}).ways) == ((), None)
    again = make_proposal_document(read({"ways": []}))
    assert again["proposal"] == {"ways": []}


def test_equal_parts_have_no_percent() -> None:
    [_, _, way, _] = read(EVERYTHING).ways or ()
    assert isinstance(way, Milestones)
    assert [stage.percent for stage in way.stages] == [None, None, None]


def test_the_proposal_of_a_case_is_read_without_knowing_the_currency() -> None:
    offer = {"adjustments": [{"reason": "a fils", "amount": Decimal("0.125")}]}
    document = case_document() | {"proposal": offer}
    [one] = files.parse_proposal(document, "case.toml", today=TODAY).adjustments
    assert one.portion.amount == Decimal("0.125")
    with refuses(r"proposal\.adjustments\[1\]\.amount: got 0.125"):
        read(offer)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"chosen": {"maxilla": "connecting_bar"}}, r"proposal\.chosen\.maxilla: got 'maxilla'; expected a jaw of this case, mandible"),
        ({"chosen": {"mandible": 3}}, r"proposal\.chosen\.mandible: got 3"),
        ({"years": 31}, r"proposal\.years: got 31; expected a whole number from 1 to 30"),
        ({"start_on": "soon"}, r"proposal\.start_on: got 'soon'"),
        ({"language": "xx"}, r"proposal\.language: got 'xx'"),
        ({"edition": "huge"}, r"proposal\.edition: got 'huge'"),
        ({"start": date(2026, 12, 1)}, r"proposal\.start: got an unknown field 'start'; expected 'start_on' perhaps"),
        ({"ways": [{"kind": "in_full", "key": "full"}]}, r"proposal\.ways\[1\]\.label: got nothing"),
        ({"help": {"state": "known"}}, r"proposal\.help\.plans: got 0 plans; expected a table for each plan that is known"),
        ({"help": {"state": "none", "plans": [PLAN]}}, r"proposal\.help\.plans: got 1 plans; expected none"),
        ({"help": {"state": "known", "plans": [{**PLAN, "currency": "EUR"}]}}, r"proposal\.help\.plans\[1\]\.currency: got 'EUR'"),
        ({"help": {"state": "none", "answer": {**ANSWER, "plan": 3}}}, r"proposal\.help\.answer\.plan: got 3"),
    ],
)  # fmt: skip
def test_a_slip_in_a_proposal_is_named_with_its_place(change: dict[str, Any], message: str) -> None:
    with refuses(message):
        read(change)


def test_the_problems_of_case_and_proposal_come_together() -> None:
    document = case_document(implants=99) | {"proposal": {"years": 99, "adjustments": [{"reason": ""}]}}
    with pytest.raises(InputError) as caught:
        files.parse_proposal(document, "case.toml", today=TODAY)
    places = list_places(caught.value.problems)
    assert places[0] == "jaws[1].implants"
    assert {"proposal.years", "proposal.adjustments[1].percent", "proposal.adjustments[1].reason"} <= set(places)


def test_a_proposal_knows_the_option_chosen_for_a_jaw() -> None:
    proposal = read(EVERYTHING)
    assert (proposal.find_chosen(Arch.MANDIBLE), proposal.find_chosen(Arch.MAXILLA)) == ("connecting_bar", "")
    assert replace(proposal, chosen=()).find_chosen(Arch.MANDIBLE) == ""
