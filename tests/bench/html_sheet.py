"""The blocks of a sheet as HTML, for the reference renderer: same texts, same tables, same pictures as SVG, same fonts."""

from html import escape
from pathlib import Path

from estimator.pictures.base.look import PRINT
from estimator.pictures.base.shapes import SIGNS, Box, Lettering, Mark, Shape, Slant, Stroke
from estimator.sheets.base.blocks import (
    Block,
    Bullets,
    FigureBlock,
    Heading,
    KeepTogether,
    Letterhead,
    NameLine,
    PageBreak,
    Paragraph,
    Sheet,
    SignLine,
    TableBlock,
    Text,
    Ticks,
    WriteLine,
)

FONTS = Path(__file__).resolve().parents[2] / "estimator" / "data" / "fonts"
STYLE = """
@font-face { font-family: Sheet; src: url(%s); font-weight: 400 }
@font-face { font-family: Sheet; src: url(%s); font-weight: 700 }
@page { size: Letter; margin: 15mm 25.4mm 18mm }
body { font: 14pt/1.38 Sheet; margin: 0 } p, ul, table, h1, h2, h3 { margin: 0 0 5pt } h1 { font-size: 25pt } h2 { font-size: 17pt } h3 { font-size: 14pt }
.small { font-size: 12pt } table { width: 100%%; border-collapse: collapse } td, th { border-bottom: 0.25mm solid #76768C;
text-align: right; font-weight: 400 } tr > :first-child { text-align: left } thead th { font-weight: 700 }
.line { border-bottom: 0.25mm solid #76768C; line-height: 2 } .break { break-after: page } .together { break-inside: avoid }
"""


def write_html(sheet: Sheet) -> str:
    """A whole document."""
    style = STYLE % tuple((FONTS / f"NotoSans-{w}.ttf").as_uri() for w in ("Regular", "Bold"))
    body = "".join(_write(block) for block in sheet.blocks)
    head = f"<meta charset='utf-8'><title>{escape(sheet.title)}</title><style>{style}</style>"
    return f"<!doctype html><html lang='{sheet.language}'><head>{head}</head><body>{body}</body></html>"


def _spans(text: Text) -> str:
    return "".join(f"<b>{escape(s.text)}</b>" if s.bold else escape(s.text) for s in text)


def _write(block: Block) -> str:
    match block:
        case Heading():
            return f"<h{block.level}>{escape(block.text)}</h{block.level}>"
        case TableBlock():
            return _table(block)
        case FigureBlock():
            return _figure(block)
        case KeepTogether():
            return "<div class=together>" + "".join(_write(inner) for inner in block.blocks) + "</div>"
        case PageBreak():
            return "<div class=break></div>"
        case _:
            return _write_text(block)


def _write_text(block: Block) -> str:
    match block:
        case Paragraph():
            return f"<p{' class=small' if block.small else ''}>{_spans(block.text)}</p>"
        case Letterhead():
            return f"<p class=small>{escape('  ·  '.join(block.parts))}</p>"
        case NameLine():
            return f"<p class=small>{escape(block.label)} {escape(block.name)} {escape(block.note)}</p>"
        case Bullets():
            return "<ul>" + "".join(f"<li>{_spans(item)}</li>" for item in block.items) + "</ul>"
        case Ticks():
            return "<ul>" + "".join(f"<li>{_spans(item.text)}</li>" for item in block.items) + "</ul>"
        case WriteLine():
            return f"<p class=line>{escape(block.label)}</p>"
        case SignLine():
            return f"<p class='small line'>{escape(' '.join(block.labels))}</p>"
        case _:
            raise TypeError(f"{type(block).__name__} has no HTML; expected a block of text")


def _table(table: TableBlock) -> str:
    head = "".join(f"<th scope=col>{escape(cell)}</th>" for cell in table.head)
    rows = "".join(
        f"<tr><th scope=row>{escape(row[0])}</th>" + "".join(f"<td>{escape(cell)}</td>" for cell in row[1:]) + "</tr>"
        for row in table.rows
    )
    return f"<table{' class=small' if table.small else ''}><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"


def _figure(figure: FigureBlock) -> str:
    wide = (figure.width_mm or 165.1) / 25.4 * 72
    scale = wide / (figure.span[1] - figure.span[0])
    shapes = "".join(_shape(shape, figure.span[0], scale) for shape in figure.shapes)
    size = f"width='{wide:.2f}pt' height='{figure.height:.2f}pt' viewBox='0 0 {wide:.2f} {figure.height:.2f}'"
    return f"<figure style='margin:0'><svg role=img aria-label='{escape(figure.alt)}' {size}>{shapes}</svg></figure>"


def _shape(shape: Shape, start: float, scale: float) -> str:
    def x(value: float) -> float:
        return (value - start) * scale

    match shape:
        case Box():
            fill, edge = PRINT[shape.fill] if shape.fill else "none", PRINT[shape.edge] if shape.edge else "none"
            size = f"width='{x(shape.x1) - x(shape.x0):.2f}' height='{shape.y1 - shape.y0:.2f}'"
            return f"<rect x='{x(shape.x0):.2f}' y='{shape.y0:.2f}' {size} fill='{fill}' stroke='{edge}'/>"
        case Slant():
            top, foot = (x(shape.x0), x(shape.x1)), (x(shape.x1 + shape.foot), x(shape.x0 + shape.foot))
            four = [*((at, shape.y0) for at in top), *((at, shape.y1) for at in foot)]
            corners = " ".join(f"{at:.2f},{y:.2f}" for at, y in four)
            return f"<polygon points='{corners}' fill='{PRINT[shape.fill]}' stroke='{PRINT[shape.edge]}'/>"
        case Stroke():
            ends = f"x1='{x(shape.x0):.2f}' x2='{x(shape.x1):.2f}' y1='{shape.y0:.2f}' y2='{shape.y1:.2f}'"
            return f"<line {ends} stroke='{PRINT[shape.colour]}' stroke-width='{shape.width}'/>"
        case Lettering():
            anchor = {"left": "start", "center": "middle", "right": "end"}[shape.align]
            place = f"x='{x(shape.x) + shape.dx:.2f}' y='{shape.y + shape.size * 0.36:.2f}' text-anchor='{anchor}'"
            weight = 700 if shape.bold else 400
            return f"<text {place} font-size='{shape.size}' font-weight='{weight}'>{escape(shape.text)}</text>"
        case Mark():
            return _mark(shape, x(shape.x) + shape.dx)


def _mark(mark: Mark, at: float) -> str:
    fill, half = PRINT[mark.fill] if mark.fill else "none", mark.size / 2
    if mark.sign == "circle":
        return f"<circle cx='{at:.2f}' cy='{mark.y:.2f}' r='{half}' fill='{fill}'/>"
    return "".join(
        "<polygon points='"
        + " ".join(f"{at + a * half:.2f},{mark.y + b * half:.2f}" for a, b in sign)
        + f"' fill='{fill}'/>"
        for sign in SIGNS[mark.sign]
    )
