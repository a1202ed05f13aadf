"""How often something goes wrong: published chances as pictures and numbers, and in words what no number tells."""

from itertools import groupby
from typing import TYPE_CHECKING

from estimator.estimate.chances import Chance, list_chances
from estimator.inputs.reference.risk_frames import RiskUnit
from estimator.pictures.upkeep.icon_array import draw_icon_array
from estimator.sheets.base.blocks import Block, Bullets, FigureBlock, Heading, KeepTogether, TableBlock, Text
from estimator.sheets.base.prose import make_paragraph, mark_up

if TYPE_CHECKING:
    from estimator.sheets.base.context import SheetJob


def write_chances(job: "SheetJob") -> list[Block]:
    """Each chance that holds for this jaw, a table for each whole, then conflict and absence of evidence."""
    practice = job.estimate.practice
    chances = list_chances(job.jaw.jaw, practice.chances, practice.evidence)
    blocks: list[Block] = [Heading(text=_say(job, "title"), level=2), make_paragraph(_mark(job, "intro"))]
    for chance in chances:
        blocks.append(_write_chance(job, chance))
    for whole, group in groupby(
        sorted(chances, key=lambda chance: chance.frame.of), key=lambda chance: chance.frame.of
    ):
        blocks.append(_write_table(job, whole, tuple(group)))
    items = tuple(
        _mark(job, key) for key in ("differ", "none_loss", "none_snap", str(job.jaw.jaw.arch), "no_treatment")
    )
    return [*blocks, Heading(text=_say(job, "words_title"), level=3), Bullets(items=items)]


def _say(job: "SheetJob", key: str, **values: object) -> str:
    return job.wording.say(f"chances.{key}", **values)


def _mark(job: "SheetJob", key: str, **values: object) -> Text:
    return mark_up(job.wording.get(f"chances.{key}"), **values)


def _tell_years(job: "SheetJob", chance: Chance) -> str:
    first, last = chance.frame.years
    if first != last:
        return _say(job, "years_range", first=first, last=last)
    return _say(job, "years_one") if last == 1 else _say(job, "years_many", years=last)


def _write_chance(job: "SheetJob", chance: Chance) -> Block:
    """Event, number both ways round with its range, years, group, picture and source, on one page."""
    frame, evidence = chance.frame, job.estimate.practice.evidence
    event = _say(job, f"event_{frame.counted}")
    values = {"of": frame.of, "count": chance.count, "rest": chance.rest, "low": chance.low, "high": chance.high}
    keys = ("key_yes", "key_perhaps", "key_no")
    yes, perhaps, no = (_say(job, key, **values) for key in keys)
    picture = draw_icon_array(chance.count, chance.high, frame.of, job.sizes, words=(yes, perhaps, no))
    alt = _say(job, "alt", event=event.lower(), **values)
    told = [
        mark_up("{years}:", years=_tell_years(job, chance)),
        _mark(job, f"count_{frame.counted}", **values),
        _mark(job, f"group_{frame.group}"),
    ]
    if frame.counted is RiskUnit.IMPLANTS:
        told.append(_mark(job, "implants_only"))
    sure = job.say(f"sources.{chance.figure.how_sure}")
    cited = _mark(job, "cite", source=evidence.cite(chance.figure), sure=sure)
    return KeepTogether(
        blocks=(
            Heading(text=event, level=3),
            make_paragraph(*told),
            FigureBlock(shapes=picture.shapes, span=picture.span, height=picture.height, alt=alt),
            make_paragraph(cited, small=True),
        )
    )


def _write_table(job: "SheetJob", whole: int, chances: tuple[Chance, ...]) -> Block:
    """All numbers of one whole; numbers of another stand in another table."""
    head = tuple(_say(job, f"head_{column}") for column in ("what", "low", "count", "high"))
    rows = tuple(
        (
            f"{_tell_years(job, c)}: {_say(job, f'event_{c.frame.counted}').lower()}",
            str(c.low),
            str(c.count),
            str(c.high),
        )
        for c in chances
    )
    things = ", ".join(dict.fromkeys(_say(job, f"things_{chance.frame.counted}") for chance in chances))
    title = make_paragraph(_mark(job, "table_title", of=whole, things=things))
    return KeepTogether(blocks=(title, TableBlock(head=head, rows=rows, widths=(64, 12, 12, 12), small=True)))
