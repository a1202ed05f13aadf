"""A reserve: each implant lost in turn, and the bar that is left, as found in worked rows."""

import pytest

from estimator import files
from estimator.estimate.clearance.chance.bar import BarLengths, BarNeeds, chance_of_places, find_length_sd
from estimator.estimate.clearance.further.reserve import BarLeft, has_reserve, keep_attachments, lose_each
from estimator.estimate.clearance.geometry.curve import place_along, shape_curve
from estimator.estimate.clearance.geometry.polyline import measure_chords
from estimator.estimate.clearance.layers import find_layer_state
from estimator.inputs.case.model import Arch
from estimator.inputs.reference.layers import LayerState
from tests.rows import Row, read_numbers, read_rows

CURVES = {arch: shape_curve(usual) for arch, usual in files.load_usual_arches().items()}
LEAST = BarNeeds(first_mm=13, further_mm=11, extension_mm=11)
USUAL = BarNeeds(first_mm=14, further_mm=11, extension_mm=12)
ROOM, CLOSE, NOT_ENOUGH, NOT_MEASURED = (
    LayerState.ROOM,
    LayerState.CLOSE,
    LayerState.NOT_ENOUGH,
    LayerState.NOT_MEASURED,
)
ROWS = read_rows(__file__, "arch_reserve.csv")
BY_LENGTH = [row for row in ROWS if "number" not in row["connecting_bar"]]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
class TestRow:
    def test_the_bar_is_cut_or_spans_the_gap(self, row: Row) -> None:
        teeth = row["implants"].split(";")
        lost = next(lost for lost in lose_each(teeth) if lost.tooth == row["implant_lost"])
        assert lost.bar == row["bar_left"]
        assert lost.left == tuple(tooth for tooth in teeth if tooth != row["implant_lost"])


@pytest.mark.parametrize("row", BY_LENGTH, ids=lambda row: row["id"])
def test_what_is_left_of_the_bar_has_the_room_of_its_row(row: Row) -> None:
    """Segments of the implants left, with the attachments that stay planned and the error of implants in place."""
    along = dict(zip(row["implants"].split(";"), read_numbers(row["s_mm"]), strict=True))
    lost = next(lost for lost in lose_each(tuple(along)) if lost.tooth == row["implant_lost"])
    points = [place_along(CURVES[Arch(row["jaw"])], along[tooth]).point for tooth in lost.left]
    bar = BarLengths(chords_mm=measure_chords(points), chord_sd_mm=find_length_sd(0.25))
    planned = keep_attachments(int(row["attachments_planned"]), len(lost.left))
    usual, least = (chance_of_places(bar, planned, needs) for needs in (USUAL, LEAST))
    expected = row["connecting_bar"].split()[0]
    assert find_layer_state(usual, least, 0.80) == expected


@pytest.mark.parametrize(("planned", "left", "kept"), [(4, 5, 4), (4, 4, 4), (4, 3, 2), (3, 2, 2), (1, 3, 1)])
def test_on_fewer_than_four_implants_two_attachments_stay_planned(planned: int, left: int, kept: int) -> None:
    assert keep_attachments(planned, left) == kept


def test_one_implant_alone_leaves_nothing() -> None:
    [lost] = lose_each(["43"])
    assert (lost.left, lost.bar) == ((), BarLeft.CUT)


@pytest.mark.parametrize(
    ("after", "reserve"),
    [
        ([(ROOM, NOT_ENOUGH), (NOT_ENOUGH, CLOSE)], True),
        ([(ROOM, ROOM), (NOT_ENOUGH, NOT_ENOUGH)], False),
        ([(NOT_MEASURED, NOT_ENOUGH), (ROOM, ROOM)], None),
        ([(NOT_MEASURED, CLOSE), (ROOM, ROOM)], True),
        ([(NOT_MEASURED, NOT_ENOUGH), (NOT_ENOUGH, NOT_ENOUGH)], False),
    ],
)
def test_a_jaw_has_a_reserve_if_each_loss_leaves_an_option(
    after: list[tuple[LayerState, ...]], reserve: bool | None
) -> None:
    assert has_reserve(after) is reserve
