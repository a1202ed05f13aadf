"""Complete cases, one a row, that a dentist can read and extend: arch, sites, room, landmark -> verdicts and cautions.

Columns `denture`, `individual`, `bar` are verdicts; `cautions` are all that are raised by either overdenture. A dash is
what was not measured. The set-up is accepted in every case. Source and how sure stand in each row.
"""

import csv
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.estimate.clearance.verdict import Clearance
from estimator.inputs.case.model import (
    Arch,
    Jaw,
    Landmark,
    Measurement,
    Method,
    Site,
    default_attachments_on_bar,
    list_teeth,
)
from estimator.inputs.reference.layers import LayerKey
from tests.builders import estimate_jaw

ROWS = list(csv.DictReader((Path(__file__).parent / "clearance_cases.csv").read_text(encoding="utf-8").splitlines()))
OPTIONS = {"denture": "conventional_denture", "individual": "individual_attachments", "bar": "connecting_bar"}


def number(text: str) -> Decimal | None:
    return None if text == "-" else Decimal(text)


def make_jaw(row: dict[str, str]) -> Jaw:
    arch, implants = Arch(row["arch"]), int(row["implants"])
    rooms = row["rooms"].split() or ["-"] * implants
    right, left = list_teeth(arch)[3:7], list_teeth(arch)[9:13]
    sites, places = [], [Decimal(text) for text in row["positions"].split()]
    for index, (room, place) in enumerate(zip(rooms, places, strict=True)):
        tooth = right[index] if place >= 0 else left[index - len([p for p in places if p >= 0])]
        sites.append(
            Site(tooth=tooth, restorative_space_mm=number(room), tissue_mm=number(row["tissue"]), position_mm=place)
        )
    measurement = None
    if row["method"]:
        measurement = Measurement(
            method=Method(row["method"]), landmark=Landmark(row["landmark"]), set_up_accepted=True
        )  # fmt: skip
    return Jaw(
        arch=arch,
        implants=implants,
        implants_present=row["placed"] == "present",
        attachments_on_bar=default_attachments_on_bar(implants),
        measurement=measurement,
        sites=tuple(sites),
    )


ALONG = ("five_bars_of_bhargava", "four_eight_apart")
"""Rows whose source speaks of the room along a bar; the others speak of its height."""


def read_room(clearance: Clearance, row: dict[str, str]) -> str:
    asked = LayerKey.ALONG if row["id"] in ALONG and clearance.along else LayerKey.HEIGHT
    return replace(clearance, layers=tuple(layer for layer in clearance.layers if layer.key is asked)).verdict.value


@pytest.mark.parametrize("row", ROWS, ids=[row["id"] for row in ROWS])
def test_the_room_of_a_case(row: dict[str, str]) -> None:
    """Height, or the room along a bar: what the source speaks of; other layers have tests of their own."""
    made = estimate_jaw(make_jaw(row))
    assert {column: read_room(made[key].clearance, row) for column, key in OPTIONS.items()} == {
        column: row[column] for column in OPTIONS
    }


@pytest.mark.parametrize("row", ROWS, ids=[row["id"] for row in ROWS])
def test_the_cautions_of_a_case(row: dict[str, str]) -> None:
    made = estimate_jaw(make_jaw(row))
    raised = {c.key for key in ("individual", "bar") for c in made[OPTIONS[key]].clearance.cautions}
    assert raised == set(row["cautions"].split())


def test_each_case_names_its_source() -> None:
    assert all(row["source"] and row["how_sure"] for row in ROWS)
