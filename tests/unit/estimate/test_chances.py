"""A chance is refused where anything is missing that a reader needs to judge it."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from estimator.base.evidence import Figure, HowSure
from estimator.estimate.chances import list_chances, make_chance
from estimator.inputs.case.model import Arch
from estimator.inputs.reference.risk_frames import ChanceFrame, RiskUnit
from tests.builders import load_demo_practice, make_jaw

FRAME = ChanceFrame(
    key="k", figure="f", counted=RiskUnit.IMPLANTS, of=100, jaws=(Arch.MANDIBLE,), years=(1, 1), group="lower_jaw"
)
FIGURE = Figure(
    key="f", name="F", low=Decimal("2.4"), value=Decimal("3.5"), high=Decimal(5), unit="of 100 implants", source="s",
    place="", how_sure=HowSure.ABSTRACT,
)  # fmt: skip
PRACTICE = load_demo_practice()


def test_a_whole_chance_is_rounded_half_up_and_says_the_rest() -> None:
    chance = make_chance(FRAME, FIGURE, Arch.MANDIBLE, sources=("s",))
    assert (chance.low, chance.count, chance.high, chance.rest) == (2, 4, 5, 96)


@pytest.mark.parametrize(("frame", "figure", "word"), [
    ({"counted": RiskUnit.PEOPLE}, {}, "of 100 people"),
    ({}, {"unit": "of 100 people"}, "of 100 implants"),
    ({"of": 1000}, {}, "of 1000 implants"),
    ({"jaws": (Arch.MAXILLA,)}, {}, "'jaw'"),
    ({"group": ""}, {}, "'group'"),
    ({"years": (0, 0)}, {}, "'years'"),
    ({}, {"low": Decimal("3.5"), "high": Decimal("3.5")}, "'range'"),
    ({}, {"source": ""}, "'source'"),
    ({}, {"source": "elsewhere"}, "'source'"),
    ({}, {"high": Decimal(101)}, "from 0 to 100"),
], ids=["implants as people", "people as implants", "another whole", "the other jaw", "no group", "no years", "no range",
        "no source", "an unknown source", "more than the whole"])  # fmt: skip
def test_a_chance_is_refused(frame: dict[str, Any], figure: dict[str, Any], word: str) -> None:
    with pytest.raises(ValueError, match=word):
        make_chance(replace(FRAME, **frame), replace(FIGURE, **figure), Arch.MANDIBLE, sources=("s",))


@pytest.mark.parametrize(("arch", "implants", "figures"), [
    (Arch.MANDIBLE, 2, ["implants_lost_of_1000_lower", "dentures_failed_of_100"]),
    (Arch.MAXILLA, 4, ["implants_lost_of_1000_upper_four", "dentures_failed_of_100"]),
    (Arch.MAXILLA, 3, ["implants_lost_of_1000_upper_fewer", "dentures_failed_of_100"]),
])  # fmt: skip
def test_a_jaw_gets_its_own_numbers_only(arch: Arch, implants: int, figures: list[str]) -> None:
    found = list_chances(make_jaw(arch=arch, implants=implants), PRACTICE.chances, PRACTICE.evidence)
    assert [chance.figure.key for chance in found] == figures


PUBLISHED = [
    (
        "implants_lost_of_1000_lower",
        "1.7",
        "2.2",
        "2.7",
    ),  # Kern et al. 2016: 0.22 (0.17-0.27) per 100 a year (abstract)
    ("implants_lost_of_1000_upper_four", "15.6", "23.1", "34.2"),  # the same: 2.31 (1.56-3.42) (abstract)
    ("implants_lost_of_1000_upper_fewer", "54.1", "72.2", "96.4"),  # the same: 7.22 (5.41-9.64) (abstract)
    ("dentures_failed_of_100", "8", "12", "16"),  # Taylor et al.: 0.12 (0.08-0.16) at 5-6 years (abstract)
]


@pytest.mark.parametrize(("key", "low", "value", "high"), PUBLISHED)
def test_the_shipped_chances_are_those_published(key: str, low: str, value: str, high: str) -> None:
    assert PRACTICE.evidence.get(key).points == (Decimal(low), Decimal(value), Decimal(high))


@pytest.mark.parametrize("frame", PRACTICE.chances, ids=lambda frame: frame.key)
def test_every_shipped_chance_can_be_made_in_each_jaw_it_names(frame: ChanceFrame) -> None:
    for arch in frame.jaws:
        make_chance(frame, PRACTICE.evidence.get(frame.figure), arch, sources=PRACTICE.evidence.sources)
