"""Strips of published least heights: what is drawn for each, beside which room, and that nothing is cut."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.charts.shapes import draw_chart
from estimator.pdf.draw import draw_sheet
from estimator.pictures.base.look import DARK, GREY, LIGHT, PRINT, Colours
from estimator.pictures.base.rows import Picture, Sizes, find_misfits
from estimator.pictures.base.shapes import Box, Lettering, Mark, Stroke
from estimator.pictures.minima.strips import Strip, StripWords, describe_strips, draw_strips
from estimator.sheets.base.blocks import FigureBlock, Heading, Sheet

WORDS = StripWords()
NARROW = Sizes(width=340)
PAPER = Sizes(small=12, body=14, bar=14, wide=True, width=468)
SIZES = {"narrow": NARROW, "wide": Sizes(width=1100), "paper": PAPER, "large print": replace(PAPER, small=15, bar=18)}
LONG = "Proceedings of a conference on overdentures in the mandible, second edition 2019: landmark not stated, quoted"


def make_strip(
    low: str, high: str = "", *, sure: bool = True, met: bool | None = True, label: str = "A source", note: str = ""
) -> Strip:
    return Strip(label=label, low_mm=Decimal(low), high_mm=Decimal(high or low), sure=sure, met=met, note=note)


SEVEN = (
    make_strip("8.25", "10.75", label="The stack used here: least 8.25, usual 10.75"),
    make_strip("9", label="First book 2022: bone crest, chapter"),
    make_strip("9", "11", sure=False, label="Second paper 2019: landmark not stated, abstract"),
    make_strip("10", "13", label="Third book 2023, milled: platform, chapter"),
    make_strip("11", "12", label="Fourth paper 2001, with clip: platform, memory"),
    make_strip("12", "14", sure=False, met=False, label="Fifth review 2025, with clip: not stated, quoted"),
    make_strip("14", "16", sure=False, met=False, label="Fifth review 2025, ball on bar: not stated, quoted"),
)


def draw(
    *strips: Strip, room: str | None = "11.50", error: str = "0.50", sizes: Sizes = NARROW, words: StripWords = WORDS
) -> Picture:
    room_mm = None if room is None else Decimal(room)
    return draw_strips(strips, sizes, room_mm=room_mm, error_mm=Decimal(error), words=words)


def list_words(picture: Picture) -> list[Lettering]:
    return [shape for shape in picture.shapes if isinstance(shape, Lettering)]


def find_words(picture: Picture, text: str) -> Lettering:
    [found] = [shape for shape in list_words(picture) if shape.text == text]
    return found


def list_dots(picture: Picture) -> list[tuple[float, str | None]]:
    """Places and fills of the circles on the strips; those of the key stand off their x."""
    return [(s.x, s.fill) for s in picture.shapes if isinstance(s, Mark) and s.sign == "circle" and not s.dx]


def list_beams(picture: Picture) -> list[Box]:
    return [s for s in picture.shapes if isinstance(s, Box) and s.fill == "must"]


def list_hairlines(picture: Picture) -> list[Stroke]:
    return [s for s in picture.shapes if isinstance(s, Stroke) and s.y0 == s.y1]


def list_room_lines(picture: Picture) -> list[Stroke]:
    return [s for s in picture.shapes if isinstance(s, Stroke) and s.width == 2.5 and s.colour == "ink"]


def list_bands(picture: Picture) -> list[Box]:
    return [s for s in picture.shapes if isinstance(s, Box) and s.fill == "pale"]


class TestSure:
    def test_a_value_is_one_filled_circle(self) -> None:
        assert list_dots(draw(make_strip("9"))) == [(9, "must")]

    def test_a_value_has_no_line(self) -> None:
        assert not list_beams(draw(make_strip("9")))

    def test_a_range_is_a_filled_circle_at_its_low_end(self) -> None:
        assert list_dots(draw(make_strip("8.25", "10.75"))) == [(8.25, "must")]

    def test_a_range_is_one_thick_line_from_low_to_high(self) -> None:
        [line] = list_beams(draw(make_strip("8.25", "10.75")))
        assert (line.x0, line.x1) == (8.25, 10.75)
        assert line.y1 - line.y0 > 3


class TestNotSure:
    PICTURE = draw(make_strip("9", "11", sure=False))

    def test_both_readings_are_open_circles(self) -> None:
        assert list_dots(self.PICTURE) == [(9, "paper"), (11, "paper")]

    def test_equal_readings_are_one_open_circle(self) -> None:
        assert list_dots(draw(make_strip("9", sure=False))) == [(9, "paper")]

    def test_between_them_runs_a_thin_line_of_dashes(self) -> None:
        dashes = list_beams(self.PICTURE)
        assert len(dashes) > 3
        assert {dash.y1 - dash.y0 for dash in dashes} == {1.5}
        assert all(left.x1 < right.x0 for left, right in pairwise(dashes))

    def test_the_dashes_reach_from_one_to_the_other(self) -> None:
        dashes = list_beams(self.PICTURE)
        assert (dashes[0].x0, dashes[-1].x1) == pytest.approx((9, 11))

    def test_equal_readings_have_no_dashes(self) -> None:
        assert not list_beams(draw(make_strip("9", sure=False)))

    def test_dashes_keep_their_length_where_readings_are_near(self) -> None:
        for picture in (draw(make_strip("9", high, sure=False)) for high in ("9.5", "10", "16")):
            dash = list_beams(picture)[0]
            length = (dash.x1 - dash.x0) * NARROW.width / (picture.span[1] - picture.span[0])
            assert length == pytest.approx(4, abs=1)


class TestRoom:
    def test_it_is_an_upright_line_in_every_row(self) -> None:
        assert [(line.x0, line.x1) for line in list_room_lines(draw(*SEVEN))] == [(11.5, 11.5)] * 7

    def test_every_line_stands_in_the_dashed_band_of_its_error(self) -> None:
        bands = list_bands(draw(*SEVEN))
        assert [(band.x0, band.x1, band.edge, band.dashed) for band in bands] == [(11, 12, "line", True)] * 7

    def test_every_line_sticks_out_of_its_band(self) -> None:
        picture = draw(*SEVEN)
        for line, band in zip(list_room_lines(picture), list_bands(picture), strict=True):
            assert line.y0 < band.y0 < band.y1 < line.y1

    def test_the_marks_stand_in_the_middle_of_the_band(self) -> None:
        picture = draw(make_strip("9", "11", sure=False))
        [band] = list_bands(picture)
        heights = {s.y for s in picture.shapes if isinstance(s, Mark) and not s.dx}
        heights |= {(dash.y0 + dash.y1) / 2 for dash in list_beams(picture)}
        assert all(height == pytest.approx((band.y0 + band.y1) / 2) for height in heights)

    def test_its_number_stands_bold_above_the_ruler(self) -> None:
        label = find_words(draw(*SEVEN), "room 11.50")
        ruler = next(s for s in draw(*SEVEN).shapes if isinstance(s, Box) and s.fill == "rule")
        assert label.bold
        assert label.y < ruler.y0

    def test_without_an_error_there_is_a_line_but_no_band(self) -> None:
        picture = draw(*SEVEN, error="0")
        assert len(list_room_lines(picture)) == 7
        assert not list_bands(picture)
        assert "error ± 0.00" not in {shape.text for shape in list_words(picture)}

    def test_its_band_does_not_reach_below_zero(self) -> None:
        assert list_bands(draw(make_strip("9"), room="0.20"))[0].x0 == 0

    def test_a_room_below_zero_has_a_whole_band(self) -> None:
        picture = draw(make_strip("9"), room="-1.50")
        [band] = list_bands(picture)
        assert (band.x0, band.x1) == (-2, -1)
        assert find_words(picture, "room \N{MINUS SIGN}1.50")

    @pytest.mark.parametrize("strip", [SEVEN[3], SEVEN[2]], ids=["sure", "not sure"])
    def test_paper_draws_a_row_in_the_order_of_the_layers_of_a_screen(self, strip: Strip) -> None:
        shapes = draw(strip).shapes
        row = shapes[shapes.index(list_bands(draw(strip))[0]) :]
        kinds = [type(shape) for shape in row if not isinstance(shape, Lettering) and not getattr(shape, "dx", 0)]
        assert kinds == sorted(kinds, key=[Box, Stroke, Mark].index)


class TestNotMeasured:
    PICTURE = draw(*(replace(strip, met=None) for strip in SEVEN), room=None)

    def test_strips_stand_as_before(self) -> None:
        assert list_dots(self.PICTURE) == list_dots(draw(*SEVEN))

    def test_there_is_neither_line_nor_band(self) -> None:
        assert not list_room_lines(self.PICTURE)
        assert not list_bands(self.PICTURE)

    def test_no_word_says_room_error_or_met(self) -> None:
        said = " ".join(shape.text for shape in list_words(self.PICTURE))
        assert not [word for word in ("room", "error", "met") if word in said.split()]


class TestRuler:
    def test_it_begins_a_millimetre_below_the_least_value_and_ends_past_the_largest(self) -> None:
        assert draw(*SEVEN).span == (7.0, 17.0)

    def test_a_room_far_below_or_above_all_strips_is_on_it(self) -> None:
        assert draw(*SEVEN, room="4.00").span == (2.5, 17.0)
        assert draw(*SEVEN, room="30.00").span == (7.0, 31.5)

    def test_one_value_alone_stands_in_the_middle_of_six_millimetres(self) -> None:
        assert draw(make_strip("9"), room=None).span == (6.0, 12.0)

    def test_near_zero_it_begins_at_zero_with_a_whole_numeral(self) -> None:
        picture = draw(make_strip("0.75", "6"), room=None)
        assert picture.span[0] < 0
        assert find_words(picture, "0")

    def test_a_long_ruler_goes_on_for_more_than_a_millimetre(self) -> None:
        assert draw(make_strip("10", "60"), room=None).span == (8.0, 62.0)

    def test_its_words_say_where_it_is_measured_from(self) -> None:
        assert find_words(draw(*SEVEN), "mm from the soft tissue crest")

    @given(
        low=st.decimals(min_value=0, max_value=30, places=2),
        more=st.decimals(min_value=0, max_value=15, places=2),
        room=st.decimals(min_value=-5, max_value=40, places=2),
    )
    def test_no_circle_and_no_band_is_cut(self, low: Decimal, more: Decimal, room: Decimal) -> None:
        picture = draw(make_strip(str(low), str(low + more), sure=False), room=str(room))
        [band], dots = list_bands(picture), [s for s in picture.shapes if isinstance(s, Mark) and not s.dx]
        per_mm = NARROW.width / (picture.span[1] - picture.span[0])
        places = [
            band.x0,
            band.x1,
            *(x for dot in dots for x in (dot.x - dot.size / 2 / per_mm, dot.x + dot.size / 2 / per_mm)),
        ]
        assert picture.span[0] <= min(places)
        assert max(places) <= picture.span[1]


class TestMetOrNot:
    def test_the_words_stand_at_the_right_end_of_the_line_of_the_label(self) -> None:
        picture = draw(make_strip("9", met=True))
        note = find_words(picture, "met")
        assert (note.x, note.align, note.y) == (picture.span[1], "right", find_words(picture, "A source").y)

    def test_not_met_is_bold(self) -> None:
        assert find_words(draw(make_strip("12", met=False)), "not met").bold

    def test_met_is_not_bold(self) -> None:
        assert not find_words(draw(make_strip("9", met=True)), "met").bold

    def test_a_note_takes_the_place_of_the_words(self) -> None:
        texts = {shape.text for shape in list_words(draw(make_strip("9", met=True, note="met in one reading")))}
        assert "met in one reading" in texts
        assert "met" not in texts

    def test_a_long_note_stands_under_the_label(self) -> None:
        note = "met in one reading, not in the other"
        picture = draw(make_strip("9", note=note))
        assert find_words(picture, note).y > find_words(picture, "A source").y
        assert picture.height == pytest.approx(draw(make_strip("9")).height + NARROW.small * 1.3)


class TestLabels:
    @pytest.mark.parametrize("sizes", SIZES.values(), ids=SIZES)
    @pytest.mark.parametrize("met", [True, False, None])
    def test_a_long_label_goes_on_further_lines_and_loses_nothing(self, sizes: Sizes, met: bool | None) -> None:
        picture = draw(make_strip("9", met=met, label=LONG), sizes=sizes)
        parts = [s.text for s in list_words(picture) if s.text in LONG and s.align == "left" and not s.dx]
        assert " ".join(parts) == LONG
        assert find_misfits(picture, sizes.width) == ()

    def test_a_further_line_makes_the_row_higher_by_a_line(self) -> None:
        short, long = draw(make_strip("9"), sizes=NARROW), draw(make_strip("9", label="A source " * 7), sizes=NARROW)
        assert long.height == pytest.approx(short.height + NARROW.small * 1.3)

    @pytest.mark.parametrize("sizes", SIZES.values(), ids=SIZES)
    @pytest.mark.parametrize("room", [None, "-1.5", "0.2", "4", "8.25", "11.5", "13", "16", "22", "40"])
    def test_nothing_is_cut_or_overlaps(self, sizes: Sizes, room: str | None) -> None:
        assert find_misfits(draw(*SEVEN, room=room, sizes=sizes), sizes.width) == ()

    @given(
        low=st.decimals(min_value=0, max_value=30, places=2),
        more=st.decimals(min_value=0, max_value=9, places=2),
        room=st.none() | st.decimals(min_value=-5, max_value=40, places=2),
        label=st.text(alphabet="Wide il,:9", min_size=1, max_size=140),
        note=st.text(alphabet="met in", max_size=60),
        width=st.integers(340, 1200),
    )
    def test_no_text_is_cut_or_overlaps(
        self, low: Decimal, more: Decimal, room: Decimal | None, label: str, note: str, width: int
    ) -> None:
        strip = make_strip(str(low), str(low + more), met=False, label=label, note=note)
        room_mm = None if room is None else str(room)
        assert find_misfits(draw(strip, make_strip("9"), room=room_mm, sizes=Sizes(width=width)), width) == ()

    def test_rows_do_not_reach_into_each_other(self) -> None:
        picture = draw(*SEVEN)
        lines = list_room_lines(picture)
        rules = list_hairlines(picture)
        assert len(rules) == 6
        assert all(above.y1 < rule.y0 < below.y0 for (above, below), rule in zip(pairwise(lines), rules, strict=True))

    def test_twelve_strips_have_twelve_rows(self) -> None:
        assert len(list_room_lines(draw(*SEVEN, *SEVEN[:5]))) == 12


class TestKey:
    def list_key(self, picture: Picture) -> list[str]:
        foot = max(s.y1 for s in picture.shapes if isinstance(s, Stroke))
        return [shape.text for shape in list_words(picture) if shape.y > foot]

    def test_it_says_what_the_signs_mean(self) -> None:
        assert self.list_key(draw(*SEVEN)) == ["landmark known", "landmark not stated, two readings", "error ± 0.50"]

    def test_signs_that_the_picture_does_not_have_are_left_out(self) -> None:
        assert self.list_key(draw(make_strip("9"))) == ["landmark known", "error ± 0.50"]
        assert self.list_key(draw(make_strip("9", sure=False), room="13", error="0")) == [WORDS.not_sure]

    def test_it_lies_inside_the_picture(self) -> None:
        picture = draw(*SEVEN)
        assert max(shape.y + shape.size / 2 for shape in list_words(picture)) <= picture.height

    def test_its_circles_are_as_large_as_those_of_the_strips(self) -> None:
        assert len({s.size for s in draw(*SEVEN).shapes if isinstance(s, Mark) and s.sign == "circle"}) == 1


class TestOnScreenAndPaper:
    @pytest.mark.parametrize("colours", [LIGHT, DARK, PRINT, GREY], ids=["light", "dark", "print", "grey"])
    def test_a_screen_can_draw_it(self, colours: Colours) -> None:
        layers = draw_chart(draw(*SEVEN), colours)["layer"]
        assert all(layer["data"]["values"] for layer in layers)

    @pytest.mark.parametrize("grey", [False, True])
    @pytest.mark.parametrize("sizes", [SIZES["paper"], SIZES["large print"]], ids=["paper", "large print"])
    def test_paper_can_draw_it_with_no_text_under_12_points(self, sizes: Sizes, grey: bool) -> None:
        picture = draw(*SEVEN, sizes=sizes)
        figure = FigureBlock(shapes=picture.shapes, span=picture.span, height=picture.height, alt="Strips.")
        sheet = Sheet(
            title="T", number="1", author="A", language="en", created=date(2026, 1, 2), footer="F",
            blocks=(Heading(text="Top", level=1), figure),
        )  # fmt: skip
        assert draw_sheet(sheet, grey=grey).startswith(b"%PDF")
        assert min(shape.size for shape in list_words(picture)) >= 12


class TestInWords:
    def describe(
        self, *strips: Strip, room: str | None = "11.50", error: str = "0.50", words: StripWords = WORDS
    ) -> str:
        room_mm = None if room is None else Decimal(room)
        return describe_strips(strips, room_mm=room_mm, error_mm=Decimal(error), words=words)

    def test_the_room_and_its_error_come_first_and_how_many_it_meets(self) -> None:
        told = self.describe(*SEVEN)
        assert told.startswith("Room 11.50 mm, error of measuring ± 0.50 mm. It meets 5 of 7. The stack used here")

    @pytest.mark.parametrize(
        ("strip", "told"),
        [
            pytest.param(make_strip("9"), "A source, 9.00 mm, met.", id="a value"),
            pytest.param(make_strip("8.25", "10.75"), "A source, 8.25 to 10.75 mm, met.", id="a range"),
            pytest.param(
                make_strip("12", "14", sure=False, met=False),
                "A source, 12.00 or 14.00 mm, landmark not stated, not met.",
                id="two readings",
            ),
            pytest.param(
                make_strip("9", sure=False, note="met in both"),
                "A source, 9.00 mm, landmark not stated, met in both.",
                id="equal readings with a note",
            ),
            pytest.param(make_strip("9", met=None), "A source, 9.00 mm.", id="not judged"),
        ],
    )
    def test_a_strip_is_told_with_its_label_numbers_and_note(self, strip: Strip, told: str) -> None:
        assert self.describe(strip).endswith(f" {told}")

    def test_every_label_is_in_the_words(self) -> None:
        told = self.describe(*SEVEN)
        assert [strip.label for strip in SEVEN if strip.label not in told] == []

    def test_without_a_room_it_says_so_and_counts_nothing(self) -> None:
        told = self.describe(make_strip("9", met=None), room=None)
        assert told == "The room is not measured. A source, 9.00 mm."

    def test_decimals_follow_the_language(self) -> None:
        words = StripWords(decimal=",")
        assert "8,25" in self.describe(*SEVEN, words=words)
        assert find_words(draw(*SEVEN, words=words), "room 11,50")

    def test_half_a_hundredth_is_rounded_up(self) -> None:
        assert "9.13 mm" in self.describe(make_strip("9.125"))

    def test_braces_in_a_label_stay_as_they_are(self) -> None:
        assert "{low} {found}, 9.00 mm" in self.describe(make_strip("9", label="{low} {found}"))

    def test_a_wording_can_bring_its_own_sentences(self) -> None:
        words = StripWords(alt_strip="{found} ({label})", alt_one="exactly {low}", met="enough")
        assert self.describe(make_strip("9"), words=words).endswith("exactly 9.00, enough (A source)")


class TestRefused:
    def test_a_picture_without_a_strip(self) -> None:
        with pytest.raises(ValueError, match="'strips' must hold one strip or more"):
            draw()

    def test_an_error_below_zero(self) -> None:
        with pytest.raises(ValueError, match=r"'error_mm' must be 0 or more \(got -0.5\)"):
            draw(make_strip("9"), error="-0.5")

    def test_a_strip_that_ends_before_it_begins(self) -> None:
        with pytest.raises(ValueError, match=r"'high_mm' of 'A source' must be 9 or more \(got 8\)"):
            make_strip("9", "8")
