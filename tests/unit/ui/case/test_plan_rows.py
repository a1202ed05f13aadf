"""Between the plan on the screen and the case file nothing is lost and nothing is made up."""

from decimal import Decimal
from typing import Any

import pytest

from estimator.inputs.case.model import Arch
from estimator.ui.case.plan_rows import FIRST, MORE, list_plan_rows, read_plan_rows

SITE: dict[str, Any] = {
    "tooth": "44", "restorative_space_mm": Decimal("12.00"), "tissue_mm": Decimal(2), "angle_md_deg": 3,
    "position_mm": Decimal("20.5"),
}  # fmt: skip
POINT: dict[str, Any] = {"tooth": "44", "x_mm": Decimal("18.25"), "y_mm": Decimal(12)}


@pytest.mark.parametrize("site", [SITE, POINT, {"tooth": "34"}], ids=["a place along", "a point", "only a tooth"])
def test_a_site_that_was_only_looked_at_is_the_same_site(site: dict[str, Any]) -> None:
    assert read_plan_rows(list_plan_rows([site], (*FIRST, *MORE)), known=[site], arch=Arch.MANDIBLE) == [site]


def test_a_number_is_kept_as_it_was_typed() -> None:
    [site] = read_plan_rows([{"tooth": "44", "tissue_mm": 2.75}], known=[SITE], arch=Arch.MANDIBLE)
    assert site == SITE | {"tissue_mm": Decimal("2.75")}


def test_a_field_that_was_emptied_is_not_in_the_site() -> None:
    [site] = read_plan_rows([{"tooth": "44", "angle_md_deg": None}], known=[SITE], arch=Arch.MANDIBLE)
    assert "angle_md_deg" not in site


def test_what_a_row_does_not_ask_for_stays_as_it_was() -> None:
    fewer = list_plan_rows([SITE], MORE)
    [site] = read_plan_rows(fewer, known=[SITE], arch=Arch.MANDIBLE)
    assert site["restorative_space_mm"] == Decimal("12.00")


def test_a_dot_that_was_dragged_leaves_its_point_for_a_place_along_the_strip() -> None:
    row = {"tooth": "44", "position_mm": 21.5, "x_mm": None, "y_mm": None}
    assert read_plan_rows([row], known=[POINT], arch=Arch.MANDIBLE) == [{"tooth": "44", "position_mm": Decimal("21.5")}]


def test_a_tooth_of_the_other_jaw_is_not_taken() -> None:
    [site] = read_plan_rows([{"tooth": "14"}], known=[SITE], arch=Arch.MANDIBLE)
    assert site["tooth"] == "44"
