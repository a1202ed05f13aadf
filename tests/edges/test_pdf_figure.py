"""Pictures and tables on paper: where they lie, what is refused, what they leave behind."""

import io
from collections.abc import Iterator
from datetime import date

import pikepdf
import pypdf
import pytest

from estimator.pdf.draw import draw_sheet
from estimator.pdf.figure import FigureError
from estimator.pdf.rows import TableError
from estimator.pictures.base.look import GREY, PRINT
from estimator.pictures.base.shapes import Box, Lettering, Mark, Shape
from estimator.sheets.base.blocks import Block, FigureBlock, Heading, Sheet, TableBlock


def draw(*blocks: Block, grey: bool = False) -> bytes:
    sheet = Sheet(
        title="T", number="1", author="A", language="en", created=date(2026, 1, 2), footer="F",
        blocks=(Heading(text="Top", level=1), *blocks),
    )  # fmt: skip
    return draw_sheet(sheet, grey=grey)


def make_figure(*shapes: Shape, width_mm: float | None = None) -> FigureBlock:
    return FigureBlock(shapes=shapes, span=(0, 14), height=60, alt="Room: 6 mm.", width_mm=width_mm)


def read_operations(data: bytes) -> Iterator[tuple[str, list[object]]]:
    """Operators of the first page; operands are good only until the next one, while the file is open."""
    with pikepdf.open(io.BytesIO(data)) as pdf:
        for step in pikepdf.parse_content_stream(pdf.pages[0]):
            yield str(step.operator), list(step.operands)


@pytest.mark.parametrize("grey", [False, True])
def test_a_box_is_printed_where_the_ruler_says_in_the_colour_of_its_role(grey: bool) -> None:
    # Half of the text width of 468 points, from 6 to 8 of a ruler of 14 units; the figure begins 79 points down.
    data = draw(make_figure(Box(x0=6, x1=8, y0=10, y1=50, fill="must")), grey=grey)
    document = pytest.importorskip("pypdfium2").PdfDocument(data)
    image = document[0].render(scale=1).to_numpy()
    document.close()
    inside, left, right = image[110, 306, ::-1], image[110, 260], image[110, 352]
    wanted = (GREY if grey else PRINT)["must"]
    assert "#{:02X}{:02X}{:02X}".format(*inside) == wanted
    assert left.tolist() == right.tolist() == [255, 255, 255]


def test_a_figure_wider_than_the_text_is_refused() -> None:
    with pytest.raises(FigureError, match=r"170.0 mm wide; expected at most 165.1 mm"):
        draw(make_figure(width_mm=170))


def test_small_words_in_a_figure_are_refused() -> None:
    with pytest.raises(FigureError, match="expected 12 or more"):
        draw(make_figure(Lettering(x=0, y=9, text="mm", size=11)))


def test_an_unknown_sign_in_a_figure_is_refused() -> None:
    with pytest.raises(FigureError, match="the sign 'star' is not known"):
        draw(make_figure(Mark(x=0, y=9, sign="star", size=12)))


def test_a_figure_says_where_it_lies() -> None:
    with pikepdf.open(io.BytesIO(draw(make_figure(width_mm=127)))) as pdf:
        box = [float(v) for v in pdf.Root.StructTreeRoot.K.K[1].A.BBox]
    assert (box[0], box[2] - box[0], box[3] - box[1]) == pytest.approx((72, 360, 60), abs=0.02)


def test_dashes_and_widths_of_a_figure_do_not_reach_the_lines_after_it() -> None:
    dashed = make_figure(Box(x0=0, x1=1, y0=0, y1=9, edge="ink", dashed=True))
    table = TableBlock(head=("a", "b"), rows=(("c", "d"),), widths=(1, 1))
    states, dash, strokes = [], "[]", []
    for operator, operands in read_operations(draw(dashed, table)):
        if operator == "q":
            states.append(dash)
        elif operator == "Q":
            dash = states.pop()
        elif operator == "d":
            dash = str(operands[0])
        elif operator in {"S", "s"}:
            strokes.append(dash)
    assert len(strokes) == 2
    assert strokes[0] != strokes[1] == "[]"


def test_a_table_row_with_a_cell_too_few_is_refused() -> None:
    with pytest.raises(TableError, match="row 1 of the table"):
        draw(TableBlock(head=("a", "b"), rows=(("c",),), widths=(1, 1)))


def test_numbers_stand_under_each_other_on_the_right() -> None:
    table = TableBlock(head=("a", "b"), rows=(("c", "1"), ("d", "1,000")), widths=(1, 1))
    ends: list[float] = []

    def note(text: str, _matrix: list[float], at: list[float], _font: object, size: float) -> None:
        if text.strip() in {"1", "1,000"}:
            # Noto Sans digits are 0.572 of the size wide, the comma 0.268.
            wide = sum(0.268 if c == "," else 0.572 for c in text.strip()) * size
            ends.append(at[4] + wide)

    pypdf.PdfReader(io.BytesIO(draw(table))).pages[0].extract_text(visitor_text=note)
    assert ends == pytest.approx([540, 540], abs=0.2)
