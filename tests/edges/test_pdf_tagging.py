"""Misuse of the tagging layer is an error, not an untagged file."""

from collections.abc import Callable
from datetime import date

import pytest

from estimator.pdf.structure import About
from estimator.pdf.tagged import TaggedPDF, TaggingError

ABOUT = About(title="T", author="A", language="en", created=date(2026, 1, 2))


def draw_untagged(pdf: TaggedPDF) -> None:
    pdf.add_page()
    pdf.line(0, 0, 9, 9)


def open_twice(pdf: TaggedPDF) -> None:
    pdf.add_page()
    with pdf.content(pdf.add_element("P")), pdf.artifact():
        pass


def turn_page_inside(pdf: TaggedPDF) -> None:
    pdf.add_page()
    with pdf.content(pdf.add_element("P")):
        pdf.add_page()


def draw_in_a_group(pdf: TaggedPDF) -> None:
    pdf.add_page()
    with pdf.content(pdf.add_element("Table")):
        pass


def draw_before_a_page(pdf: TaggedPDF) -> None:
    with pdf.artifact():
        pass


def leave_open(pdf: TaggedPDF) -> None:
    pdf.add_page()
    pdf.artifact().__enter__()
    pdf.finish()


MISUSE: dict[str, tuple[Callable[[TaggedPDF], object], str]] = {
    "drawing outside marked content": (draw_untagged, "drawn outside marked content"),
    "content inside content": (open_twice, "Artifact inside P"),
    "a page turned inside content": (turn_page_inside, "opened on page 1 and closed on page 2"),
    "drawing in a group": (draw_in_a_group, "Table holds elements"),
    "content before the first page": (draw_before_a_page, "before the first page"),
    "content left open": (leave_open, "Artifact is still open"),
    "no page": (lambda pdf: pdf.finish(), "without a page"),
    "an unknown role": (lambda pdf: pdf.add_element("Card"), "role 'Card' is not known"),
    "a cell outside a row": (lambda pdf: pdf.add_element("TD"), "TD under Document; expected it under TR"),
    "a figure without alternative text": (lambda pdf: pdf.add_element("Figure", alt=" "), "without alternative text"),
    "a second heading level first": (lambda pdf: pdf.add_element("H2"), "H2 after H0"),
}


@pytest.mark.parametrize("case", MISUSE)
def test_misuse_is_refused(case: str) -> None:
    work, message = MISUSE[case]
    with TaggedPDF(paper="letter", about=ABOUT) as pdf, pytest.raises(TaggingError, match=message):
        work(pdf)
