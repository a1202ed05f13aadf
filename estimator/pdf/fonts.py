"""The shipped fonts, and which of them a character is printed in. A character none of them has is an error."""

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import uharfbuzz

from estimator.sheets.base.blocks import Text, TextSpan

FOLDER = Path(__file__).resolve().parent.parent / "data" / "fonts"


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """A font file and how its script is set; `language` is a BCP 47 tag: language not known, script known."""

    family: str
    file: str
    style: str = ""
    shaped: bool = False
    rtl: bool = False
    language: str = ""

    @property
    def path(self) -> Path:
        """Where the font file lies."""
        return FOLDER / self.file


def _noto(script: str, subtag: str, *, shaped: bool = True, rtl: bool = False) -> Face:
    file = f"NotoSans{script}-Regular.ttf"
    return Face(family=script.lower(), file=file, shaped=shaped, rtl=rtl, language=f"und-{subtag}")


REGULAR = Face(family="text", file="NotoSans-Regular.ttf")
BOLD = Face(family="text", file="NotoSans-Bold.ttf", style="B")
FALLBACKS: tuple[Face, ...] = (
    _noto("Arabic", "Arab", rtl=True),
    _noto("Hebrew", "Hebr", rtl=True),
    _noto("Devanagari", "Deva"),
    _noto("Bengali", "Beng"),
    _noto("Gurmukhi", "Guru"),
    _noto("Gujarati", "Gujr"),
    _noto("Oriya", "Orya"),
    _noto("Tamil", "Taml"),
    _noto("Telugu", "Telu"),
    _noto("Kannada", "Knda"),
    _noto("Malayalam", "Mlym"),
    _noto("Sinhala", "Sinh"),
    _noto("Thai", "Thai"),
    _noto("Lao", "Laoo"),
    _noto("Myanmar", "Mymr"),
    _noto("Khmer", "Khmr"),
    _noto("Georgian", "Geor", shaped=False),
    _noto("Armenian", "Armn", shaped=False),
    _noto("Ethiopic", "Ethi", shaped=False),
    # DejaVu has letters of many scripts too, so it comes after the fonts made for them.
    Face(family="symbols", file="DejaVuSans.ttf"),
    Face(family="hangul", file="NanumGothicCoding.ttf", language="und-Hang"),
    Face(family="han", file="DroidSansFallbackFull.ttf", language="und-Hani"),
)
"""In the order they are asked for a character that Noto Sans does not have."""

# They print nothing, and some could make a line read otherwise than it was written (U+202E turns it round).
_UNPRINTED = dict.fromkeys(map(ord, "\r\u00ad\u200b\u200e\u200f\u061c\u2060\ufeff\u202a\u202b\u202c\u202d\u202e"))
_UNPRINTED |= dict.fromkeys(range(0x2066, 0x206A))
_UNPRINTED |= {ord("\t"): " "}
_FIRST_MARK = "\u0300"
"""Before it Unicode has no mark that stands on another letter."""


class MissingGlyph(ValueError):  # noqa: N818 - the house names an error by what is wrong
    """No shipped font has this character."""

    def __init__(self, character: str, text: str) -> None:
        self.character, self.text = character, text
        name = unicodedata.name(character, "no Unicode name")
        super().__init__(
            f"no shipped font has {character!r} (U+{ord(character):04X}, {name}) in {text!r}; "
            "expected letters of a living script or common symbols"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Text in one face; `shaped` where letters join, stack or change places."""

    text: str
    face: Face
    shaped: bool = False

    def say(self, text: str) -> "Run":
        """Another text in the same face (`dataclasses.replace` would do, four times slower)."""
        return Run(text=text, face=self.face, shaped=self.shaped)


@cache
def read_coverage(path: Path) -> frozenset[int]:
    """Code points that a font file can print; some files list control characters, which print nothing."""
    listed = uharfbuzz.Face(uharfbuzz.Blob.from_file_path(str(path))).unicodes
    return frozenset(code for code in listed if unicodedata.category(chr(code)) != "Cc")


def clean_text(text: str) -> str:
    """The text as printed: composed letters (NFC), no characters that print nothing."""
    if text.isascii() and text.isprintable():
        return text
    return unicodedata.normalize("NFC", text.translate(_UNPRINTED))


def split_runs(text: Text) -> tuple[Run, ...]:
    """Cut text into runs of one face each; raises `MissingGlyph`."""
    return tuple(run for span in text for run in _split_span(span))


def find_face(text: str) -> Face:
    """The first face of a name that tells its script, else the face of all text; raises `MissingGlyph`."""
    return next((run.face for run in split_runs((TextSpan(text=text),)) if run.face.language), REGULAR)


def _split_span(span: TextSpan) -> Iterator[Run]:
    text = clean_text(span.text)
    face, start = BOLD if span.bold else REGULAR, 0
    if read_coverage(face.path).issuperset(map(ord, text.replace("\n", ""))):
        yield from [_make_run(text, face)] if text else []
        return
    for place, character in enumerate(text):
        chosen = _choose_face(character, face, text, bold=span.bold)
        if chosen is not face and place > start:
            yield _make_run(text[start:place], face)
            start = place
        face = chosen
    if text:
        yield _make_run(text[start:], face)


def _make_run(text: str, face: Face) -> Run:
    marks = max(text) >= _FIRST_MARK and any(unicodedata.category(c) == "Mn" for c in text)
    return Run(text=text, face=face, shaped=face.shaped or marks)


def _choose_face(character: str, before: Face, text: str, *, bold: bool) -> Face:
    plain = BOLD if bold else REGULAR
    if character == "\n":
        return before
    # Spaces, joiners and marks stay with the letters before them: shaping and right-to-left order need them there.
    sticks = unicodedata.category(character) in {"Zs", "Mn", "Mc", "Me", "Cf"}
    faces = (before, plain, *FALLBACKS) if sticks else (plain, *FALLBACKS)
    for face in faces:
        if ord(character) in read_coverage(face.path):
            return face
    raise MissingGlyph(character, text)
