"""Each implant lost in turn, the whole check run again on those that are left: the worked jaws, and when it is needed."""

from decimal import Decimal
from typing import Any

import pytest

from estimator.estimate.clearance.further.reserve_check import Reserve, check_reserve
from estimator.estimate.snapshot import take_snapshot
from estimator.inputs.case.model import Arch, BarCarries, Jaw, Site
from estimator.ui.clearance.further import list_losses, say_reserve
from tests.builders import estimate_all, load_demo_practice, make_case, make_jaw
from tests.rows import Row, read_rows

PRACTICE = load_demo_practice()
ROWS = read_rows(__file__, "arch_reserve.csv")
POSTS, BAR = "individual_attachments", "connecting_bar"


def make_placed(arch: Arch, places: dict[str, str], **more: Any) -> Jaw:
    """Room everywhere: height, straight implants, gum of 2 mm."""
    sites = tuple(
        Site(
            tooth=tooth, position_mm=Decimal(along), restorative_space_mm=Decimal(20), tissue_mm=Decimal(2),
            angle_md_deg=Decimal(0), angle_fl_deg=Decimal(0),
        )
        for tooth, along in places.items()
    )  # fmt: skip
    return make_jaw("20", arch=arch, implants=len(sites), sites=sites, **{"bar_carries": BarCarries.CLIP, **more})


FOUR = {"44": "20.5", "42": "7.5", "32": "-7.5", "34": "-20.5"}


def check(jaw: Jaw, **more: Any) -> Reserve:
    reserve = check_reserve(make_case(jaw, **more), jaw, PRACTICE, years=10)
    assert reserve is not None
    return reserve


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_what_is_left_of_each_option_is_that_of_its_row(row: Row) -> None:
    places = dict(zip(row["implants"].split(";"), row["s_mm"].split(";"), strict=True))
    jaw = make_placed(Arch(row["jaw"]), places, attachments_on_bar=int(row["attachments_planned"]))
    loss = next(loss for loss in check(jaw).losses if loss.lost.tooth == row["implant_lost"])
    told = {left.key: (left.state, left.headline) for left in loss.options}
    for key, cell in ((POSTS, row["individual_attachments"]), (BAR, row["connecting_bar"])):
        state, _, headline = cell.partition(" ")
        assert told[key][0] == state
        assert headline.strip("()") in ("", told[key][1])


def test_a_jaw_holds_a_reserve_where_posts_remain_each_time() -> None:
    reserve = check(make_placed(Arch.MANDIBLE, FOUR))
    assert reserve.holds is True
    assert [loss.lost.tooth for loss in reserve.losses] == list(FOUR)


def test_one_implant_alone_leaves_nothing() -> None:
    reserve = check(make_placed(Arch.MANDIBLE, {"43": "14"}))
    assert reserve.holds is False
    assert [left.key for left in reserve.losses[0].options] == [POSTS]


def test_the_extension_goes_with_the_end_implant_it_hung_on() -> None:
    """44 lost leaves 14.58 and 12.86: two clips are close on them; with 14 behind the right end they have room."""
    jaw = make_placed(Arch.MANDIBLE, FOUR, bar_extension_right_mm=Decimal(14))
    states = {loss.lost.tooth: {left.key: left.state for left in loss.options}[BAR] for loss in check(jaw).losses}
    assert (states["44"], states["34"]) == ("close", "room")


def test_the_chance_of_a_loss_within_the_years_is_that_of_the_published_rate() -> None:
    """Four lower implants for ten years at 0.0022 a year each: 0.088 expected; Kern et al. 2016 (abstract)."""
    assert check(make_placed(Arch.MANDIBLE, FOUR)).chance_needed == pytest.approx(0.084, abs=0.002)


def test_without_a_site_for_each_implant_nothing_is_said() -> None:
    jaw = make_placed(Arch.MANDIBLE, FOUR)
    assert check_reserve(make_case(jaw), make_jaw("20", implants=4, sites=jaw.sites[:3]), PRACTICE, years=10) is None
    told = take_snapshot(estimate_all(make_jaw(implants=4, sites=())))["jaws"][0]
    assert told["reserve"] is None


def test_the_json_lists_every_loss_with_every_option_left() -> None:
    told = take_snapshot(estimate_all(make_placed(Arch.MANDIBLE, FOUR)))["jaws"][0]["reserve"]
    assert told["holds"] is True
    assert [loss["lost"] for loss in told["losses"]] == list(FOUR)
    assert {left["key"] for left in told["losses"][0]["options"]} == {POSTS, BAR}


def test_the_page_says_whether_a_reserve_holds_and_shows_a_row_a_loss() -> None:
    reserve = check(make_placed(Arch.MANDIBLE, FOUR))
    assert say_reserve(reserve) == (
        "Whichever implant is lost, an option on implants remains. "
        "Chance that an implant is lost within 10 years: 8 in 100."
    )
    rows = list_losses(reserve)
    assert [row["Implant lost"] for row in rows] == list(FOUR)
    assert rows[0]["A bar"] == "cut behind the next implant"
    assert rows[1]["A bar"] == "one longer span"
