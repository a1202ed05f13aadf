"""The frame of the three pictures: rows meet, keys do not spill, words that would be cut are named."""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.pictures.base.rows import LINE, KeyWords, Picture, Sizes, find_misfits
from estimator.pictures.base.shapes import Lettering, Mark, Stroke
from estimator.pictures.options.money import MoneyRow, draw_money
from estimator.pictures.options.room import RoomRow, draw_room
from estimator.pictures.options.time import TimeRow, draw_time

NAMES = ("Conventional denture", "Individual attachments", "Connecting bar", "No treatment now")
WORDS = KeyWords()


def _draw_all(sizes: Sizes, words: KeyWords = WORDS, names: tuple[str, ...] = NAMES) -> tuple[Picture, ...]:
    room = tuple(
        RoomRow(name=name, finding="fits", verdict="fits", least_mm=Decimal(4), usual_mm=Decimal(5)) for name in names
    )
    time = tuple(TimeRow(name=name, finding="3 trips", trips_week=(0, 1, 4), teeth_week=4) for name in names)
    total = (Decimal(120), Decimal(150), Decimal(190))
    money = tuple(MoneyRow(name=name, finding="about 100", first=Decimal(100), total=total) for name in names)
    return (
        draw_room(room, sizes, room_mm=Decimal("11.5"), error_mm=Decimal("0.5"), words=words),
        draw_time(time, sizes, words=words),
        draw_money(money, sizes, axis="US dollars", words=words),
    )


@pytest.mark.parametrize("sizes", [Sizes(), Sizes(small=12, body=14, wide=True, width=468)], ids=["screen", "paper"])
@pytest.mark.parametrize("part", ["name", "finding", "hairline"])
def test_rows_of_the_three_pictures_meet(sizes: Sizes, part: str) -> None:
    pick: dict[str, Callable[[Picture], list[float]]] = {
        "name": lambda p: [s.y for s in p.shapes if isinstance(s, Lettering) and s.text in NAMES],
        "finding": lambda p: [
            s.y for s in p.shapes if isinstance(s, Lettering) and s.text in {"fits", "3 trips", "about 100"}
        ],
        "hairline": lambda p: [s.y0 for s in p.shapes if isinstance(s, Stroke) and s.width == 0.7],
    }
    room, time, money = (pick[part](picture) for picture in _draw_all(sizes))
    assert room
    assert room == time == money


def test_the_three_pictures_are_equally_high() -> None:
    assert len({picture.height for picture in _draw_all(Sizes())}) == 1


def test_no_hairline_stands_above_the_first_row() -> None:
    lines = [s for s in _draw_all(Sizes())[0].shapes if isinstance(s, Stroke) and s.width == 0.7]
    assert len(lines) == len(NAMES) - 1


@pytest.mark.parametrize("index", [0, 1, 2], ids=["room", "time", "money"])
@pytest.mark.parametrize("sizes", [Sizes(), Sizes(small=15, body=18, wide=True, width=468)], ids=["screen", "paper"])
def test_ordinary_words_fit(index: int, sizes: Sizes) -> None:
    assert find_misfits(_draw_all(sizes)[index], sizes.width) == ()


@pytest.mark.parametrize("index", [0, 1, 2], ids=["room", "time", "money"])
def test_long_words_in_a_key_get_lines_of_their_own(index: int) -> None:
    long = "words of a patient, long enough"
    words = KeyWords(least=long, usual=long, left_over=long, error=long, trip=long, teeth=long, first=long, upkeep=long)
    assert find_misfits(_draw_all(Sizes(), words)[index], 280) == ()


def test_a_longer_key_makes_the_picture_higher_by_its_lines() -> None:
    long = "words of a patient, long enough"
    plain, _, _ = _draw_all(Sizes())
    higher, _, _ = _draw_all(Sizes(), KeyWords(least=long, usual=long, left_over=long, error=long))
    assert higher.height == pytest.approx(plain.height + 2 * Sizes().key_line)


def test_the_key_lies_inside_the_picture() -> None:
    for picture in _draw_all(Sizes()):
        assert max(s.y for s in picture.shapes if isinstance(s, Mark)) + 13 / 2 <= picture.height


def test_a_name_that_would_be_cut_is_named() -> None:
    name = "Overdenture on individual attachments, converted from the present one"
    assert find_misfits(_draw_all(Sizes(), names=(name,))[0], 280) == (name,)


def test_words_that_would_run_into_others_are_named() -> None:
    sizes = Sizes(wide=True, width=500)
    row = MoneyRow(name="Bar", finding="2,250 to begin with, later 1,900", foot="in all 3,150 to 5,450")
    picture = draw_money((row,), sizes, axis="USD", words=WORDS)
    assert find_misfits(picture, 500) == ()
    assert "2,250 to begin with, later 1,900 | in all 3,150 to 5,450" in find_misfits(picture, 280)


def test_a_wide_row_puts_a_foot_that_has_no_room_beside_below_and_breaks_long_words() -> None:
    sizes = Sizes(wide=True, width=280)
    row = MoneyRow(name="Bar", finding="2,250 to begin with, later 1,900", foot="in all 3,150 to 5,450")
    long = replace(
        row, name="A snap-on denture on a bar between four implants", finding=f"{row.finding}, or thereabouts"
    )
    lower, higher = (draw_money((r,), sizes, axis="USD", words=WORDS) for r in (row, long))
    assert find_misfits(lower, 280) == find_misfits(higher, 280) == ()
    assert higher.height - lower.height == pytest.approx(2 * sizes.body * LINE)


def test_a_row_without_foot_has_no_empty_words() -> None:
    assert all(shape.text for picture in _draw_all(Sizes()) for shape in picture.shapes if isinstance(shape, Lettering))
