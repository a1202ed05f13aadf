"""Puts slabs on pages: what must stay together stays together, and nothing falls over the page end. Points."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import groupby, pairwise

_EMPTY, _LEAST_LEFT = 0.25, 0.5
"""Shares of a page: one that holds less than the first looks forgotten; one that gives keeps the second at least."""
_TIGHT = (0.75, 0.5)
"""How far gaps may shrink where a page that would look forgotten is saved by it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Slab:
    """A piece of page that is never split. `draw` gets its top edge.

    `before` is the gap above it, left out at the top of a page; `keep` holds it to the next slab, where it is `loose`
    only while all that is held together fits on a page; `again` is drawn above it when it begins a page (the heading
    row of a table); `turn` begins a new page and draws nothing.
    """

    height: float
    draw: Callable[[float], None]
    before: float = 0.0
    keep: bool = False
    loose: bool = False
    again: "Slab | None" = None
    turn: bool = False


_Chunk = tuple[Slab, ...]
_Pages = list[list[_Chunk]]


class TooTall(ValueError):  # noqa: N818 - the house names an error by what is wrong
    """Something that may not be split is taller than a page."""


def place_slabs(slabs: tuple[Slab, ...], *, top: float, bottom: float, turn_page: Callable[[], None]) -> None:
    """Draw the slabs from `top` down, on as many pages as they need; the first page is there already.

    No page is left with a few lines where the gaps, or what stands on the page before it, can help.
    """
    first = True
    for turn, part in groupby(slabs, key=lambda slab: slab.turn):
        if turn:
            continue
        for page in _set_pages(tuple(part), bottom - top):
            if not first:
                turn_page()
            first = False
            _draw_page(page, top, bottom)


def _set_pages(slabs: tuple[Slab, ...], room: float) -> _Pages:
    """Pages of what stands between two page breaks, even ones where that is possible."""
    pages = _fill_pages(slabs, room)
    if len(pages) > 1 and _measure(pages[-1]) < room * _EMPTY:
        for share in _TIGHT:
            tight = _fill_pages(tuple(replace(slab, before=slab.before * share) for slab in slabs), room)
            if len(tight) < len(pages):
                return _even_out(tight, room)
    return _even_out(pages, room)


def _fill_pages(slabs: tuple[Slab, ...], room: float) -> _Pages:
    """Page by page as much as it holds."""
    pages: _Pages = [[]]
    used = 0.0
    for chunk in _split_tall(_chunks(slabs), room):
        if pages[-1] and used + _add_up(chunk) > room:
            pages.append([])
        # Only a chunk taller than a whole page is split between its slabs after all.
        whole = bool(pages[-1]) or _measure([chunk]) <= room
        for piece in (chunk,) if whole else tuple((slab,) for slab in chunk):
            if pages[-1] and used + _add_up(piece) > room:
                pages.append([])
            used = used + _add_up(piece) if pages[-1] else _measure([piece])
            pages[-1].append(piece)
    return pages


def _even_out(pages: _Pages, room: float) -> _Pages:
    """A page with a few lines gets the last pieces of the page before it, unless that is then too empty itself.

    Where nothing else can move, rows of a table do that were held together.
    """
    for before, page in pairwise(pages):
        if _measure(page) < room * _EMPTY and not _move_down(before, page, room):
            free = list(_free_rows(before))
            if _move_down(free, page, room):
                before[:] = free
    return pages


def _move_down(before: list[_Chunk], page: list[_Chunk], room: float) -> bool:
    """Move as few pieces as are enough from the end of a page to the next; whether that could be done."""
    for count in range(1, len(before)):
        left, more = before[:-count], [*before[-count:], *page]
        if _measure(left) < room * _LEAST_LEFT or _measure(more) > room:
            return False
        if _measure(more) >= room * _EMPTY:
            before[:], page[:] = left, more
            return True
    return False


def _free_rows(page: list[_Chunk]) -> Iterator[_Chunk]:
    """The same pieces, with those rows let go that are only held together loosely."""
    slabs = tuple(slab for chunk in page for slab in chunk)
    after = (*slabs[1:], None)
    freed = (bool(slab.loose and slab.again and then and then.again) for slab, then in zip(slabs, after, strict=True))
    return _chunks(tuple(replace(slab, keep=slab.keep and not let) for slab, let in zip(slabs, freed, strict=True)))


def _draw_page(page: list[_Chunk], top: float, bottom: float) -> None:
    y = top
    for number, slab in enumerate(slab for chunk in page for slab in chunk):
        if number:
            y += slab.before
        elif slab.again:
            slab.again.draw(y)
            y += slab.again.height
        if y + slab.height > bottom + 0.01:
            raise TooTall(f"something {slab.height:.0f} points high may not be split; a page holds {bottom - y:.0f}")
        slab.draw(y)
        y += slab.height


def _measure(page: list[_Chunk]) -> float:
    """Height of chunks that stand alone on a page: no gap above the first, but the heading row again."""
    first = page[0][0]
    return sum(map(_add_up, page)) - first.before + (first.again.height if first.again else 0.0)


def _add_up(chunk: _Chunk) -> float:
    """Height of a chunk below another."""
    return sum(slab.before + slab.height for slab in chunk)


def _split_tall(chunks: Iterator[_Chunk], room: float) -> Iterator[_Chunk]:
    """What is too tall for a page comes apart where it is loose: a heading still keeps its text, a last row another."""
    for chunk in chunks:
        if _add_up(chunk) - chunk[0].before > room:
            yield from _chunks(tuple(replace(slab, keep=slab.keep and not slab.loose) for slab in chunk))
        else:
            yield chunk


def _chunks(slabs: tuple[Slab, ...]) -> Iterator[_Chunk]:
    held: list[Slab] = []
    for slab in slabs:
        held.append(slab)
        if not slab.keep:
            yield tuple(held)
            held = []
    if held:
        yield tuple(held)
