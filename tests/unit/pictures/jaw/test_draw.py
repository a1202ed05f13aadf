"""The drawing of the jaw: heights to scale, rooms and what is short of them, figures, and nothing cut."""

from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from estimator.base.evidence import Figure, HowSure
from estimator.charts.shapes import draw_chart
from estimator.inputs.options.model import Attachments, Conversion, Option, StackPart
from estimator.pictures.base.lettering import break_words, estimate_width
from estimator.pictures.base.look import DARK, GREY, LIGHT, PRINT, Colours
from estimator.pictures.base.rows import Picture, Sizes, find_misfits
from estimator.pictures.base.shapes import Box, Lettering, Mark, Slant, Stroke
from estimator.pictures.jaw.draw import draw_jaw, fit_scale
from estimator.pictures.jaw.layout import shorten, spread_apart
from estimator.pictures.jaw.parts import JawBar, JawGap, JawPart, JawSite, JawWords, describe_jaw_picture, list_parts

SCALE = 18.0
WORDS = JawWords()
FILLS = (None, "must", "usual", "pale", "tooth")
WIDTHS = {"narrow page": (381, 13), "wide page": (720, 13), "paper": (468, 12), "large print": (468, 15)}


def make_part(
    name: str, least: str, usual: str, width: float = 6, fill: str | None = "pale", through: bool = False
) -> JawPart:
    return JawPart(
        name=name, least_mm=Decimal(least), usual_mm=Decimal(usual), width_mm=width, fill=fill, runs_through=through
    )


BAR = (
    make_part("space", "1.00", "1.50", 3, None),
    make_part("bar", "2.00", "2.00", 7, "must", through=True),
    make_part("attachment", "2.25", "2.25", 5, "must"),
    make_part("resin", "2.00", "2.00", 8),
    make_part("tooth", "1.00", "3.00", 6, "tooth"),
)


def make_sites(*rooms: str | None, places: tuple[str | None, ...] = ("20", "6.5", "-6.5", "-20")) -> list[JawSite]:
    return [
        JawSite(
            label=f"site {number}",
            position_mm=None if place is None else Decimal(place),
            room_mm=None if room is None else Decimal(room),
        )
        for number, (room, place) in enumerate(zip(rooms, places, strict=False), start=1)
    ]


FOUR = make_sites("12.00", "13.25", "12.75", "11.50")
SHORT = make_sites("8.00", "9.25", "8.75", "7.50")


def draw(
    sites: list[JawSite] = FOUR, parts: tuple[JawPart, ...] = BAR, *, width: float = 720, small: float = 13,
    scale: float = SCALE, error: str = "0.50", tissue: str = "2.00", implants: bool = True, words: JawWords = WORDS,
) -> Picture:  # fmt: skip
    return draw_jaw(
        parts, sites, tissue_mm=Decimal(tissue), error_mm=Decimal(error), scale=scale,
        sizes=Sizes(small=small, width=width), words=words, implants=implants,
    )  # fmt: skip


def find_zero(picture: Picture) -> float:
    """The y of the top of the soft tissue: the foot of the ruler."""
    [ruler] = [s for s in picture.shapes if isinstance(s, Box) and s.fill == "rule"]
    return ruler.y1


def list_boxes(picture: Picture, fill: str | None) -> list[Box]:
    return [s for s in picture.shapes if isinstance(s, Box) and s.fill == fill]


def list_texts(picture: Picture, *, bold: bool | None = None) -> list[str]:
    return [s.text for s in picture.shapes if isinstance(s, Lettering) and bold in (None, s.bold)]


def list_room_lines(picture: Picture) -> list[Stroke]:
    return [s for s in picture.shapes if isinstance(s, Stroke) and s.width == 2.5]


def list_dimensions(picture: Picture, width: float) -> list[Stroke]:
    return [s for s in picture.shapes if isinstance(s, Stroke) and s.width == width and s.x0 == s.x1]


def list_mm(box: Box | Stroke, picture: Picture, scale: float = SCALE) -> tuple[float, float]:
    """Lower and upper end of a shape above the soft tissue [mm]."""
    zero = find_zero(picture)
    low, high = sorted(((zero - box.y0) / scale, (zero - box.y1) / scale))
    return low, high


class TestHeights:
    @pytest.mark.parametrize(
        ("fill", "low", "high"), [(None, 0, 1.5), ("pale", 5.75, 7.75), ("tooth", 7.75, 10.75)], ids=str
    )
    @pytest.mark.parametrize("scale", [6.0, 18.0, 28.35])
    def test_a_part_is_as_high_as_usual_to_scale_at_every_site(
        self, fill: str | None, low: float, high: float, scale: float
    ) -> None:
        picture = draw(scale=scale)
        boxes = [box for box in list_boxes(picture, fill) if box.edge != "line"]
        assert [list_mm(box, picture, scale) for box in boxes] == [pytest.approx((low, high))] * 4

    def test_a_bar_is_one_piece_past_the_first_and_the_last_site(self) -> None:
        picture = draw()
        [bar] = [box for box in list_boxes(picture, "must") if list_mm(box, picture) == pytest.approx((1.5, 3.5))]
        assert bar.x0 < -20
        assert bar.x1 > 20

    def test_soft_tissue_is_a_band_below_zero(self) -> None:
        picture = draw(tissue="2.60")
        [band] = list_boxes(picture, "stone")
        assert list_mm(band, picture) == pytest.approx((-2.6, 0))

    def test_without_soft_tissue_there_is_neither_band_nor_name(self) -> None:
        picture = draw(tissue="0")
        assert not list_boxes(picture, "stone")
        assert not [text for text in list_texts(picture) if text.startswith("soft tissue")]

    def test_an_implant_stands_below_each_site(self) -> None:
        picture = draw()
        tops = [list_mm(box, picture)[1] for box in list_boxes(picture, "usual")]
        assert [top for top in tops if top < -1] == pytest.approx([-2] * 4)

    def test_a_post_leads_from_each_implant_through_the_tissue(self) -> None:
        picture = draw()
        posts = [ends for box in list_boxes(picture, "usual") if (ends := list_mm(box, picture))[1] > -1]
        assert posts == [pytest.approx((-2, 0))] * 4

    def test_a_denture_has_none(self) -> None:
        picture = draw(implants=False)
        assert not list_boxes(picture, "usual")
        assert "implant" not in list_texts(picture)

    @pytest.mark.parametrize(("level", "colour"), [(10.75, "line"), (8.25, "ink")], ids=["usual", "least"])
    def test_a_level_is_dashed_from_the_ruler_past_the_last_site(self, level: float, colour: str) -> None:
        picture = draw()
        y = find_zero(picture) - level * SCALE
        lines = [
            s for s in picture.shapes if isinstance(s, Stroke) and s.y0 == s.y1 == pytest.approx(y) and s.width == 1
        ]
        dashes = [line for line in lines if line.colour == colour and line.x1 - line.x0 < 1]
        assert len(dashes) > 20
        assert all(b.x0 > a.x1 for a, b in pairwise(dashes))
        assert min(dash.x0 for dash in dashes) < -25
        assert max(dash.x1 for dash in dashes) > 20

    def test_levels_are_said_with_their_millimetres(self) -> None:
        assert {"usual 10.75", "least 8.25"} <= set(list_texts(draw()))

    @given(room=st.decimals(0, 40, places=2), error=st.decimals(0, 3, places=2), scale=st.floats(4, 30))
    def test_the_ruler_reaches_past_every_room_with_its_error(
        self, room: Decimal, error: Decimal, scale: float
    ) -> None:
        picture = draw(make_sites(str(room)), scale=scale, error=str(error))
        [ruler] = list_boxes(picture, "rule")
        assert list_mm(ruler, picture, scale)[1] > max(float(room + error), 10.75)

    def test_the_ruler_has_a_numeral_each_millimetre(self) -> None:
        assert {str(n) for n in range(1, 14)} <= set(list_texts(draw()))

    def test_numerals_are_thinned_out_where_they_would_crowd(self) -> None:
        texts = set(list_texts(draw(make_sites("40"), scale=6)))
        assert {"5", "10", "35"} <= texts
        assert "7" not in texts


class TestRooms:
    def test_a_line_stands_at_the_room_of_every_site(self) -> None:
        picture = draw()
        heights = [list_mm(line, picture)[0] for line in list_room_lines(picture)]
        assert heights == pytest.approx([12, 13.25, 12.75, 11.5])

    def test_its_dashed_band_is_as_high_as_twice_the_error(self) -> None:
        picture = draw()
        bands = [box for box in list_boxes(picture, "pale") if box.dashed]
        assert [list_mm(band, picture) for band in bands] == [
            pytest.approx((room - 0.5, room + 0.5)) for room in (12, 13.25, 12.75, 11.5)
        ]

    def test_without_error_there_is_no_band(self) -> None:
        picture = draw(error="0")
        assert not [box for box in list_boxes(picture, "pale") if box.dashed]
        assert "room" in list_texts(picture)

    def test_the_reserve_is_dimensioned_from_the_usual_stack_to_the_room(self) -> None:
        picture = draw()
        ends = [list_mm(line, picture) for line in list_dimensions(picture, 1.25)]
        assert ends == [pytest.approx((10.75, room)) for room in (12, 13.25, 12.75, 11.5)]

    def test_a_black_piece_stands_only_where_the_least_stack_has_no_room(self) -> None:
        picture = draw(SHORT)
        pieces = [list_mm(piece, picture) for piece in list_boxes(picture, "on_rule")]
        assert pieces == [pytest.approx((8, 8.25)), pytest.approx((7.5, 8.25))]

    def test_the_shortage_is_dimensioned_thickly(self) -> None:
        picture = draw(SHORT)
        ends = [list_mm(line, picture) for line in list_dimensions(picture, 3)]
        assert ends == [pytest.approx((8, 8.25)), pytest.approx((7.5, 8.25))]

    def test_a_key_says_what_the_black_piece_is(self) -> None:
        assert "has no room" in list_texts(draw(SHORT))
        assert "has no room" not in list_texts(draw())

    def test_a_room_equal_to_the_least_stack_is_not_short(self) -> None:
        picture = draw(make_sites("8.25"))
        assert not list_boxes(picture, "on_rule")
        assert not list_dimensions(picture, 3)

    def test_a_room_equal_to_the_usual_stack_has_no_dimension(self) -> None:
        assert not list_dimensions(draw(make_sites("10.75")), 1.25)

    def test_a_room_below_the_soft_tissue_stays_inside_the_picture(self) -> None:
        picture = draw(make_sites("-7.00"))
        bottom = max(max(s.y0, s.y1) for s in picture.shapes if isinstance(s, Box))
        assert bottom == pytest.approx(find_zero(picture) + 7.5 * SCALE)
        assert bottom < min(s.y for s in picture.shapes if isinstance(s, Lettering) and s.text == "site 1")

    @given(room=st.decimals(0, 30, places=2), less=st.decimals("0.01", 10, places=2))
    def test_less_room_is_never_drawn_as_more(self, room: Decimal, less: Decimal) -> None:
        pictures = [draw(make_sites(str(value))) for value in (room, room - less)]
        heights = [list_mm(list_room_lines(picture)[0], picture)[0] for picture in pictures]
        pieces = [
            sum(high - low for low, high in (list_mm(box, picture) for box in list_boxes(picture, "on_rule")))
            for picture in pictures
        ]
        assert heights[0] > heights[1]
        assert pieces[0] <= pieces[1] + 1e-9

    @pytest.mark.parametrize("layer", range(5), ids=[part.name for part in BAR])
    def test_a_line_that_crosses_a_part_is_set_off_from_it(self, layer: int) -> None:
        picture = draw(make_sites(str(sum(float(part.usual_mm) for part in BAR[:layer]) + 0.5)))
        halos = [s for s in picture.shapes if isinstance(s, Stroke) and s.colour == "paper"]
        assert [halo.y0 for halo in halos] == [list_room_lines(picture)[0].y0]


class TestNotMeasured:
    NOT = make_sites(None, None)

    def test_stacks_are_drawn_without_line_band_or_dimension(self) -> None:
        picture = draw(self.NOT)
        assert len(list_boxes(picture, "tooth")) == 2
        assert not list_room_lines(picture)
        assert not [box for box in list_boxes(picture, "pale") if box.dashed]
        assert not list_dimensions(picture, 1.25) + list_dimensions(picture, 3)

    def test_figures_are_dashes(self) -> None:
        assert list_texts(draw(self.NOT)).count("\N{EN DASH}") == 6

    def test_no_figure_is_bold(self) -> None:
        assert list_texts(draw(self.NOT), bold=True) == []

    def test_no_room_is_named(self) -> None:
        assert not [text for text in list_texts(draw(self.NOT)) if text.startswith("room ±")]

    def test_one_measured_site_among_others_has_the_only_line(self) -> None:
        picture = draw(make_sites("12", None, None))
        assert [(line.x0 + line.x1) / 2 for line in list_room_lines(picture)] == pytest.approx([-20])


class TestFigures:
    def test_over_usual_and_over_least_have_signs_with_a_true_minus(self) -> None:
        texts = set(list_texts(draw(SHORT)))
        assert {"7.50", "\N{MINUS SIGN}3.25", "\N{MINUS SIGN}0.75", "+0.50"} <= texts

    @pytest.mark.parametrize("width", [250, 720], ids=["rows", "columns"])
    def test_only_the_tightest_site_is_bold(self, width: int) -> None:
        assert {"site 4", "11.50", "+0.75", "+3.25"} == set(list_texts(draw(width=width), bold=True))

    def test_columns_stand_under_their_sites(self) -> None:
        words = [s for s in draw().shapes if isinstance(s, Lettering) and s.align == "center"]
        places = [s.x for s in words if s.text in {"site 2", "13.25", "+5.00"}]
        assert places == pytest.approx([-6.5] * 3)

    def test_where_columns_have_no_room_every_site_has_a_row(self) -> None:
        figures = [s for s in draw(width=250).shapes if isinstance(s, Lettering)]
        [row] = {s.y for s in figures if s.text == "13.25"}
        assert [s.text for s in figures if s.y == row] == ["site 2", "13.25", "+2.50", "+5.00"]

    def test_rows_leave_the_labels_under_the_sites(self) -> None:
        labels = [s for s in draw(make_sites(*["12"] * 4), width=300).shapes if isinstance(s, Lettering)]
        assert [s.text for s in labels if s.align == "center"] == ["site 1", "site 2", "site 3", "site 4"]

    def test_decimals_follow_the_language(self) -> None:
        assert {"13,25", "usual 10,75", "tooth 3,00"} <= set(list_texts(draw(words=JawWords(decimal=","))))

    def test_a_length_that_rounds_to_nothing_has_no_minus(self) -> None:
        assert "+0.00" in list_texts(draw(make_sites("10.7499")))


class TestPlaces:
    def list_middles(self, picture: Picture) -> list[float]:
        return [(box.x0 + box.x1) / 2 for box in list_boxes(picture, "tooth")]

    def test_known_ones_are_seen_from_in_front_the_patients_right_first(self) -> None:
        sites = make_sites("1", "2", "3", places=("-15", "4", "18.5"))
        assert self.list_middles(draw(sites)) == pytest.approx([-18.5, -4, 15])
        assert [t for t in list_texts(draw(sites)) if t.startswith("site ")] == ["site 3", "site 2", "site 1"]

    @pytest.mark.parametrize("count", range(2, 9))
    def test_unknown_ones_are_evenly_apart_in_their_order(self, count: int) -> None:
        middles = self.list_middles(draw(make_sites(*["12"] * count, places=(None,) * count)))
        steps = [b - a for a, b in pairwise(middles)]
        assert steps == pytest.approx([steps[0]] * (count - 1))
        assert steps[0] > 0

    def test_one_unknown_among_known_ones_makes_all_even(self) -> None:
        middles = self.list_middles(draw(make_sites("1", "2", "3", places=("20", None, "-30"))))
        assert middles[1] - middles[0] == pytest.approx(middles[2] - middles[1])

    @given(st.lists(st.decimals(-60, 60, places=1), min_size=2, max_size=8), st.sampled_from(sorted(WIDTHS)))
    def test_stacks_stand_apart_wherever_the_sites_are(self, places: list[Decimal], where: str) -> None:
        width, small = WIDTHS[where]
        sites = make_sites(*["12"] * len(places), places=tuple(str(place) for place in places))
        picture = draw(sites, width=width, small=small)
        resin = [box for box in list_boxes(picture, "pale") if not box.dashed]
        assert all(b.x0 > a.x1 for a, b in pairwise(resin))
        bands = [box for box in list_boxes(picture, "pale") if box.dashed]
        assert all(b.x0 > a.x1 for a, b in pairwise(bands))

    def test_across_nothing_is_wider_than_to_scale(self) -> None:
        picture = draw(make_sites("12"))
        [tooth] = list_boxes(picture, "tooth")
        assert (tooth.x1 - tooth.x0) * 720 / (picture.span[1] - picture.span[0]) <= 6 * SCALE + 1e-6


_WORD = st.text(st.sampled_from("abcdefghijklmnoprstuvwäöüßéМW-"), min_size=1, max_size=24)
_NAME = st.lists(_WORD, min_size=1, max_size=5).map(" ".join)
_HEIGHT = st.decimals(0, 6, places=2)


@st.composite
def make_stack(draw_one: st.DrawFn) -> tuple[JawPart, ...]:
    return tuple(
        JawPart(
            name=draw_one(_NAME), least_mm=(least := draw_one(_HEIGHT)), usual_mm=least + draw_one(_HEIGHT),
            width_mm=draw_one(st.floats(1, 12)), fill=draw_one(st.sampled_from(FILLS)),
            runs_through=draw_one(st.booleans()),
        )
        for _ in range(draw_one(st.integers(1, 8)))
    )  # fmt: skip


@st.composite
def make_any_sites(draw_one: st.DrawFn) -> list[JawSite]:
    return [
        JawSite(
            label=draw_one(st.one_of(st.sampled_from(["44", "31"]), _NAME)),
            position_mm=draw_one(st.none() | st.decimals(-60, 60, places=1)),
            room_mm=draw_one(st.none() | st.decimals(0, 40, places=2)),
        )
        for _ in range(draw_one(st.integers(1, 8)))
    ]


class TestNothingIsCut:
    @settings(max_examples=150, deadline=None)
    @given(
        parts=make_stack(), sites=make_any_sites(), where=st.sampled_from(sorted(WIDTHS)), scale=st.floats(2, 30),
        tissue=st.decimals(0, 6, places=1), implants=st.booleans(),
    )  # fmt: skip
    def test_no_words_are_cut_or_meet(
        self, parts: tuple[JawPart, ...], sites: list[JawSite], where: str, scale: float, tissue: Decimal,
        implants: bool,
    ) -> None:  # fmt: skip
        width, small = WIDTHS[where]
        picture = draw(sites, parts, width=width, small=small, scale=scale, tissue=str(tissue), implants=implants)
        assert find_misfits(picture, width) == ()

    @settings(max_examples=60, deadline=None)
    @given(parts=make_stack(), sites=make_any_sites(), where=st.sampled_from(sorted(WIDTHS)), scale=st.floats(2, 30))
    def test_everything_lies_inside_the_picture(
        self, parts: tuple[JawPart, ...], sites: list[JawSite], where: str, scale: float
    ) -> None:
        width, small = WIDTHS[where]
        picture = draw(sites, parts, width=width, small=small, scale=scale)
        places = [
            (x, y)
            for shape in picture.shapes
            if isinstance(shape, Box | Stroke)
            for x, y in ((shape.x0, shape.y0), (shape.x1, shape.y1))
        ]
        slack = 1e-6
        assert all(picture.span[0] - slack <= x <= picture.span[1] + slack for x, _ in places)
        assert all(-slack <= y <= picture.height + slack for _, y in places)
        words = [s for s in picture.shapes if isinstance(s, Lettering | Mark)]
        assert all(s.size * 0.5 <= s.y <= picture.height - s.size * 0.5 for s in words)

    @settings(max_examples=60, deadline=None)
    @given(parts=make_stack(), width=st.sampled_from([381, 720]))
    def test_each_part_is_named_once_from_above_downwards(self, parts: tuple[JawPart, ...], width: int) -> None:
        assume(len({part.name for part in parts}) == len(parts))
        picture = draw(make_sites(None), parts, width=width)
        column = [s for s in picture.shapes if isinstance(s, Lettering) and s.colour == "ink" and s.align == "left"]
        said = "".join(s.text for s in sorted(column, key=lambda s: s.y) if s.text != "site 1").replace(" ", "")
        expected = "".join(f"{part.name}{part.usual_mm:.2f}" for part in reversed(parts)).replace(" ", "")
        assert said.startswith(expected)

    def test_long_names_leave_the_sites_a_fifth_of_a_narrow_page(self) -> None:
        long = tuple(make_part("a very long name of a part of the stack", "1", "2") for _ in range(8))
        picture = draw(parts=long, width=381, words=JawWords(usual="the usual height {mm}"))
        sites = [line.x0 for line in list_room_lines(picture)] + [line.x1 for line in list_room_lines(picture)]
        assert (max(sites) - min(sites)) / (picture.span[1] - picture.span[0]) >= 0.2

    @pytest.mark.parametrize("where", WIDTHS)
    def test_an_ordinary_bar_is_named_in_one_line_a_part(self, where: str) -> None:
        width, small = WIDTHS[where]
        texts = list_texts(draw(width=width, small=small))
        assert {"space 1.50", "bar 2.00", "resin 2.00", "tooth 3.00"} <= set(texts)


def contrast(a: str, b: str) -> float:
    """Contrast of two colours as WCAG 2 defines it (rule)."""

    def luminance(colour: str) -> float:
        shares = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in shares]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    low, high = sorted((luminance(a), luminance(b)))
    return (high + 0.05) / (low + 0.05)


class TestInGrey:
    @pytest.mark.parametrize("colours", [GREY, LIGHT, DARK, PRINT], ids=["grey", "light", "dark", "print"])
    @pytest.mark.parametrize("below", FILLS, ids=str)
    @pytest.mark.parametrize("above", FILLS, ids=str)
    def test_parts_on_each_other_differ_in_grey_or_by_an_edge(
        self, above: str | None, below: str | None, colours: Colours
    ) -> None:
        picture = draw(make_sites(None), (make_part("a", "3", "3", 6, below), make_part("b", "3", "3", 6, above)))
        low, high = [
            box
            for box in picture.shapes
            if isinstance(box, Box) and list_mm(box, picture) in (pytest.approx((0, 3)), pytest.approx((3, 6)))
        ]
        fills = [colours[box.fill or "paper"] for box in (low, high)]
        # The upper box is painted last, so its edge is the one that stands between them.
        edge = colours[high.edge or "paper"]
        assert contrast(*fills) >= 3 or min(contrast(edge, fill) for fill in fills) >= 3

    @pytest.mark.parametrize("colours", [GREY, LIGHT, DARK, PRINT], ids=["grey", "light", "dark", "print"])
    @pytest.mark.parametrize("under", FILLS, ids=str)
    def test_the_black_piece_differs_from_every_part_by_itself_or_by_its_edge(
        self, under: str | None, colours: Colours
    ) -> None:
        [piece] = list_boxes(draw(make_sites("1"), (make_part("a", "3", "3", 6, under),)), "on_rule")
        fill, edge = colours[piece.fill or "paper"], colours[piece.edge or "paper"]
        behind = colours[under or "paper"]
        assert contrast(fill, behind) >= 3 or (contrast(edge, behind) >= 3 and contrast(edge, fill) >= 3)

    def test_empty_space_is_dashed_and_nothing_else_of_the_stack_is(self) -> None:
        picture = draw(make_sites(None))
        assert [box.fill for box in picture.shapes if isinstance(box, Box) and box.dashed] == [None]

    def test_the_last_drawn_is_never_under_a_box_on_paper_that_screens_draw_first(self) -> None:
        kinds = [type(shape) for shape in draw(SHORT).shapes]
        assert kinds == sorted(kinds, key=[Box, Slant, Stroke, Mark, Lettering].index)

    def test_a_screen_can_draw_it(self) -> None:
        layers = draw_chart(draw(SHORT), LIGHT)["layer"]
        assert all(layer["data"]["values"] for layer in layers)


class TestInWords:
    def describe(self, sites: list[JawSite], words: JawWords = WORDS) -> str:
        return describe_jaw_picture(BAR, sites, tissue_mm=Decimal("2.00"), error_mm=Decimal("0.50"), words=words)

    @pytest.mark.parametrize("sites", [FOUR, SHORT, make_sites("12", None)], ids=["fits", "short", "part measured"])
    def test_every_number_of_the_picture_is_in_the_words(self, sites: list[JawSite]) -> None:
        told = self.describe(sites)
        for text in list_texts(draw(sites)):
            number = text.split()[-1]
            if "." in number:
                assert number in told

    def test_what_is_short_comes_first(self) -> None:
        assert self.describe(SHORT).startswith("Site site 1 is 0.25 mm short. Site site 4 is 0.75 mm short.")

    def test_the_tightest_site_is_named(self) -> None:
        assert self.describe(FOUR).endswith("The tightest is site site 4.")

    def test_a_site_that_is_not_measured_is_said_so(self) -> None:
        assert "Site site 2 is not measured." in self.describe(make_sites("12", None))

    def test_nothing_measured_has_neither_error_nor_tightest(self) -> None:
        told = self.describe(make_sites(None, None))
        assert "error" not in told
        assert "tightest" not in told

    def test_a_name_is_never_taken_for_a_place(self) -> None:
        part = make_part("{least} {mm}", "1", "2")
        told = describe_jaw_picture((part,), make_sites("5"), tissue_mm=Decimal(0), error_mm=None, words=WORDS)
        assert "From below: {least} {mm} 2.00 mm, at least 1.00 mm." in told


def make_option(*keys: str) -> Option:
    figure = Figure(
        key="f", name="f", low=Decimal(1), value=Decimal(2), high=Decimal(3), unit="mm", source="s", place="",
        how_sure=HowSure.MEMORY,
    )  # fmt: skip
    return Option(
        key="other", name="Other", patient_name="Other", attachments=Attachments.ON_BAR, least_implants=2,
        conversion=Conversion(possible=False, name="", patient_name="", reason="r"),
        stack=tuple(StackPart(key=key, name=key.replace("_", " "), patient_name="", figure=figure) for key in keys),
        visits=(), charges=(), upkeep=(), renewal=None, recall_fee="",
    )  # fmt: skip


class TestParts:
    @pytest.mark.parametrize(
        ("key", "fill", "through"),
        [
            ("space", None, False), ("cleaning_space", None, False), ("space_under_bar", None, False),
            ("bar", "must", True), ("milled_bar", "must", True), ("attachment_on_bar", "must", False),
            ("tooth", "tooth", False), ("ground_teeth", "tooth", False), ("resin_over_housing", "pale", False),
            ("telescope", "pale", False), ("", "pale", False),
        ],
    )  # fmt: skip
    def test_the_noun_of_a_key_says_how_a_part_looks(self, key: str, fill: str | None, through: bool) -> None:
        [part] = list_parts(make_option(key))
        assert (part.fill, part.runs_through) == (fill, through)

    def test_heights_are_the_low_and_the_usual_figure(self) -> None:
        [part] = list_parts(make_option("tooth"))
        assert (part.name, part.least_mm, part.usual_mm) == ("tooth", Decimal(1), Decimal(2))

    def test_unknown_parts_on_each_other_alternate(self) -> None:
        parts = list_parts(make_option("one", "two", "three", "base", "four"))
        assert [part.fill for part in parts] == ["pale", "usual", "pale", "pale", "usual"]

    def test_an_option_of_unknown_parts_can_be_drawn(self) -> None:
        picture = draw(FOUR, list_parts(make_option("sleeve", "telescope", "crown", "bar")))
        assert find_misfits(picture, 720) == ()


ON_FOUR = JawBar(
    gaps=tuple(JawGap(length_mm=Decimal(mm), places=1, attachments=1) for mm in ("12.97", "12.5", "12.97")), planned=4,
    places=3,
)  # fmt: skip


def draw_on_bar(bar: JawBar = ON_FOUR, sites: list[JawSite] = FOUR, width: float = 720, small: float = 13) -> Picture:
    return draw_jaw(
        BAR, sites, tissue_mm=Decimal(2), error_mm=Decimal("0.5"), scale=SCALE, sizes=Sizes(small=small, width=width),
        words=WORDS, bar=bar,
    )  # fmt: skip


class TestOnABar:
    def list_middles(self, picture: Picture, fill: str) -> list[float]:
        return [(box.x0 + box.x1) / 2 for box in list_boxes(picture, fill) if not box.dashed]

    def test_its_attachments_stand_between_the_implants(self) -> None:
        assert self.list_middles(draw_on_bar(), "tooth") == pytest.approx([-13.25, 0, 13.25])

    def test_a_gap_without_an_attachment_stays_empty(self) -> None:
        gaps = (*ON_FOUR.gaps[:2], JawGap(length_mm=Decimal("8.00"), places=0))
        assert self.list_middles(draw_on_bar(replace(ON_FOUR, gaps=gaps)), "tooth") == pytest.approx([-13.25, 0])

    def test_two_on_one_gap_stand_apart(self) -> None:
        gaps = tuple(JawGap(length_mm=Decimal(13), places=2, attachments=2) for _ in range(3))
        boxes = list_boxes(draw_on_bar(replace(ON_FOUR, gaps=gaps)), "tooth")
        assert all(b.x0 > a.x1 for a, b in pairwise(boxes))

    def test_an_extension_makes_the_bar_longer_and_holds_the_last(self) -> None:
        bar = replace(ON_FOUR, right_mm=9.0, right_holds=True)
        picture = draw_on_bar(bar)
        assert max(self.list_middles(picture, "tooth")) == pytest.approx(24.5)
        assert max(box.x1 for box in list_boxes(picture, "must")) > 29

    def test_posts_end_under_the_bar(self) -> None:
        picture = draw_on_bar()
        posts = [ends for box in list_boxes(picture, "usual") if (ends := list_mm(box, picture))[1] > -1]
        assert posts == [pytest.approx((-2, 1.5))] * 4

    def test_every_gap_says_its_length_and_its_places(self) -> None:
        told = " ".join(list_texts(draw_on_bar()))
        assert told.count("one place") == 3
        assert "13.0:" in told

    def test_places_are_counted_in_full_dots_and_dashed_rings(self) -> None:
        signs = [s.sign for s in draw_on_bar().shapes if isinstance(s, Mark)]
        assert signs == ["circle", "circle", "circle", "no_place"]
        assert "3 of 4 attachments have a place" in list_texts(draw_on_bar())

    def test_places_that_are_not_known_are_not_counted(self) -> None:
        bar = JawBar(gaps=(JawGap(attachments=1),) * 3, planned=4)
        assert [s for s in draw_on_bar(bar).shapes if isinstance(s, Mark)] == []

    @pytest.mark.parametrize("where", WIDTHS)
    def test_no_words_are_cut_or_meet(self, where: str) -> None:
        width, small = WIDTHS[where]
        assert find_misfits(draw_on_bar(width=width, small=small), width) == ()

    def test_gaps_and_places_are_in_the_words(self) -> None:
        told = describe_jaw_picture(BAR, FOUR, tissue_mm=Decimal(2), error_mm=None, words=WORDS, bar=ON_FOUR)
        assert "Between site 1 and site 2 13.0: one place." in told
        assert told.endswith("3 of 4 attachments have a place.")


class TestOwnTissueAndLean:
    SITES = (
        JawSite(label="43", position_mm=Decimal(13), room_mm=Decimal(12), tissue_mm=Decimal("1.5"), lean_deg=-20.0),
        JawSite(label="33", position_mm=Decimal(-13), room_mm=Decimal(12), tissue_mm=Decimal(3)),
    )

    def test_each_site_has_its_own_tissue(self) -> None:
        picture = draw(list(self.SITES))
        assert [list_mm(band, picture)[0] for band in list_boxes(picture, "stone")] == pytest.approx([-1.5, -3])
        assert "soft tissue 1.50 \N{EN DASH} 3.00" in list_texts(draw(list(self.SITES)))

    def test_only_an_implant_that_leans_is_drawn_leaning(self) -> None:
        slabs = [s for s in draw(list(self.SITES)).shapes if isinstance(s, Slant)]
        assert len(slabs) == 2  # the implant and its post
        assert all(slab.foot > 0 for slab in slabs)

    def test_a_leaning_piece_is_one_area_of_two_rows_on_screen(self) -> None:
        layers = draw_chart(draw(list(self.SITES)), LIGHT)["layer"]
        [area] = [layer for layer in layers if layer["mark"]["type"] == "area"]
        assert len({row["number"] for row in area["data"]["values"]}) == 2
        assert len(area["data"]["values"]) == 4

    def test_an_assumed_place_is_said_so(self) -> None:
        sites = [replace(site, assumed=site.label == "33") for site in self.SITES]
        assert any("assumed" in text and "33" in text for text in list_texts(draw(sites)))


class TestScale:
    @given(room=st.decimals(0, 40, places=2), height=st.floats(50, 600))
    def test_the_heights_take_what_is_given_or_less(self, room: Decimal, height: float) -> None:
        sites = make_sites(str(room))
        scale = fit_scale(BAR, sites, tissue_mm=Decimal(2), error_mm=Decimal(1), height=height, most=18)
        picture = draw(sites, scale=scale, error="1")
        [ruler], implants = list_boxes(picture, "rule"), list_boxes(picture, "usual")
        assert max(box.y1 for box in implants) - ruler.y0 <= height + 1e-6
        assert scale <= 18

    @pytest.mark.parametrize(
        ("change", "message"),
        [
            ({"parts": ()}, "'parts' must be more than 0"),
            ({"sites": []}, "'sites' must be more than 0"),
            ({"scale": 0}, "'scale' must be more than 0"),
            ({"tissue": "-1"}, "'tissue_mm' must be 0 or more"),
            ({"error": "-0.1"}, "'error_mm' must be 0 or more"),
        ],
        ids=["no part", "no site", "no scale", "tissue", "error"],
    )
    def test_what_cannot_be_drawn_is_refused(self, change: dict[str, object], message: str) -> None:
        with pytest.raises(ValueError, match=message):
            draw(**change)  # type: ignore[arg-type]


class TestLayout:
    @given(
        st.lists(st.tuples(st.floats(-100, 100), st.floats(0.5, 30)), min_size=1, max_size=8),
        st.booleans(),
    )
    def test_pieces_stand_apart_in_their_order_between_the_ends(
        self, pieces: list[tuple[float, float]], held: bool
    ) -> None:
        wanted, lengths = [at for at, _ in pieces], [length for _, length in pieces]
        low, high = (-50.0, -50.0 + sum(lengths) + 20) if held else (float("-inf"), float("inf"))
        middles = spread_apart(wanted, lengths, low=low, high=high)
        ends = [(middle - length / 2, middle + length / 2) for middle, length in zip(middles, lengths, strict=True)]
        assert all(b[0] >= a[1] - 1e-6 for a, b in pairwise(ends))
        assert ends[0][0] >= low - 1e-6
        assert ends[-1][1] <= high + 1e-6

    def test_pieces_that_are_apart_are_not_moved(self) -> None:
        assert spread_apart([0, 10, 30], [4, 4, 4]) == pytest.approx((0, 10, 30))

    def test_pieces_on_each_other_move_by_the_least_squares(self) -> None:
        assert spread_apart([0, 0, 0, 50], [2, 2, 2, 2]) == pytest.approx((-2, 0, 2, 50))

    @given(_NAME, st.floats(30, 200))
    def test_broken_words_fit_and_lose_nothing(self, text: str, width: float) -> None:
        lines = break_words(text, size=13, width=width)
        assert "".join(lines).replace(" ", "") == text.replace(" ", "")
        assert all(estimate_width(line, size=13) <= width for line in lines)

    @given(_NAME, st.floats(20, 200))
    def test_a_shortened_label_fits(self, text: str, width: float) -> None:
        assert estimate_width(shorten(text, size=13, width=width), size=13) <= width


class TestOwnStacks:
    """A site whose collar is higher than that of the others."""

    TALL = (make_part("collar", "2.00", "2.00", 3, "usual"), make_part("tooth", "1.00", "3.00", 6, "tooth"))
    PLAIN = (make_part("collar", "1.00", "1.00", 3, "usual"), make_part("tooth", "1.00", "3.00", 6, "tooth"))
    SITES = (
        JawSite(label="43", position_mm=Decimal(13), room_mm=Decimal("5")),
        JawSite(label="33", position_mm=Decimal(-13), room_mm=Decimal("5.5"), parts=TALL),
    )

    def test_its_stack_is_drawn_as_high_as_it_is(self) -> None:
        picture = draw(list(self.SITES), self.PLAIN)
        heights = sorted({round((box.y1 - box.y0) / SCALE, 2) for box in list_boxes(picture, "usual")})
        assert heights == [1.0, 2.0, 3.0]  # two collars, and what is seen of an implant

    def test_its_figures_count_its_own_stack(self) -> None:
        texts = list_texts(draw(list(self.SITES), self.PLAIN))
        assert ("+1.00" in texts, "+0.50" in texts) == (True, True)

    def test_the_tightest_is_the_one_with_the_least_left_not_with_the_least_room(self) -> None:
        told = describe_jaw_picture(
            self.PLAIN, self.SITES, tissue_mm=Decimal(2), error_mm=Decimal("0.5"), words=WORDS
        )  # fmt: skip
        assert "The tightest is site 33." in told

    def test_its_levels_are_dashed_at_its_own_height(self) -> None:
        picture = draw(list(self.SITES), self.PLAIN)
        zero = find_zero(picture)
        level = {
            round((zero - line.y0) / SCALE, 2)
            for line in picture.shapes
            if isinstance(line, Stroke) and line.y0 == line.y1 and line.colour == "line" and line.width == 1.0
        }
        assert {4.0, 5.0} <= level

    def test_a_shortage_under_its_own_least_stack_is_said(self) -> None:
        site = JawSite(label="33", room_mm=Decimal("2.75"), parts=self.TALL)
        told = describe_jaw_picture(self.PLAIN, [site], tissue_mm=Decimal(2), error_mm=None, words=WORDS)
        assert "Site 33 is 0.25 mm short." in told
