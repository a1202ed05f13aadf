"""Estimated widths of text are never too narrow, and not wastefully wide."""

from functools import cache
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

import estimator
from estimator.pictures.base.lettering import estimate_width

_FONTS = Path(estimator.__file__).parent / "data" / "fonts"
_TEXTS = (
    "Conventional denture", "Snap-on denture on separate posts", "not enough room: 0.60 mm short", "8,590 + 4,900",
    "WWWWWW", "iiiiii", "error ± 0.50", "Nguyễn Thị Ánh", "Полный съёмный протез", "Πλήρης οδοντοστοιχία", "¡Más!",
)  # fmt: skip


@cache
def _open_font(bold: bool) -> TTFont:
    return TTFont(_FONTS / f"NotoSans-{'Bold' if bold else 'Regular'}.ttf")


def _measure(text: str, *, bold: bool) -> float:
    """Width in the font [em]: the oracle."""
    font = _open_font(bold)
    names, widths = font.getBestCmap(), font["hmtx"]
    units: float = font["head"].unitsPerEm
    return float(sum(widths[names[ord(sign)]][0] for sign in text) / units)


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("text", _TEXTS)
def test_an_estimate_is_at_least_the_width_in_the_font(text: str, bold: bool) -> None:
    assert estimate_width(text, size=1, bold=bold) >= _measure(text, bold=bold) - 1e-9


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("text", _TEXTS[:4])
def test_an_estimate_of_english_is_less_than_a_tenth_too_wide(text: str, bold: bool) -> None:
    assert estimate_width(text, size=1, bold=bold) < 1.1 * _measure(text, bold=bold)


def test_width_grows_with_the_size() -> None:
    assert estimate_width("Bar", size=30) == pytest.approx(2 * estimate_width("Bar", size=15))


def test_an_accent_of_its_own_takes_no_width() -> None:
    assert estimate_width("e\u0301", size=10) == estimate_width("e", size=10)


def test_a_full_width_sign_is_one_em() -> None:
    assert estimate_width("義", size=10) == 10
