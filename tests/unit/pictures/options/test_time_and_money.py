"""The pictures of time and money: what each row shows, and that the axis holds it."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.pictures.base.rows import KeyWords, Picture, Sizes, find_misfits
from estimator.pictures.base.shapes import Box, Lettering, Mark, Stroke
from estimator.pictures.options.money import MoneyRow, draw_money
from estimator.pictures.options.time import Months, TimeRow, draw_time

WORDS = KeyWords()
SIZES = Sizes()
_AMOUNT = st.decimals(min_value=0, max_value=5_000_000, places=2)


def _draw_time(*rows: TimeRow) -> Picture:
    return draw_time(rows, SIZES, words=WORDS)


def _draw_money(*rows: MoneyRow, alone: bool = False) -> Picture:
    return draw_money(rows, SIZES, axis="US dollars", words=WORDS, alone=alone)


def _money(first: str | None = "2250", *, set_aside: bool = False) -> MoneyRow:
    total = (Decimal(3150), Decimal(4150), Decimal(5450))
    return MoneyRow(
        name="Bar", finding="finding", first=None if first is None else Decimal(first), total=total, set_aside=set_aside
    )


def _bars(picture: Picture) -> list[Box]:
    return [s for s in picture.shapes if isinstance(s, Box) and s.fill != "stone"]


def _find_words(picture: Picture, text: str) -> Lettering:
    return next(s for s in picture.shapes if isinstance(s, Lettering) and s.text == text)


@given(weeks=st.lists(st.floats(min_value=0, max_value=120), min_size=1, max_size=20), teeth=st.floats(0, 120))
def test_the_calendar_holds_every_trip_and_the_teeth(weeks: list[float], teeth: float) -> None:
    picture = _draw_time(TimeRow(name="Bar", finding="", trips_week=tuple(weeks), teeth_week=teeth))
    assert all(picture.span[0] < s.x < picture.span[1] for s in picture.shapes if isinstance(s, Mark) and s.x > 0)


def test_each_trip_has_a_dot() -> None:
    picture = _draw_time(TimeRow(name="Bar", finding="", trips_week=(0, 1, 2, 5), teeth_week=5))
    dots = [s.x for s in picture.shapes if isinstance(s, Mark) and s.sign == "circle" and s.edge == "paper"]
    assert dots == [0, 1, 2, 5]


def test_the_teeth_are_a_tall_mark_in_their_week() -> None:
    picture = _draw_time(TimeRow(name="Bar", finding="", trips_week=(0, 1, 5), teeth_week=5))
    assert next(s.x for s in picture.shapes if isinstance(s, Mark) and s.sign == "stroke") == 5


def test_a_row_without_trips_has_only_words() -> None:
    picture = _draw_time(TimeRow(name="No treatment now", finding="no trips planned"))
    assert not [s for s in picture.shapes if isinstance(s, Mark) and s.edge == "paper"]


def test_a_calendar_without_any_trip_still_has_a_ruler() -> None:
    assert _draw_time(TimeRow(name="No treatment now", finding="")).span[1] > 0


@given(first=_AMOUNT, low=_AMOUNT, more=_AMOUNT, most=_AMOUNT)
def test_the_axis_of_money_goes_from_zero_past_the_largest_amount(
    first: Decimal, low: Decimal, more: Decimal, most: Decimal
) -> None:
    total = (first + low, first + low + more, first + low + more + most)
    picture = _draw_money(MoneyRow(name="Bar", finding="", first=first, total=total))
    assert picture.span[0] < 0
    assert picture.span[1] > total[2]


@given(amount=st.decimals(min_value=0, max_value=9_000_000, places=2))
def test_no_numeral_of_money_touches_another(amount: Decimal) -> None:
    picture = _draw_money(MoneyRow(name="Bar", finding="", first=amount, total=(amount, amount, amount)))
    assert find_misfits(picture, SIZES.width) == ()


def test_first_cost_and_upkeep_meet() -> None:
    upkeep, first = _bars(_draw_money(_money()))
    assert (first.x0, first.x1, upkeep.x0, upkeep.x1) == (0, 2250, 2250, 4150)


def test_the_range_runs_from_low_to_high() -> None:
    lines = [s for s in _draw_money(_money()).shapes if isinstance(s, Stroke) and s.width == 2]
    assert [(line.x0, line.x1) for line in lines] == [(3150, 5450), (3150, 3150), (5450, 5450)]


def test_nothing_to_pay_is_a_line_at_zero() -> None:
    picture = _draw_money(MoneyRow(name="No treatment now", finding="", first=Decimal(0)))
    assert [s.x0 for s in picture.shapes if isinstance(s, Stroke) and s.width == 2.5] == [0]


def test_an_option_without_a_price_is_not_drawn_as_free() -> None:
    picture = _draw_money(_money(None))
    assert not [s for s in picture.shapes if isinstance(s, Stroke) and s.width > 1]


class TestSetAside:
    def test_its_boxes_are_dashed(self) -> None:
        assert all(box.dashed for box in _bars(_draw_money(_money(set_aside=True))))

    def test_its_boxes_stay_where_they_were(self) -> None:
        aside, plain = _bars(_draw_money(_money(set_aside=True))), _bars(_draw_money(_money()))
        assert [(box.x0, box.x1) for box in aside] == [(box.x0, box.x1) for box in plain]

    def test_its_finding_is_unbold(self) -> None:
        assert not _find_words(_draw_money(_money(set_aside=True)), "finding").bold


@pytest.mark.parametrize(("alone", "bold"), [(True, ("Bar", "finding")), (False, ("finding", "Bar"))])
def test_the_name_leads_alone_and_the_finding_beside_others(alone: bool, bold: tuple[str, str]) -> None:
    picture = _draw_money(_money(), alone=alone)
    assert [_find_words(picture, text).bold for text in bold] == [True, False]


MONTHS = Months(words="from December 1, 2026", marks=((4.43, "2027"), (8.86, "Feb"), (12.86, "Mar")))


def _draw_months(*, width: float = 280, last: float = 14) -> Picture:
    row = TimeRow(name="Bar", finding="", trips_week=(0, 5, last), teeth_week=5)
    return draw_time([row], Sizes(width=width), words=WORDS, months=MONTHS)


def test_a_calendar_of_months_names_each_at_its_first_day() -> None:
    found = {s.text: s.x for s in _draw_months().shapes if isinstance(s, Lettering)}
    assert [found[name] for name in ("2027", "Feb", "Mar")] == [4.43, 8.86, 12.86]
    assert "from December 1, 2026" in found


def test_a_calendar_of_months_bears_no_numerals_of_weeks() -> None:
    assert WORDS.time_axis not in {s.text for s in _draw_months().shapes if isinstance(s, Lettering)}


def test_a_month_without_room_keeps_its_tick_and_loses_its_name() -> None:
    picture = _draw_months(last=200)
    assert {"2027", "Feb", "Mar"} - {s.text for s in picture.shapes if isinstance(s, Lettering)}
    assert {s.x0 for s in picture.shapes if isinstance(s, Stroke) and s.x0 == s.x1} >= {4.43, 8.86, 12.86}
    assert find_misfits(picture, 280) == ()


def test_a_month_after_the_last_trip_is_not_drawn() -> None:
    assert "Mar" not in {s.text for s in _draw_months(last=9).shapes if isinstance(s, Lettering)}
