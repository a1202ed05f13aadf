"""The room in full, choice by choice: the drawing, what books say, what could make room, an earlier measurement."""

from collections import defaultdict
from dataclasses import fields
from decimal import Decimal
from typing import TYPE_CHECKING

from estimator.base.formats import find_number_signs, format_count, format_day, format_number
from estimator.estimate.clearance.published_minima import Opinion, count_met
from estimator.estimate.result import Estimate
from estimator.inputs.options.model import Option
from estimator.inputs.reference.published_minima import NOT_STATED, Minimum
from estimator.pictures.jaw.checked import CheckedJaw, list_checked
from estimator.pictures.jaw.parts import JawWords
from estimator.sheets.base.blocks import Block, Bullets, Heading, KeepTogether, TableBlock, Text
from estimator.sheets.base.figures import make_figures
from estimator.sheets.base.prose import make_paragraph, mark_up

if TYPE_CHECKING:
    from estimator.sheets.base.context import SheetJob

_POINTS_PER_MM = 72 / 25.4
_HEIGHT, _LARGEST = 190.0, 5 * _POINTS_PER_MM
"""Points a drawing may be high, and never more than five times life size."""


def write_room_details(job: "SheetJob") -> list[Block]:
    """Choice by choice, all of them alike."""
    options = {option.key: option for option in job.estimate.practice.options}
    blocks: list[Block] = [
        Heading(text=job.say("room_in_full.title"), level=2),
        make_paragraph(job.mark("room_in_full.intro")),
    ]
    for made in job.jaw.estimates:
        blocks += _write_option(job, made, options[made.key])
    return blocks


def _write_option(job: "SheetJob", made: Estimate, option: Option) -> list[Block]:
    row = next(row for row in job.rows if row.key == made.key)
    finding = job.writer.find_room(row)
    head: list[Block] = [
        Heading(text=made.patient_name, level=3),
        make_paragraph(mark_up("**{finding}.**", finding=finding[:1].upper() + finding[1:]), *_tell_earlier(job, made)),
    ]
    checked = list_checked(
        option, made.clearance, job.jaw.jaw, job.estimate.practice.evidence, patient=True
    )  # fmt: skip
    if not job.jaw.jaw.sites:
        head.append(make_paragraph(job.mark("room_in_full.not_measured")))
    head += _draw(job, checked)
    return [KeepTogether(blocks=tuple(head)), *_write_books(job, made), *_write_ways(job, made)]


def _tell_earlier(job: "SheetJob", made: Estimate) -> list[Text]:
    before = made.clearance.earlier
    if before is None:
        return []
    then, now = (job.say(f"room_in_full.then_{verdict}") for verdict in (before.verdict, made.clearance.verdict))
    return [job.mark("room_in_full.earlier", day=format_day(before.measured_on, job.locale), then=then, now=now)]


def _draw(job: "SheetJob", checked: CheckedJaw) -> list[Block]:
    words = _find_jaw_words(job)
    scale = checked.fit(height=_HEIGHT, most=_LARGEST)
    picture = checked.draw(scale=scale, sizes=job.sizes, words=words)
    times = format_count(Decimal(f"{scale / _POINTS_PER_MM:.1f}"), job.locale)
    return [
        *make_figures(job, picture, checked.describe(words)),
        make_paragraph(job.mark("room_in_full.scale", times=times), small=True),
    ]


def _find_jaw_words(job: "SheetJob") -> JawWords:
    known = [field.name for field in fields(JawWords) if field.name != "decimal"]
    words = {name: job.wording.get(f"option_sheet.jaw.{name}") for name in known}
    return JawWords(**words, decimal=find_number_signs(job.locale)[0])


def _write_books(job: "SheetJob", made: Estimate) -> list[Block]:
    """Published minima as numbers from the gum; each of them is among the sources at the end."""
    opinions = made.clearance.opinions
    if not opinions:
        return []
    met = count_met(opinions)
    told = [job.mark("room_in_full.books_open")]
    if met is not None:
        told = [job.mark_count("room_in_full.books_met", met[0], met=met[0], all=met[1])]
    if any(not opinion.landmark_known for opinion in opinions):
        told.append(job.mark("room_in_full.books_two"))
    table = TableBlock(
        head=tuple(job.say(f"room_in_full.head_{column}") for column in ("book", "needs", "enough")),
        rows=tuple(_write_book(job, opinion) for opinion in opinions),
        widths=(54, 24, 22),
        small=True,
    )
    return [KeepTogether(blocks=(make_paragraph(job.mark("room_in_full.books"), *told), table))]


def _write_book(job: "SheetJob", opinion: Opinion) -> tuple[str, ...]:
    low, high = (format_number(length, job.locale) for length in (opinion.low_mm, opinion.high_mm))
    key = "needs_one" if low == high else "needs_range" if opinion.landmark_known else "needs_readings"
    known = {None: "unknown", True: "enough", False: "not_enough"}[opinion.met]
    needs = job.say(f"room_in_full.{key}", low=low, high=high)
    return (opinion.minimum.label, needs, job.say(f"room_in_full.is_{known}"))


def _write_ways(job: "SheetJob", made: Estimate) -> list[Block]:
    """What could make room, in the patient's words."""
    if not made.clearance.ways:
        return []
    items = tuple(mark_up("{text}", text=way.patient_text) for way in made.clearance.ways)
    return [
        KeepTogether(
            blocks=(
                make_paragraph(job.mark("room_in_full.ways"), job.mark("room_in_full.ways_who")), Bullets(items=items),
            )
        )
    ]  # fmt: skip


def list_minimum_sources(job: "SheetJob") -> tuple[Text, ...]:
    """Where the published minima on the sheet come from, as they stand there; those of one place together."""
    minima = {o.minimum.key: o.minimum for made in job.jaw.estimates for o in made.clearance.opinions}
    groups: dict[tuple[str, str], list[str]] = defaultdict(list)
    for minimum in minima.values():
        source, sure = job.estimate.practice.evidence.cite(minimum), job.say(f"sources.{minimum.how_sure}")
        groups[source, sure].append(_say_minimum(job, minimum))
    return tuple(
        job.mark("sources.group", source=source, sure=sure, figures="; ".join(told))
        for (source, sure), told in groups.items()
    )


def _say_minimum(job: "SheetJob", minimum: Minimum) -> str:
    low, high = (format_number(length, job.locale) for length in (minimum.low_mm, minimum.high_mm))
    length = low if low == high else job.say("sources.length", low=low, high=high)
    landmark = job.say(f"sources.from_{minimum.landmark or NOT_STATED}")
    return job.say("sources.minimum", label=minimum.label, length=length, landmark=landmark)
