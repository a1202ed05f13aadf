"""Why each line of a benefit estimate came out so, in the patient's words; what holds for many lines is said once."""

from collections.abc import Iterator

from estimator.quote.benefit_words import Reader, say_reason
from estimator.quote.benefits import BenefitEstimate, BenefitLine
from estimator.quote.claim import Reason
from estimator.sheets.blocks import Text
from estimator.sheets.paper_words import PaperWords

_MANY = 5
"""What is said of so many lines is said once, with their names."""
_Said = tuple[str, str]
"""Whose reason it is (a plan's where there are two, else nothing), and the reason as a sentence."""


def list_paid(made: BenefitEstimate) -> list[BenefitLine]:
    """The lines that have a price."""
    return [line for line in made.lines if line.line.fee]


def list_reasons(words: PaperWords, made: BenefitEstimate) -> tuple[Text, ...]:
    """Reasons of many lines first, then line by line what else there is; lines with the very same share one item."""
    said = {_name(words, made, line): tuple(_say_all(words, made, line)) for line in list_paid(made)}
    holders: dict[_Said, list[str]] = {}
    for name, reasons in said.items():
        for reason in reasons:
            holders.setdefault(reason, []).append(name)
    shared = {reason: names for reason, names in holders.items() if len(names) >= _MANY}
    by_rest: dict[tuple[_Said, ...], list[str]] = {}
    for name, reasons in said.items():
        if rest := tuple(reason for reason in reasons if reason not in shared):
            by_rest.setdefault(rest, []).append(name)
    return (
        *(_tell_shared(words, reason, names, tuple(said)) for reason, names in shared.items()),
        *(words.mark("of_lines", names="; ".join(names), why=_join(rest)) for rest, names in by_rest.items()),
    )


def _tell_shared(words: PaperWords, reason: _Said, names: list[str], every: tuple[str, ...]) -> Text:
    """A reason with the lines it holds for, or those it does not hold for where they are fewer."""
    others = [name for name in every if name not in names]
    why = _join((reason,))
    if not others:
        return words.mark("of_every_line", why=why)
    if len(others) < len(names):
        return words.mark("of_every_line_but", names="; ".join(others), why=why)
    return words.mark("of_lines", names="; ".join(names), why=why)


def _join(reasons: tuple[_Said, ...]) -> str:
    """Reasons as one text; a plan is named where its reasons begin."""
    parts, before = [], ""
    for plan, sentence in reasons:
        parts += [plan, sentence] if plan and plan != before else [sentence]
        before = plan
    return " ".join(parts)


def _name(words: PaperWords, made: BenefitEstimate, line: BenefitLine) -> str:
    """The line, with its jaw where there are two."""
    arches = {one.line.arch for one in made.lines if one.line.arch}
    claim = line.line
    return f"{claim.label} ({words.jaw(claim.arch)})" if claim.arch and len(arches) > 1 else claim.label


def _say_all(words: PaperWords, made: BenefitEstimate, line: BenefitLine) -> Iterator[_Said]:
    for plan, share in zip(made.plans, line.shares, strict=True):
        name = words.say("of_plan", name=plan.name) if len(made.plans) > 1 else ""
        yield from ((name, _say(words, reason)) for reason in share.reasons)
    both = words.say("in_the_end") if len(made.plans) > 1 else ""
    yield from ((both, _say(words, reason)) for reason in line.reasons)


def _say(words: PaperWords, reason: Reason) -> str:
    """A reason as a sentence; no percentage is parted from its sign at the end of a line."""
    job = words.job
    said = say_reason(reason, job.wording, reader=Reader.PATIENT, locale=job.locale, currency=words.currency)
    return said.replace(" %", "\N{NO-BREAK SPACE}%")
