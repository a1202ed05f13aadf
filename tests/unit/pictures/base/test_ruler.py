"""Rulers end past what they measure, and their numerals stay apart."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.pictures.base.rows import Picture, Sizes, find_misfits
from estimator.pictures.base.ruler import (
    Ruler,
    choose_numeral,
    divide_step,
    draw_marked_ruler,
    draw_ruler,
    lay_millimetres,
    lay_ruler,
    paper_scale,
    round_down,
    round_up,
)
from estimator.pictures.base.shapes import Lettering, Stroke

SIZES = Sizes()
_LARGEST = st.floats(min_value=0, max_value=50_000_000, allow_nan=False)


def _lay(largest: float, sizes: Sizes = SIZES) -> Ruler:
    return lay_ruler(largest, sizes, words="", thousands=",")


def _numerals(ruler: Ruler, sizes: Sizes = SIZES) -> list[str]:
    return [shape.text for shape in draw_ruler(ruler, sizes) if isinstance(shape, Lettering) and shape.text]


@given(largest=_LARGEST)
def test_a_ruler_ends_past_the_largest_value(largest: float) -> None:
    assert _lay(largest).span[1] > largest


@given(largest=_LARGEST, width=st.floats(min_value=200, max_value=900), wide=st.booleans())
def test_numerals_neither_touch_nor_are_cut(largest: float, width: float, wide: bool) -> None:
    sizes = Sizes(width=width, small=15 if wide else 13, wide=wide)
    ruler = _lay(largest, sizes)
    picture = Picture(shapes=tuple(draw_ruler(ruler, sizes)), span=ruler.span, height=100)
    assert find_misfits(picture, width) == ()


@given(largest=_LARGEST)
def test_there_are_two_to_eight_numerals(largest: float) -> None:
    assert 2 <= len(_numerals(_lay(largest))) <= 8


@given(largest=_LARGEST)
def test_a_numeral_step_is_one_two_or_five_times_a_power_of_ten(largest: float) -> None:
    step = _lay(largest).numeral
    assert step / 10 ** math.floor(math.log10(step) + 1e-9) in {1, 2, 5}


@given(largest=_LARGEST)
def test_every_numeral_stands_on_a_tick(largest: float) -> None:
    ruler = _lay(largest)
    ticks = {round(shape.x0, 6) for shape in draw_ruler(ruler, SIZES) if isinstance(shape, Stroke)}
    assert {round(value, 6) for value, _ in ruler.list_numerals(SIZES)} <= ticks


@pytest.mark.parametrize(
    ("largest", "numerals"),
    [
        pytest.param(3, ["0", "1", "2", "3"], id="three weeks"),
        pytest.param(16, ["0", "5", "10", "15"], id="sixteen weeks"),
        pytest.param(60, ["0", "10", "20", "30", "40", "50", "60"], id="sixty weeks"),
        pytest.param(1500, ["0", "500", "1,000", "1,500"], id="a cheap option in dollars"),
        pytest.param(16_890, ["0", "5,000", "10,000", "15,000"], id="the demo case in dollars"),
        pytest.param(5_000_000, ["0", "2,000,000", "4,000,000"], id="yen"),
    ],
)
def test_known_ranges_bear_these_numerals(largest: float, numerals: list[str]) -> None:
    assert _numerals(_lay(largest)) == numerals


def test_thousands_are_set_apart_as_the_caller_says() -> None:
    ruler = lay_ruler(16_890, SIZES, words="", thousands=" ")
    assert _numerals(ruler) == ["0", "5 000", "10 000", "15 000"]


def test_a_short_ruler_of_millimetres_bears_every_millimetre_and_ticks_each_half() -> None:
    ruler = lay_millimetres(13, SIZES, words="")
    assert (ruler.numeral, ruler.tick) == (1, 0.5)


@given(end=st.floats(min_value=2, max_value=45))
def test_millimetres_are_thinned_out_before_they_touch(end: float) -> None:
    ruler = lay_millimetres(end, SIZES, words="")
    picture = Picture(shapes=tuple(draw_ruler(ruler, SIZES)), span=ruler.span, height=100)
    assert find_misfits(picture, SIZES.width) == ()


def test_a_wide_picture_still_thins_millimetres_to_sixteen_numerals() -> None:
    assert choose_numeral(20, Sizes(width=2000), least=1, most=16) == 2


def test_a_numeral_under_a_line_is_left_out() -> None:
    ruler = lay_millimetres(13, SIZES, words="")
    texts = {shape.text for shape in draw_ruler(ruler, SIZES, without=12.0) if isinstance(shape, Lettering)}
    assert "12" not in texts
    assert "11" in texts


@pytest.mark.parametrize(("numeral", "tick"), [(1, 0.2), (2, 0.5), (5, 1), (10, 2), (20, 5), (5000, 1000)])
def test_a_numeral_step_is_divided_into_four_or_five(numeral: float, tick: float) -> None:
    assert divide_step(numeral, least=0.1) == pytest.approx(tick)


@pytest.mark.parametrize(("value", "step", "up"), [(12.1, 0.5, 12.5), (12.5, 0.5, 12.5), (17_903, 1000, 18_000)])
def test_rounding_up_goes_to_the_next_multiple(value: float, step: float, up: float) -> None:
    assert round_up(value, step) == up


@pytest.mark.parametrize(
    ("length", "scale"), [(14.35, 10), (16.51, 10), (16.6, 8), (20.7, 5), (40.0, 4), (41.3, 2.5), (66.0, 2.5)]
)
def test_paper_takes_the_largest_scale_that_fits_letter(length: float, scale: float) -> None:
    assert paper_scale((-0.25, length - 0.25), 165.1) == scale


def test_a_span_too_long_for_any_scale_is_refused() -> None:
    with pytest.raises(ValueError, match=r"66\.0 mm long or less \(got 70\.0 mm\)"):
        paper_scale((0, 70), 165.1)


@pytest.mark.parametrize(("value", "step", "down"), [(7.25, 0.5, 7.0), (7.5, 0.5, 7.5), (-1.2, 0.5, -1.5)])
def test_rounding_down_goes_to_the_last_multiple(value: float, step: float, down: float) -> None:
    assert round_down(value, step) == down


class TestFromAStart:
    def test_the_ruler_begins_and_ends_where_it_is_told(self) -> None:
        assert lay_millimetres(17, SIZES, words="", start=7).span == (7, 17)

    def test_numerals_at_the_ends_would_be_cut_and_are_left_out(self) -> None:
        assert _numerals(lay_millimetres(11, SIZES, words="", start=7)) == ["8", "9", "10"]

    def test_ticks_stand_on_half_millimetres_between_the_ends(self) -> None:
        ruler = lay_millimetres(9, SIZES, words="", start=7)
        assert [s.x0 for s in draw_ruler(ruler, SIZES) if isinstance(s, Stroke)] == [7.5, 8.0, 8.5]

    def test_ticks_of_whole_numerals_are_longer(self) -> None:
        ruler = lay_millimetres(10.5, SIZES, words="", start=7.5)
        depth = {s.x0: s.y1 - s.y0 for s in draw_ruler(ruler, SIZES) if isinstance(s, Stroke)}
        assert depth[8.0] == depth[9.0] > depth[8.5]

    def test_numerals_below_zero_have_a_true_minus(self) -> None:
        assert _numerals(lay_millimetres(2, SIZES, words="", start=-3)) == [
            "\N{MINUS SIGN}2",
            "\N{MINUS SIGN}1",
            "0",
            "1",
        ]

    @given(
        start=st.integers(-20, 60).map(lambda i: i / 2),
        length=st.integers(8, 80).map(lambda i: i / 2),
        width=st.floats(min_value=200, max_value=1200),
    )
    def test_numerals_are_apart_and_whole(self, start: float, length: float, width: float) -> None:
        sizes = Sizes(width=width)
        ruler = lay_millimetres(start + length, sizes, words="", start=start)
        picture = Picture(shapes=tuple(draw_ruler(ruler, sizes)), span=ruler.span, height=100)
        assert _numerals(ruler, sizes)
        assert find_misfits(picture, width) == ()


class TestMarked:
    RULER = lay_millimetres(17, SIZES, words="mm", start=7)

    def test_a_line_runs_right_through_the_ruler(self) -> None:
        shapes = draw_marked_ruler(self.RULER, SIZES, mark=11.5, label="room 11.50")
        [line] = [s for s in shapes if isinstance(s, Stroke) and s.width == 2.5]
        assert (line.x0, line.x1, line.y0, line.y1) == (11.5, 11.5, SIZES.small * 1.6, SIZES.head)

    def test_the_numeral_under_the_line_is_left_out(self) -> None:
        shapes = draw_marked_ruler(self.RULER, SIZES, mark=12, label="room 12.00")
        assert "12" not in {s.text for s in shapes if isinstance(s, Lettering)}

    @pytest.mark.parametrize("mark", [7.5, 9, 12, 15, 16.5])
    def test_its_label_is_neither_cut_nor_runs_into_the_words(self, mark: float) -> None:
        shapes = draw_marked_ruler(self.RULER, SIZES, mark=mark, label="room 11.50")
        picture = Picture(shapes=tuple(shapes), span=self.RULER.span, height=100)
        assert find_misfits(picture, SIZES.width) == ()
