"""Good and bad points of each choice and what living with it is like: the same topics in the same order for all."""

from typing import TYPE_CHECKING

from estimator.sheets.base.blocks import (
    Block,
    Bullets,
    Heading,
    KeepTogether,
    TableBlock,
    Text,
    TextSpan,
    Tick,
    Ticks,
    WriteLine,
)
from estimator.sheets.base.prose import make_paragraph, mark_up

if TYPE_CHECKING:
    from estimator.sheets.base.context import SheetJob

TOPICS = ("work", "use", "later")
LIVING = ("eating", "speech", "looks", "cleaning", "night")
NO_TREATMENT = "no_treatment"
_VALUES = ("no_surgery", "hold", "chew", "easy", "first_cost", "later_cost", "time", "open", "own")
_STEPS = ("one", "two", "three", "four", "five")
_QUESTIONS = ("do_nothing", "why_me", "often", "pay", "hands", "change")


def list_families(job: "SheetJob") -> tuple[tuple[str, str], ...]:
    """Each choice that applies, no treatment last: its name and the family of its texts."""
    kinds = {option.key: option.attachments.value for option in job.estimate.practice.options}
    priced = {made.key for made in job.jaw.estimates}
    return tuple(
        (row.patient_name, kinds.get(row.key, NO_TREATMENT)) for row in job.rows if row.key in priced or not row.reason
    )


def _say(job: "SheetJob", key: str) -> str:
    return job.wording.say(f"choices.{key}")


def _mark(job: "SheetJob", key: str) -> Text:
    return mark_up(job.wording.get(f"choices.{key}"))


def write_points(job: "SheetJob", family: str) -> TableBlock:
    """A row a topic: the good point and the bad one."""
    head = tuple(_say(job, f"good.{column}") for column in ("topic", "good", "bad"))
    rows = tuple(
        (_say(job, f"good.{topic}"), _say(job, f"{family}.good_{topic}"), _say(job, f"{family}.bad_{topic}"))
        for topic in TOPICS
    )
    return TableBlock(head=head, rows=rows, widths=(18, 41, 41), left=(0, 1, 2), small=True)


def write_choice(job: "SheetJob", name: str, family: str) -> list[Block]:
    """What a choice is, and its points; kept on one page."""
    what = make_paragraph(_mark(job, f"what.{family}"))
    return [Heading(text=name, level=3), what, write_points(job, family)]


def _write_living(job: "SheetJob", family: str) -> Block:
    items = tuple(
        (TextSpan(text=f"{_say(job, f'good.{topic}')}: ", bold=True), TextSpan(text=_say(job, f"{family}.{topic}")))
        for topic in LIVING
    )
    return KeepTogether(blocks=(make_paragraph(_mark(job, "good.living")), Bullets(items=items)))


def write_choices(job: "SheetJob") -> list[Block]:
    """Every choice alike, then what is not priced here."""
    blocks: list[Block] = [
        Heading(text=_say(job, "good.title"), level=2),
        make_paragraph(_mark(job, "good.intro"), _mark(job, "good.wait")),
    ]
    for name, family in list_families(job):
        blocks += [KeepTogether(blocks=tuple(write_choice(job, name, family))), _write_living(job, family)]
    others = (Heading(text=_say(job, "good.others"), level=3), make_paragraph(_mark(job, "good.others_text")))
    return [*blocks, KeepTogether(blocks=others)]


def write_values(job: "SheetJob") -> list[Block]:
    """What matters to the patient, the way to a decision, questions to ask."""
    values = tuple(Tick(text=_mark(job, f"values.{key}"), line=key == "own") for key in _VALUES)
    return [
        Heading(text=_say(job, "values.title"), level=2),
        make_paragraph(_mark(job, "values.intro")),
        Ticks(items=values),
        Heading(text=_say(job, "steps.title"), level=2),
        Bullets(items=tuple(_mark(job, f"steps.{key}") for key in _STEPS)),
        Heading(text=_say(job, "questions.title"), level=2),
        Bullets(items=tuple(_mark(job, f"questions.{key}") for key in _QUESTIONS)),
        WriteLine(label=_say(job, "questions.own"), more=2),
    ]
