"""Two jaws that face each other: the window of the plane, and rooms against ridge to ridge."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.estimate.clearance.chance.facing import PlaneWindow, compare_rooms, find_plane_window
from tests.rows import Row, read_rows

steps = st.integers(-40, 40).map(lambda n: Decimal(n) / 10)
jaws = st.lists(steps, min_size=1, max_size=4)


def read_margins(cell: str) -> list[Decimal]:
    return [Decimal(number) for number in cell.split(";")] if cell else []


@pytest.mark.parametrize("row", read_rows(__file__, "arch_plane.csv"), ids=lambda row: row["id"])
def test_the_window_of_a_row_is_found(row: Row) -> None:
    window = find_plane_window(read_margins(row["upper_margins_mm"]), read_margins(row["lower_margins_mm"]))
    assert window.is_open == (row["result"] == "window")
    if window.is_open:
        ends = tuple(Decimal(row[end]) if row[end] else None for end in ("from_mm", "to_mm"))
        assert (window.lowest_mm, window.highest_mm) == ends


@given(jaws, jaws)
def test_just_the_planes_inside_the_window_serve_both_jaws(upper: list[Decimal], lower: list[Decimal]) -> None:
    window = find_plane_window(upper, lower)
    assert window.lowest_mm is not None
    assert window.highest_mm is not None
    for tenth in range(-50, 51):
        shift = Decimal(tenth) / 10
        served = all(m - shift >= 0 for m in upper) and all(m + shift >= 0 for m in lower)
        assert served == (window.lowest_mm <= shift <= window.highest_mm)


@given(jaws, jaws, st.integers(0, 20).map(lambda n: Decimal(n) / 10))
def test_the_window_shrinks_as_either_jaw_loses_room(upper: list[Decimal], lower: list[Decimal], lost: Decimal) -> None:
    width = find_plane_window(upper, lower).width_mm
    assert width == min(upper) + min(lower)
    assert find_plane_window([m - lost for m in upper], lower).width_mm == width - lost
    assert find_plane_window(upper, [m - lost for m in lower]).width_mm == width - lost


def test_a_jaw_without_sites_does_not_bound_the_plane() -> None:
    window = find_plane_window([], [])
    assert window == PlaneWindow(lowest_mm=None, highest_mm=None)
    assert window.is_open


def test_rooms_of_14_and_14_cannot_both_be_where_ridge_to_ridge_is_20() -> None:
    rooms = compare_rooms([(14, 14), (15, 15)], 20, room_sd_mm=0.5, ridge_sd_mm=0.5)
    assert rooms.excess_mm == 8
    assert (rooms.contradict, rooms.fall_short) == (True, False)


@pytest.mark.parametrize(
    ("upper", "contradict", "fall_short"), [(11.73, False, False), (11.74, True, False), (8.26, False, True)]
)
def test_twice_the_error_of_all_three_lengths_is_explained(upper: float, contradict: bool, fall_short: bool) -> None:
    """2 √(2 · 0.5² + 0.5²) = 1.732 on either side of 10 + 10 = 20."""
    rooms = compare_rooms([(upper, 10)], 20, room_sd_mm=0.5, ridge_sd_mm=0.5)
    assert (rooms.contradict, rooms.fall_short) == (contradict, fall_short)


def test_the_overlap_of_incisors_excuses_as_much_more_and_never_less() -> None:
    rooms = compare_rooms([(13, 10)], 20, room_sd_mm=0.5, ridge_sd_mm=0.5, overlap_mm=1.5)
    assert not rooms.contradict
    short = compare_rooms([(8.2, 10)], 20, room_sd_mm=0.5, ridge_sd_mm=0.5, overlap_mm=1.5)
    assert short.fall_short


def test_rooms_need_a_pair_of_sites() -> None:
    with pytest.raises(ValueError, match="facing_mm"):
        compare_rooms([], 20, room_sd_mm=0.5, ridge_sd_mm=0.5)
