"""Builders of small cases, shared by all tests: say only what matters, the rest is an ordinary lower jaw."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from estimator import files
from estimator.estimate.clearance.verdict import Clearance, check_clearance
from estimator.estimate.result import CaseEstimate, Estimate, estimate_case
from estimator.inputs.case.model import (
    Arch,
    BarCarries,
    Case,
    Jaw,
    Landmark,
    Measurement,
    Method,
    Site,
    default_attachments_on_bar,
    list_teeth,
)
from estimator.inputs.options.model import Option
from estimator.inputs.practice.settings import Settings
from estimator.inputs.practice_bundle import Practice

TODAY = date(2026, 11, 25)
CHECKOUT = Path(__file__).resolve().parents[1]
CASTS = Measurement(method=Method.MOUNTED_CASTS, landmark=Landmark.SOFT_TISSUE_CREST, set_up_accepted=True)
TWO_WAYS = """
[[proposal.ways]]
kind = "in_full"
key = "at_once"
label = "all at once"
discount_percent = 3
[[proposal.ways]]
kind = "milestones"
key = "parts"
label = "in parts"
deposit_amount = 500
stages = [{ what = "trial", percent = 35 }, { what = "end", percent = 65, due = 2027-06-01 }]
"""
"""Ways to pay as a case file has them: with a discount, and in parts after a deposit."""


@cache
def load_demo_practice() -> Practice:
    """Shipped options and evidence with the demo fees, and 240 an hour for a chair."""
    practice = files.load_practice(fees=CHECKOUT / "demo_fees.csv")
    return replace(practice, settings=Settings(chair_cost_per_hour=Decimal(240)))


def make_sites(rooms: Iterable[str], *, arch: Arch = Arch.MANDIBLE, **more: Any) -> tuple[Site, ...]:
    """A site a room, on teeth of that arch from the patient's right, far enough apart for any bar."""
    teeth = list_teeth(arch)
    return tuple(
        Site(tooth=tooth, restorative_space_mm=Decimal(room), **{"position_mm": PLACES.get(index), **more})
        for index, (tooth, room) in enumerate(zip(teeth[3:], rooms, strict=False))
    )


PLACES = dict(enumerate(map(Decimal, ("60", "39", "21", "2.5", "-16", "-35"))))
"""Along the arch, such that a bar holds as many attachments as it has implants, if they are screwed in."""


def make_jaw(*rooms: str, implants: int = 4, arch: Arch = Arch.MANDIBLE, **more: Any) -> Jaw:
    """A jaw with `implants` present; one room is taken for every site, no room means not measured."""
    spaces = rooms * implants if len(rooms) == 1 else rooms
    known = {
        "implants_present": True,
        "attachments_on_bar": default_attachments_on_bar(implants),
        "bar_carries": BarCarries.SCREWED_IN,
        "measurement": CASTS if rooms else None,
        "sites": make_sites(spaces, arch=arch),
    }
    return Jaw(arch=arch, implants=implants, **{**known, **more})


def make_case(*jaws: Jaw, **more: Any) -> Case:
    """A case of these jaws."""
    return Case(reference="T-1", jaws=jaws, **more)


def find_option(key: str) -> Option:
    """A shipped option."""
    return next(option for option in load_demo_practice().options if option.key == key)


def check_room(jaw: Jaw, option: str) -> Clearance:
    """The room of one option alone, as an estimate finds it before it looks at the other options."""
    return check_clearance(make_case(jaw), jaw, find_option(option), load_demo_practice())


def estimate_jaw(jaw: Jaw, *, practice: Practice | None = None, years: int = 10, **more: Any) -> dict[str, Estimate]:
    """The estimates of one jaw by option key."""
    made = estimate_all(jaw, practice=practice, years=years, **more)
    return {option.key: option for option in made.jaws[0].estimates}


def estimate_all(*jaws: Jaw, practice: Practice | None = None, years: int = 10, **more: Any) -> CaseEstimate:
    """A whole case estimate."""
    if practice is None and not more:
        return _estimate_once(jaws, years)
    return estimate_case(make_case(*jaws, **more), practice or load_demo_practice(), years=years)


@cache
def _estimate_once(jaws: tuple[Jaw, ...], years: int) -> CaseEstimate:
    """An estimate never changes, so that equal jaws of the demo practice are estimated once."""
    return estimate_case(make_case(*jaws), load_demo_practice(), years=years)


def case_document(**changes: Any) -> dict[str, Any]:
    """A small case as a parsed TOML document, with changes to its only jaw."""
    jaw: dict[str, Any] = {
        "arch": "mandible", "implants": 2, "implants_present": True,
        "measurement": {"method": "mounted_casts", "landmark": "soft_tissue_crest", "set_up_accepted": True},
        "sites": [
            {"tooth": "43", "restorative_space_mm": Decimal("11.5")},
            {"tooth": "33", "restorative_space_mm": 12},
        ],
    }  # fmt: skip
    jaw.update(changes)
    return {"reference": "T-1", "jaws": [{k: v for k, v in jaw.items() if v is not None}]}
