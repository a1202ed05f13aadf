"""The validator that guards the sheets is young: it must see each of these defects."""

import io
from collections.abc import Callable, Iterator
from datetime import date

import page
import pikepdf
import pytest
from pikepdf import Dictionary, Name, Object

from estimator.pdf.draw import draw_sheet
from estimator.sheets.base.blocks import Bullets, FigureBlock, Heading, Sheet, TableBlock, TextSpan


@pytest.fixture(scope="module")
def sound() -> bytes:
    blocks = (
        Heading(text="Top", level=1),
        Heading(text="Below", level=2),
        FigureBlock(shapes=(), span=(0, 1), height=20, alt="Nothing."),
        TableBlock(head=("a", "b"), rows=(("c", "d"),), widths=(1, 1)),
        Bullets(items=((TextSpan(text="one"),),)),
    )
    return draw_sheet(
        Sheet(title="T", number="1", author="A", language="en", created=date(2026, 1, 2), footer="F", blocks=blocks)
    )


def walk(element: Object) -> Iterator[Object]:
    yield element
    for kid in element.get("/K", []):
        if isinstance(kid, Dictionary) and "/S" in kid:
            yield from walk(kid)


def find(pdf: pikepdf.Pdf, role: str) -> list[Object]:
    return [e for e in walk(pdf.Root.StructTreeRoot.K) if str(e.S) == f"/{role}"]


def drop(key: str) -> Callable[[pikepdf.Pdf], None]:
    def change(pdf: pikepdf.Pdf) -> None:
        del pdf.Root[key]

    return change


def drop_alt(pdf: pikepdf.Pdf) -> None:
    del find(pdf, "Figure")[0].Alt


def skip_a_level(pdf: pikepdf.Pdf) -> None:
    find(pdf, "H2")[0].S = Name.H4


def drop_scopes(pdf: pikepdf.Pdf) -> None:
    for cell in find(pdf, "TH"):
        del cell.A


def free_list_items(pdf: pikepdf.Pdf) -> None:
    find(pdf, "L")[0].S = Name.Sect


def add_script(pdf: pikepdf.Pdf) -> None:
    pdf.Root.OpenAction = Dictionary(S=Name.JavaScript, JS="app.alert(1)")


DEFECTS: dict[str, tuple[str, Callable[[pikepdf.Pdf], None]]] = {
    "a figure without alternative text": ("ua1", drop_alt),
    "a heading level left out": ("ua1", skip_a_level),
    "heading cells without scope": ("ua1", drop_scopes),
    "no language": ("ua1", drop("/Lang")),
    "title not shown": ("ua1", drop("/ViewerPreferences")),
    "no metadata": ("ua1", drop("/Metadata")),
    "not marked as tagged": ("ua1", drop("/MarkInfo")),
    "list items outside a list": ("ua1", free_list_items),
    "no colour profile": ("2a", drop("/OutputIntents")),
    "a script": ("2a", add_script),
}


@pytest.mark.parametrize("defect", DEFECTS)
def test_the_validator_sees_a_planted_defect(sound: bytes, defect: str) -> None:
    profile, change = DEFECTS[defect]
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(sound)) as pdf:
        change(pdf)
        pdf.save(out)
    assert not page.validate_pdf_bytes(out.getvalue(), profile=profile).is_compliant


@pytest.mark.parametrize("profile", ["ua1", "2a"])
def test_the_validator_finds_nothing_in_the_sheet_without_defect(sound: bytes, profile: str) -> None:
    assert page.validate_pdf_bytes(sound, profile=profile).is_compliant
