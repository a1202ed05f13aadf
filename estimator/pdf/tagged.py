"""A PDF whose every mark on paper belongs to the structure tree or is an artifact (fpdf2 draws, `structure` finishes).

Make elements in reading order, then draw inside `content(element)` or `artifact()`. All lengths are points.
"""

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from types import TracebackType
from typing import Self

from fpdf import FPDF
from fpdf.fonts import TTFFont
from fpdf.line_break import Fragment

from estimator.pdf.structure import About, Element, add_structure

_PARENTS: dict[str, tuple[str, ...]] = {
    "LI": ("L",), "Lbl": ("LI",), "LBody": ("LI",), "TR": ("Table",), "TH": ("TR",), "TD": ("TR",),
}  # fmt: skip
_GROUPS = frozenset({"Document", "L", "LI", "Table", "TR"})
_LEAVES = frozenset({"P", "H1", "H2", "H3", "Span", "Figure", "Lbl", "LBody", "TH", "TD"})
# Operators that leave a mark: show text, paint a path, an image or a shading.
_PAINTS = re.compile(r"(?:^|\s)(?:Tj|TJ|S|s|f|F|f\*|B|B\*|b|b\*|Do|sh)(?:\s|$)")


class TaggingError(RuntimeError):
    """The structure of a file would not be sound; the message says what was done and what was expected."""


@dataclass(slots=True, kw_only=True)
class _Marks:
    """Where marked content stands: the mark that is open, marks made on each page, the last heading level."""

    open: str = ""
    made: dict[int, int] = field(default_factory=dict)
    level: int = 0


class TaggedPDF(FPDF):
    """An fpdf2 document that takes no drawing outside marked content. Use in `with`: it holds font files open."""

    def __init__(self, *, paper: str, about: About) -> None:
        super().__init__(unit="pt", format=paper, enforce_compliance="PDF/A-2U")
        self.about = about
        self.root = Element(role="Document")
        self.measured: dict[tuple[str, str, str, bool, float], float] = {}
        self._marks = _Marks()
        self.set_creation_date(_midnight(about.created))
        # Otherwise "{nb}" in a text would turn into the number of pages.
        self.alias_nb_pages("")
        self.set_auto_page_break(False)
        self.c_margin = 0

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        for font in self.fonts.values():
            if isinstance(font, TTFFont):
                font.close()

    def add_element(
        self,
        role: str,
        parent: Element | None = None,
        *,
        alt: str = "",
        language: str = "",
        spoken: str = "",
        attributes: dict[str, str | int] | None = None,
    ) -> Element:
        """Put an element last under its parent (the document if none is given); raises `TaggingError`.

        `spoken` is its text in reading order, where what is drawn has another order.
        """
        above = self.root if parent is None else parent
        self._check_element(role, above, alt)
        element = Element(role=role, alt=alt, language=language, spoken=spoken, attributes=attributes or {})
        above.kids.append(element)
        return element

    @contextmanager
    def content(self, element: Element) -> Iterator[None]:
        """What is drawn inside belongs to the element; more than once for one that goes on over the page end."""
        if element.role in _GROUPS:
            raise TaggingError(f"{element.role} holds elements, not drawing; expected one of {sorted(_LEAVES)}")
        number = self._marks.made.get(self.page, 0)
        with self._mark(element.role, f"<</MCID {number}>>"):
            self._marks.made[self.page] = number + 1
            element.kids.append((self.page, number))
            yield

    @contextmanager
    def artifact(self, kind: str = "Layout") -> Iterator[None]:
        """What is drawn inside is read by no one: lines, page numbers, a heading row repeated."""
        with self._mark("Artifact", f"<</Type /{kind}>>"):
            yield

    @contextmanager
    def spoken_as(self, text: str) -> Iterator[None]:
        """Give the letters in reading order for glyphs that shaping has put in another order."""
        self._out(f"/Span <</ActualText <FEFF{text.encode('utf-16-be').hex().upper()}>>> BDC")
        try:
            yield
        finally:
            self._out("EMC")

    def finish(self) -> bytes:
        """The whole file; raises `TaggingError` where it has no page or content is still open."""
        if not self.pages_count:
            raise TaggingError("a file without a page; expected at least one")
        if self._marks.open:
            raise TaggingError(f"{self._marks.open} is still open at the end of the file")
        self._drop_layout_tables()
        return add_structure(bytes(self.output()), self.root, self.about)

    def _drop_layout_tables(self) -> None:
        """Take out the tables that shape text: a PDF places every glyph itself, and subsetting them takes most time."""
        for font in self.fonts.values():
            for table in ("GDEF", "GPOS", "GSUB", "kern"):
                if isinstance(font, TTFFont) and table in font.ttfont:
                    del font.ttfont[table]

    @contextmanager
    def _mark(self, role: str, properties: str) -> Iterator[None]:
        if self._marks.open:
            raise TaggingError(f"{role} inside {self._marks.open}; expected that to be closed first")
        if not self.page:
            raise TaggingError(f"{role} before the first page; expected add_page() first")
        page, self._marks.open = self.page, role
        self._out(f"/{role} {properties} BDC")
        yield
        if self.page != page:
            raise TaggingError(f"{role} was opened on page {page} and closed on page {self.page}")
        self._out("EMC")
        self._marks.open = ""

    def _check_element(self, role: str, above: Element, alt: str) -> None:
        if role not in _GROUPS | _LEAVES:
            raise TaggingError(f"role {role!r} is not known; expected one of {sorted(_GROUPS | _LEAVES)}")
        if role in _PARENTS and above.role not in _PARENTS[role]:
            raise TaggingError(f"{role} under {above.role}; expected it under {_PARENTS[role][0]}")
        if role == "Figure" and not alt.strip():
            raise TaggingError("a Figure without alternative text; expected a sentence that says what it shows")
        if role[0] == "H":
            self._check_level(int(role[1]))

    def _check_level(self, level: int) -> None:
        if level > self._marks.level + 1:
            raise TaggingError(f"H{level} after H{self._marks.level}; expected no level left out, H1 first")
        self._marks.level = level

    # Two private methods of fpdf2 are overridden, here and nowhere else; the release is pinned for their sake.

    def _out(self, s: str | bytes) -> None:
        # fpdf2 has no public way to write marked content; and all that is drawn passes here, so that nothing
        # can be drawn untagged unnoticed.
        if not self._marks.open and isinstance(s, str) and _PAINTS.search(s):
            raise TaggingError("drawn outside marked content; expected content(element) or artifact() around it")
        super()._out(s)

    def _preload_bidirectional_text(self, text: str, markdown: bool) -> Sequence[Fragment]:  # noqa: ARG002
        # Text comes here as runs of one face and one direction. fpdf2 would cut them again where the script
        # property changes, which it does at joiners and vowel signs, and so break letters that belong together.
        if self.text_shaping:
            direction = self.text_shaping["direction"]
            self.text_shaping |= {"fragment_direction": direction, "paragraph_direction": direction}
        return (Fragment(text, self._get_current_graphics_state(), self.k),)


def _midnight(day: date) -> datetime:
    return datetime(day.year, day.month, day.day, tzinfo=UTC)
