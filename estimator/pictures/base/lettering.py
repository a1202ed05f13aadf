"""How wide a line of text will be, without a font at hand: pictures are laid out before anything is drawn."""

import unicodedata

LINE = 1.3
"""Height of a line of small text, in its size."""
_REGULAR = (
    (0.25, "'"), (0.30, " !(),.:;J`ijl"), (0.35, "-I[]f"), (0.40, "/\\t{}"), (0.45, '"?_r'), (0.50, "csz"),
    (0.55, "FLSkvxy"), (0.575, "$*+0123456789<=>"), (0.60, "ETVXYZ^ae|~"), (0.65, "#ABCKPRbdghnopqu"), (0.75, "&DGHU"),
    (0.80, "NOQw"), (0.85, "%"), (0.90, "@"), (0.95, "MWm"),
)  # fmt: skip
_BOLD = (
    (0.30, " !',.:;"), (0.35, "()-J[]ijl"), (0.40, "I`f{}"), (0.45, "/\\_t"), (0.50, '"?rsz'), (0.55, "*Fc"),
    (0.575, "$+0123456789<=>"), (0.60, "ELSTZ^evxy|~"), (0.65, "#CPVYabdgkopq"), (0.70, "ABKRXhnu"), (0.75, "&DG"),
    (0.80, "HOQU"), (0.85, "N"), (0.90, "@w"), (0.95, "%M"), (1.00, "Wm"),
)  # fmt: skip
# Widths of Noto Sans in ems, each rounded up, so an estimate is never too narrow.
_EMS = {
    False: {sign: width for width, signs in _REGULAR for sign in signs},
    True: {sign: width for width, signs in _BOLD for sign in signs},
}
_SMALL_EMS, _CAPITAL_EMS, _WIDE_EMS = 0.80, 1.15, 1.0


def estimate_width(text: str, *, size: float, bold: bool = False) -> float:
    """Width of a line of text in the unit of `size`; on the wide side, so that what fits here fits when drawn."""
    return size * sum(_measure_sign(sign, _EMS[bold]) for sign in text)


def _measure_sign(sign: str, ems: dict[str, float]) -> float:
    """Width of one sign [em]; an accented letter is as wide as its letter, an unknown one is taken to be wide."""
    if unicodedata.combining(sign):
        return 0.0
    base = unicodedata.normalize("NFD", sign)[0]
    if base in ems:
        return ems[base]
    if unicodedata.east_asian_width(sign) in "WF":
        return _WIDE_EMS
    return _CAPITAL_EMS if sign.isupper() else _SMALL_EMS


def break_words(text: str, *, size: float, width: float, bold: bool = False) -> tuple[str, ...]:
    """Text in lines of at most this width, broken between words, and within a word that is too long by itself."""
    lines: list[str] = []
    for word in text.split():
        joined = f"{lines[-1]} {word}" if lines else word
        if estimate_width(joined, size=size, bold=bold) <= width:
            lines[-1:] = [joined]
        else:
            lines += _cut_word(word, size, width, bold=bold)
    return tuple(lines)


def _cut_word(word: str, size: float, width: float, *, bold: bool) -> list[str]:
    pieces = [""]
    for sign in word:
        if pieces[-1] and estimate_width(pieces[-1] + sign, size=size, bold=bold) > width:
            pieces.append("")
        pieces[-1] += sign
    return pieces
