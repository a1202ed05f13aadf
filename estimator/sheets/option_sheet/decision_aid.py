"""The option sheet as a decision aid: mandatory texts, equal detail, and the score at its end."""

import re
from collections.abc import Iterable
from decimal import Decimal
from typing import TYPE_CHECKING

from estimator.base.formats import format_amount
from estimator.inputs.reference.decision_aid import AidGroup, AidItem
from estimator.inputs.reference.wording import Wording
from estimator.sheets.base.blocks import Block, Heading, KeepTogether
from estimator.sheets.base.content_hash import list_texts
from estimator.sheets.base.prose import list_words, make_paragraph, mark_up
from estimator.sheets.base.readability import MEASURES, count_text, list_prose
from estimator.sheets.option_sheet.choices import LIVING, TOPICS

if TYPE_CHECKING:
    from estimator.sheets.base.context import SheetJob

_MOST_APART = 1


class AidError(ValueError):
    """An option sheet that is no fair decision aid; the message says what is missing."""


def write_score(job: "SheetJob") -> list[Block]:
    """The count of items met, those done and those not done, small."""
    items = job.estimate.practice.decision_aid
    if not items:
        return []
    must = [item for item in items if item.mandatory]
    more = [item for item in items if not item.mandatory]
    groups = [sum(item.group is group for item in must) for group in (AidGroup.QUALIFYING, AidGroup.CERTIFICATION)]
    score = mark_up(
        job.wording.get("decision_aid.score"), must=sum(item.done for item in must), must_all=len(must),
        more=sum(item.done for item in more), more_all=len(more), parts=" + ".join(map(str, groups)),
    )  # fmt: skip
    lists = [_list_items(job.wording, more, done=done) for done in (True, False)]
    told = [
        mark_up(job.wording.get(f"decision_aid.{key}"), items=listed)
        for key, listed in zip(("done", "not_done"), lists, strict=True)
        if listed
    ]
    title = Heading(text=job.wording.get("decision_aid.title"), level=2)
    return [KeepTogether(blocks=(title, make_paragraph(score, small=True))), make_paragraph(*told, small=True)]


def _list_items(wording: Wording, items: Iterable[AidItem], *, done: bool) -> str:
    return list_words(tuple(wording.get(f"decision_aid.items.{item.id}") for item in items if item.done is done))


def write_reading_level(job: "SheetJob", blocks: tuple[Block, ...]) -> tuple[Block, ...]:
    """How hard the prose of these blocks is to read, small; nothing in a language that is not measured."""
    wording = job.wording
    if wording.language not in MEASURES:
        return ()
    prose = "\n".join(list_prose(blocks))
    level = MEASURES[wording.language](count_text(prose, wording.language, wording.syllables))
    said = format_amount(Decimal(level), job.locale, decimals=1)
    return (make_paragraph(mark_up(wording.get("decision_aid.reading"), level=said), small=True),)


def check_aid(blocks: tuple[Block, ...], items: Iterable[AidItem], wording: Wording) -> None:
    """Raises `AidError` for a mandatory item none of whose texts is on the sheet."""
    said = " ".join(list_texts(blocks))
    missing = [
        item.id for item in items if item.mandatory and not any(is_said(key, wording, said) for key in item.where)
    ]
    if missing:
        raise AidError(f"the option sheet does not meet {', '.join(missing)}; expected every mandatory item")


def is_said(key: str, wording: Wording, said: str) -> bool:
    """Whether a text of that key is among what is said, whatever its places are filled with."""
    return any(re.search(_match(form), said) for form in wording.list_forms(key))


def _match(template: str) -> str:
    parts = re.split(r"(\{\w+\})", template.replace("**", ""))
    return "".join(".+?" if part.startswith("{") else re.escape(part) for part in parts)


def check_equal_detail(wording: Wording, families: Iterable[str]) -> None:
    """Raises `AidError` where a choice has fewer or more points than another, or lacks a topic."""
    counts = {family: count_points(wording, family) for family in families}
    for place in (0, 1, 2):
        numbers = [points[place] for points in counts.values()]
        if numbers and max(numbers) - min(numbers) > _MOST_APART:
            raise AidError(f"choices differ in detail: {counts}; expected at most {_MOST_APART} point between them")


def count_points(wording: Wording, family: str) -> tuple[int, int, int]:
    """Good points, bad points and topics of living with it that a choice has a text for."""
    keys = ([f"good_{topic}" for topic in TOPICS], [f"bad_{topic}" for topic in TOPICS], list(LIVING))
    counts = [
        sum(wording.has(f"choices.{family}.{key}") and bool(wording.get(f"choices.{family}.{key}")) for key in group)
        for group in keys
    ]
    return counts[0], counts[1], counts[2]
