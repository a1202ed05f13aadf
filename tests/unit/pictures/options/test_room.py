"""The picture of the room: what is drawn for each verdict, and that the ruler holds it all."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.pictures.base.rows import KeyWords, Picture, Sizes, find_misfits
from estimator.pictures.base.ruler import paper_scale
from estimator.pictures.base.shapes import Box, Lettering, Mark, Stroke
from estimator.pictures.options.room import RoomRow, draw_room

WORDS = KeyWords()
_MM = st.decimals(min_value=0, max_value=40, places=2)


def _row(least: str = "8.25", usual: str = "10.75", verdict: str | None = "fits", foot: str = "") -> RoomRow:
    return RoomRow(
        name="Connecting bar", finding="finding", foot=foot, verdict=verdict, least_mm=Decimal(least),
        usual_mm=Decimal(usual),
    )  # fmt: skip


def _draw(*rows: RoomRow, room: str | None = "11.50", sizes: Sizes | None = None, words: KeyWords = WORDS) -> Picture:
    room_mm = None if room is None else Decimal(room)
    return draw_room(rows, sizes or Sizes(), room_mm=room_mm, error_mm=Decimal("0.50"), words=words)


def _boxes(picture: Picture, fill: str | None = None) -> list[Box]:
    return [s for s in picture.shapes if isinstance(s, Box) and s.fill == fill]


def _texts(picture: Picture) -> list[str]:
    return [s.text for s in picture.shapes if isinstance(s, Lettering)]


@given(room=_MM, error=st.decimals(min_value=0, max_value=3, places=2), least=_MM, more=_MM)
def test_the_ruler_holds_every_stack_and_the_room_with_its_error(
    room: Decimal, error: Decimal, least: Decimal, more: Decimal
) -> None:
    row = RoomRow(name="Bar", finding="", verdict="tight", least_mm=least, usual_mm=least + more)
    picture = draw_room((row,), Sizes(), room_mm=room, error_mm=error, words=WORDS)
    assert picture.span[0] < 0
    assert picture.span[1] > max(room + error, least + more)


@given(room=_MM, least=_MM, more=st.decimals(min_value=0, max_value=5, places=2), width=st.integers(280, 700))
def test_nothing_under_the_ruler_is_cut_or_overlaps(room: Decimal, least: Decimal, more: Decimal, width: int) -> None:
    row = RoomRow(name="Bar", finding="", verdict="tight", least_mm=least, usual_mm=least + more)
    picture = draw_room((row,), Sizes(), room_mm=room, error_mm=Decimal("0.5"), words=WORDS)
    assert find_misfits(picture, width) == ()


def test_the_ruler_starts_before_zero_so_that_its_numeral_is_whole() -> None:
    assert _draw(_row()).span == pytest.approx((-0.325, 13.0))


@given(room=st.decimals(min_value=0, max_value="8.24", places=2))
def test_a_stack_that_does_not_fit_sticks_out_past_the_room_line(room: Decimal) -> None:
    picture = _draw(_row(verdict="does_not_fit"), room=str(room))
    assert _boxes(picture, "must")[0].x1 > float(room)


def test_a_line_crossed_by_a_stack_is_set_off_from_it() -> None:
    halos = [s for s in _draw(_row(), room="9.00").shapes if isinstance(s, Stroke) and s.colour == "paper"]
    assert [halo.x0 for halo in halos] == [9.0]


def test_a_line_past_the_stack_is_not_set_off() -> None:
    assert not [s for s in _draw(_row()).shapes if isinstance(s, Stroke) and s.colour == "paper"]


def test_the_band_of_the_error_is_dashed_and_as_wide_as_twice_the_error() -> None:
    [band] = _boxes(_draw(_row()), "pale")
    assert (band.x0, band.x1, band.dashed) == (11.0, 12.0, True)


def test_the_band_of_the_error_does_not_reach_below_zero() -> None:
    assert _boxes(_draw(_row(verdict="does_not_fit"), room="0.20"), "pale")[0].x0 == 0


def test_the_slot_ends_at_the_room() -> None:
    [slot] = [box for box in _boxes(_draw(_row())) if box.edge == "ink"]
    assert (slot.x0, slot.x1) == (0, 11.5)


class TestNotMeasured:
    def test_stacks_are_drawn(self) -> None:
        [usual] = _boxes(_draw(_row(verdict="not_measured"), room=None), "usual")
        assert usual.x1 == 10.75

    def test_there_is_no_slot_and_no_band(self) -> None:
        picture = _draw(_row(verdict="not_measured"), room=None)
        assert not [s for s in picture.shapes if isinstance(s, Box) and (s.dashed or s.edge == "ink")]

    def test_there_is_no_room_line(self) -> None:
        picture = _draw(_row(verdict="not_measured"), room=None)
        assert not [s for s in picture.shapes if isinstance(s, Stroke) and s.width == 2.5]

    def test_the_gauge_is_empty(self) -> None:
        picture = _draw(_row(verdict="not_measured"), room=None)
        assert next(s.sign for s in picture.shapes if isinstance(s, Mark)) == "not_measured"

    def test_the_key_has_only_the_stacks(self) -> None:
        picture = _draw(_row(verdict="not_measured"), room=None)
        assert len([s for s in picture.shapes if isinstance(s, Mark) and s.sign == "square"]) == 2

    def test_a_row_without_verdict_has_no_bar(self) -> None:
        picture = _draw(_row(verdict=None), room=None)
        assert len([s for s in picture.shapes if isinstance(s, Box)]) == 1


class TestWithoutVerdict:
    def test_the_room_stands_empty_and_dashed(self) -> None:
        [empty] = [box for box in _boxes(_draw(_row(verdict=None))) if box.dashed]
        assert (empty.x0, empty.x1) == (0, 11.5)

    def test_there_is_no_gauge(self) -> None:
        assert {s.sign for s in _draw(_row(verdict=None)).shapes if isinstance(s, Mark)} == {"square"}

    def test_the_finding_is_the_reason(self) -> None:
        row = RoomRow(name="Connecting bar", finding="a bar needs 2 implants or more (1)")
        assert row.finding in _texts(_draw(row))

    def test_its_stack_does_not_lengthen_the_ruler(self) -> None:
        assert _draw(_row(verdict=None, usual="30.00")).span[1] == 13.0


class TestNumbers:
    def test_least_and_usual_stand_under_the_bar(self) -> None:
        assert {"8.25", "10.75"} <= set(_texts(_draw(_row())))

    def test_equal_numbers_are_said_once(self) -> None:
        assert _texts(_draw(_row(least="10.75"))).count("10.75") == 1

    def test_a_foot_takes_their_place(self) -> None:
        assert "8.25" not in _texts(_draw(_row(foot="from 8.25 to 10.75 mm")))

    def test_a_wide_picture_has_none(self) -> None:
        assert "8.25" not in _texts(_draw(_row(), sizes=Sizes(wide=True, width=468)))

    def test_decimals_follow_the_language(self) -> None:
        assert "8,25" in _texts(_draw(_row(), words=KeyWords(decimal=",")))

    def test_a_patient_reads_no_zeros_at_the_end(self) -> None:
        assert "room 11.5 mm" in _texts(_draw(_row(), words=KeyWords(room="room {mm} mm", short_numbers=True)))

    def test_short_numbers_keep_whole_tens(self) -> None:
        assert "room 10" in _texts(_draw(_row(), room="10.00", words=KeyWords(short_numbers=True)))

    def test_the_office_reads_two_decimals(self) -> None:
        assert {"room 11.50", "error ± 0.50"} <= set(_texts(_draw(_row())))


class TestOnPaper:
    def test_a_fixed_span_has_exactly_that_length(self) -> None:
        picture = draw_room(
            (_row(),), Sizes(), room_mm=Decimal("11.5"), error_mm=Decimal("0.5"), words=WORDS, span_mm=16.5
        )
        assert picture.span[1] - picture.span[0] == pytest.approx(16.5)

    def test_a_fixed_span_that_is_too_short_is_refused(self) -> None:
        with pytest.raises(ValueError, match=r"'span_mm' must reach 12\.00 mm"):
            draw_room((_row(),), Sizes(), room_mm=Decimal("11.5"), error_mm=Decimal("0.5"), words=WORDS, span_mm=12.0)

    def test_an_ordinary_room_is_drawn_ten_to_one_on_letter(self) -> None:
        assert paper_scale(_draw(_row()).span, 165.1) == 10

    @given(room=_MM)
    def test_every_room_a_case_can_hold_has_a_scale(self, room: Decimal) -> None:
        assert paper_scale(_draw(_row(), room=str(room)).span, 165.1) >= 2.5

    @given(room=_MM, small=st.sampled_from([12, 15]))
    def test_nothing_is_cut_at_its_true_width_on_paper(self, room: Decimal, small: float) -> None:
        plain = _draw(_row(), room=str(room), sizes=Sizes(small=small, wide=True, width=468))
        length = plain.span[1] - plain.span[0]
        width = length * paper_scale(plain.span, 165.1) * 72 / 25.4
        picture = _draw(_row(), room=str(room), sizes=Sizes(small=small, body=small + 2, wide=True, width=width))
        assert find_misfits(picture, width) == ()
