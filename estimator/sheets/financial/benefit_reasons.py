"""Why each line of a benefit estimate came out so: a table for each plan, and notes in the patient's words below it.

What differs from line to line is in the table, so that a note says once what holds for many lines.
"""

from dataclasses import dataclass

from estimator.quote.benefits.adjudication import ZERO, Draft
from estimator.quote.benefits.claim import Reason
from estimator.quote.benefits.estimate import BenefitEstimate, BenefitLine
from estimator.quote.benefits.explanations import Audience, say_reason
from estimator.sheets.base.blocks import Block, Bullets, Heading, TableBlock
from estimator.sheets.base.prose import list_words
from estimator.sheets.financial.wording import DASH, PaperWords, set_widths

_IN_TABLE = ("allowed", "percentage")
"""Reasons that the table says, with their amounts."""
_SHORT = (
    "note_alternate", "note_subsidy", "note_allowance", "note_lifetime_maximum", "note_annual_maximum", "note_standard",
    "note_non_duplication", "note_carve_out", "note_maintenance_of_benefits", "note_written_off", "note_over_allowed",
)  # fmt: skip
"""Reasons whose amounts are in a table: their texts here have none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Notes:
    """What is said below a plan's table: of every line, and by number of those that a row names."""

    of_every: tuple[str, ...]
    numbered: tuple[str, ...]


def list_paid(made: BenefitEstimate) -> list[BenefitLine]:
    """The lines that have a price."""
    return [line for line in made.lines if line.line.fee]


def part_lines(words: PaperWords, made: BenefitEstimate) -> list[tuple[str, list[BenefitLine]]]:
    """The lines that have a price, of each jaw under its name; without a name where there is but one jaw."""
    arches = sorted({line.line.arch or "" for line in made.lines})
    if len([arch for arch in arches if arch]) < 2:
        return [("", list_paid(made))]
    names = {"": words.own("quote_lines").say("once"), **{arch: words.jaw(arch) for arch in arches if arch}}
    parts = ((names[arch], [one for one in list_paid(made) if (one.line.arch or "") == arch]) for arch in arches)
    return [(name[:1].upper() + name[1:], lines) for name, lines in parts if lines]


def write_reasons(words: PaperWords, made: BenefitEstimate) -> list[Block]:
    """How each plan came to what it pays of each line, then what else there is about what the patient pays."""
    blocks: list[Block] = [words.head("why")]
    for number, plan in enumerate(made.plans):
        if len(made.plans) > 1:
            blocks.append(Heading(text=plan.name, level=3))
        notes = _list_notes(words, made, number)
        blocks.append(_make_table(words, made, number, notes))
        items = (
            *(words.mark("note_every", why=why) for why in notes.of_every),
            *(words.mark("note", number=n, why=why) for n, why in enumerate(notes.numbered, start=1)),
        )
        if items:
            blocks.append(Bullets(items=items))
    rest = dict.fromkeys(_say(words, reason) for line in list_paid(made) for reason in line.reasons)
    return [*blocks, Bullets(items=tuple(words.mark("note_other", why=why) for why in rest))] if rest else blocks


def _list_notes(words: PaperWords, made: BenefitEstimate, number: int) -> _Notes:
    told = [_say_all(words, line.shares[number]) for line in list_paid(made)]
    notes = tuple(dict.fromkeys(note for one in told for note in one))
    of_every = tuple(note for note in notes if all(note in one for one in told))
    return _Notes(of_every=of_every, numbered=tuple(note for note in notes if note not in of_every))


def _make_table(words: PaperWords, made: BenefitEstimate, number: int, notes: _Notes) -> TableBlock:
    """What the plan counts of each line, its part, what it would pay alone where it is the second, what it pays."""
    head = words.own("benefits").say
    columns = [head("head.line"), head("head.allowed"), words.say("head_part")]
    columns += [words.say("head_alone")] if number else []
    columns += [head("head.plan_pays"), *([words.say("head_note")] if notes.numbered else [])]
    rows: list[tuple[str, ...]] = []
    bold: list[int] = []
    for name, lines in part_lines(words, made):
        if name:
            bold.append(len(rows))
            paid = words.amount_or_dash(sum((line.shares[number].paid for line in lines), ZERO))
            rows.append((name, *("" for _ in range(2 + bool(number))), paid, *([""] if notes.numbered else [])))
        rows += [_make_row(words, line, number, notes) for line in lines]
    return TableBlock(
        head=tuple(columns), rows=tuple(rows), widths=set_widths(tuple(columns), rows), bold=tuple(bold), small=True
    )


def _make_row(words: PaperWords, line: BenefitLine, number: int, notes: _Notes) -> tuple[str, ...]:
    share = line.shares[number]
    told = _say_all(words, share)
    numbers = tuple(str(n) for n, note in enumerate(notes.numbered, start=1) if note in told)
    return (
        line.line.label,
        words.amount(share.allowed),
        _say_part(words, share),
        *([words.amount_or_dash(share.normal)] if number else []),
        words.amount_or_dash(share.paid),
        *([list_words(numbers)] if notes.numbered else []),
    )


def _say_part(words: PaperWords, share: Draft) -> str:
    """The percentage and the amount that it is of; a dash where the plan pays no percentage."""
    if not any(reason.key == "percentage" for reason in share.reasons):
        return DASH
    base = words.amount(share.basis - share.deductible)
    return words.say("part", percent=words.percent(share.percent), base=base).replace(" ", "\N{NO-BREAK SPACE}")


def _say_all(words: PaperWords, share: Draft) -> tuple[str, ...]:
    return tuple(_say(words, reason) for reason in share.reasons if reason.key not in _IN_TABLE)


def _say(words: PaperWords, reason: Reason) -> str:
    """A reason as a sentence; no percentage is parted from its sign at the end of a line."""
    job, key = words.job, f"note_{reason.key}"
    if key in _SHORT:
        return words.say(key, **dict(reason.values))
    said = say_reason(reason, job.wording, reader=Audience.PATIENT, locale=job.locale, currency=words.currency)
    return said.replace(" %", "\N{NO-BREAK SPACE}%")
