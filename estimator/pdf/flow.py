"""Puts slabs on pages: what must stay together stays together, and nothing falls over the page end. Points."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace


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


class TooTall(ValueError):  # noqa: N818 - the house names an error by what is wrong
    """Something that may not be split is taller than a page."""


def place_slabs(slabs: tuple[Slab, ...], *, top: float, bottom: float, turn_page: Callable[[], None]) -> None:
    """Draw the slabs from `top` down, on as many pages as they need; the first page is there already."""
    y, asked = top, False
    for chunk in _split_tall(_chunks(slabs), bottom - top):
        if chunk[0].turn:
            asked = True
            continue
        full = y + sum(slab.before + slab.height for slab in chunk) > bottom
        if y > top and (asked or full):
            turn_page()
            y = top
        asked = False
        for slab in chunk:
            y = _place(slab, y, top, bottom, turn_page)


def _place(slab: Slab, y: float, top: float, bottom: float, turn_page: Callable[[], None]) -> float:
    # Only a chunk taller than a whole page gets here without room: then it is split between its slabs after all.
    if y > top and y + slab.before + slab.height > bottom:
        turn_page()
        y = top
    if y > top:
        y += slab.before
    elif slab.again:
        slab.again.draw(y)
        y += slab.again.height
    if y + slab.height > bottom + 0.01:
        raise TooTall(f"something {slab.height:.0f} points high may not be split; a page holds {bottom - y:.0f}")
    slab.draw(y)
    return y + slab.height


def _split_tall(chunks: Iterator[tuple[Slab, ...]], page: float) -> Iterator[tuple[Slab, ...]]:
    """What is too tall for a page comes apart where it is loose: a heading still keeps its text, a last row another."""
    for chunk in chunks:
        if sum(slab.before + slab.height for slab in chunk) - chunk[0].before > page:
            yield from _chunks(tuple(replace(slab, keep=slab.keep and not slab.loose) for slab in chunk))
        else:
            yield chunk


def _chunks(slabs: tuple[Slab, ...]) -> Iterator[tuple[Slab, ...]]:
    held: list[Slab] = []
    for slab in slabs:
        if slab.turn and held:
            yield tuple(held)
            held = []
        held.append(slab)
        if not slab.keep:
            yield tuple(held)
            held = []
    if held:
        yield tuple(held)
