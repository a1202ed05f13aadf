"""Every line of a quote on paper: what each price is made of, in plain groups, and what comes off it line by line."""

from collections.abc import Callable
from decimal import Decimal

from estimator.quote.quote import PricedLine, Quote, group_lines
from estimator.sheets.base.blocks import Block, Heading, TableBlock
from estimator.sheets.base.prose import make_paragraph
from estimator.sheets.financial.wording import PaperWords, set_widths

_OFF: tuple[tuple[str, Callable[[PricedLine], Decimal]], ...] = (
    ("change", lambda one: one.change),
    ("tax", lambda one: one.tax),
    ("write_off", lambda one: -one.write_off),
    ("plan_pays", lambda one: -one.plan_pays),
)
"""What changes the price of a line, each with its sign."""


def write_lines(words: PaperWords, quote: Quote) -> list[Block]:
    """A table for each jaw, one for what is charged once, then what comes off each line where something does."""
    blocks: list[Block] = [words.head("title")]
    codes = any(one.line.office_code for one in quote.lines)
    parts = _part_lines(words, quote)
    for name, lines in parts:
        blocks += [Heading(text=name, level=3)] if name else []
        blocks.append(_make_table(words, lines, codes=codes))
    return [*blocks, *_write_off(words, quote, parts)]


_Parts = tuple[tuple[str, list[PricedLine]], ...]


def _part_lines(words: PaperWords, quote: Quote) -> _Parts:
    """The lines of each jaw under its name, what is charged once first; without a name where there is but one jaw."""
    arches = tuple(dict.fromkeys(one.line.arch for one in quote.lines))
    if len([arch for arch in arches if arch]) < 2:
        return (("", list(quote.lines)),)
    return tuple(
        (_name_part(words, arch), [one for one in quote.lines if one.line.arch == arch])
        for arch in sorted(arches, key=bool)
    )


def _name_part(words: PaperWords, arch: str) -> str:
    name = words.jaw(arch) if arch else words.say("once")
    return name[:1].upper() + name[1:]


def _make_table(words: PaperWords, lines: list[PricedLine], *, codes: bool) -> TableBlock:
    """Groups by kind; the row of a group has its sum."""
    rows: list[tuple[str, ...]] = []
    bold: list[int] = []
    for group in group_lines(lines):
        bold.append(len(rows))
        name = words.own("quote_sheet").say(f"kinds.{group.kind}")
        rows.append(_cells(name, "", "", words.amount(group.total), codes=codes))
        rows += [_make_row(words, one, codes=codes) for one in group.lines]
    titles = tuple(words.say(f"head_{column}") for column in ("what", "code", "times", "amount"))
    widths = (41, 19, 20, 20) if codes else (53, 26, 21)
    left = (0, 1) if codes else (0,)
    return TableBlock(
        head=_cells(*titles, codes=codes), rows=tuple(rows), widths=widths, bold=tuple(bold), left=left, small=True
    )


def _cells(what: str, code: str, times: str, amount: str, *, codes: bool) -> tuple[str, ...]:
    return (what, code, times, amount) if codes else (what, times, amount)


def _make_row(words: PaperWords, one: PricedLine, *, codes: bool) -> tuple[str, ...]:
    line = one.line
    if not line.unit_fee and not line.amount:
        return _cells(line.label, line.office_code, str(line.quantity), words.say("included"), codes=codes)
    amount = words.amount(line.amount)
    if line.amount_to is not None:
        amount = words.say("range", amount=amount, most=words.amount(line.amount_to))
    times = words.say("times_fee", quantity=line.quantity, fee=words.amount(line.unit_fee))
    # How many and what each costs stay on one line.
    return _cells(line.label, line.office_code, times.replace(" ", "\N{NO-BREAK SPACE}"), amount, codes=codes)


_Used = tuple[tuple[str, Callable[[PricedLine], Decimal]], ...]


def _write_off(words: PaperWords, quote: Quote, parts: _Parts) -> list[Block]:
    """From the price of each line to what is left of it; only the columns that hold something."""
    used = tuple((key, find) for key, find in _OFF if any(find(one) for one in quote.lines))
    if not used:
        return []
    rows: list[tuple[str, ...]] = []
    bold: list[int] = []
    for name, lines in parts:
        if name:
            bold.append(len(rows))
            rows.append(_sum_up(words, name, lines, used))
        rows += [_make_off_row(words, one, used) for one in lines if one.line.amount or one.left]
    rows.append(_sum_up(words, words.say("total"), list(quote.lines), used))
    head = tuple(words.say(f"head_{key}") for key in ("what", *(key for key, _ in used), "left"))
    table = TableBlock(
        head=head, rows=tuple(rows), widths=set_widths(head, rows), bold=tuple(bold), bold_last=True, small=True
    )
    return [words.head("off.title"), make_paragraph(words.mark("off.intro")), table]


def _sum_up(words: PaperWords, name: str, lines: list[PricedLine], used: _Used) -> tuple[str, ...]:
    sums = (sum((find(one) for one in lines), Decimal(0)) for _, find in used)
    left = sum((one.left for one in lines), Decimal(0))
    return (name, *(words.amount_or_dash(amount) for amount in sums), words.amount(left))


def _make_off_row(words: PaperWords, one: PricedLine, used: _Used) -> tuple[str, ...]:
    return (one.line.label, *(words.amount_or_dash(find(one)) for _, find in used), words.amount(one.left))
