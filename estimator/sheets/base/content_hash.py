"""The mark of a sheet: a short sum of all that it says, so that a record can name the very sheet it belongs to."""

from collections.abc import Iterator

from estimator.proposal.numbering import group_mark, mark_texts
from estimator.sheets.base.blocks import (
    Block,
    Bullets,
    FigureBlock,
    Heading,
    KeepTogether,
    Letterhead,
    NameLine,
    Paragraph,
    Sheet,
    SignLine,
    TableBlock,
    Text,
    Ticks,
    WriteLine,
)


def mark_sheet(sheet: Sheet) -> str:
    """Eight signs in two groups; equal sheets have equal marks, whatever the colours they are printed in."""
    return group_mark(mark_texts((sheet.number, sheet.created.isoformat(), *list_texts(sheet.blocks))))


def list_texts(blocks: tuple[Block, ...]) -> Iterator[str]:
    """All that blocks say, in reading order; of a picture its alternative text."""
    for block in blocks:
        if isinstance(block, KeepTogether):
            yield from list_texts(block.blocks)
        elif isinstance(block, Bullets | Ticks | SignLine | TableBlock):
            yield from _list_parts(block)
        else:
            yield _read(block)


def _read(block: Block) -> str:
    match block:
        case Heading():
            return block.text
        case Paragraph():
            return _join(block.text)
        case NameLine():
            return " ".join((block.label, block.name, block.note))
        case Letterhead():
            return " ".join((*block.parts, block.alt))
        case WriteLine():
            return block.label
        case FigureBlock():
            return block.alt
        case _:
            return ""


def _list_parts(block: Bullets | Ticks | SignLine | TableBlock) -> Iterator[str]:
    match block:
        case Bullets():
            yield from map(_join, block.items)
        case Ticks():
            yield from (_join(item.text) for item in block.items)
        case SignLine():
            yield from block.labels
        case TableBlock():
            yield from (cell for row in (block.head, *block.rows) for cell in row)


def _join(text: Text) -> str:
    return "".join(span.text for span in text)
