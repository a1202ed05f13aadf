"""The head of a sheet for the patient: the practice, where it is, how to reach it, and the day."""

from typing import TYPE_CHECKING

from estimator.base.formats import format_day
from estimator.sheets.blocks import Letterhead
from estimator.sheets.prose import mark_up

if TYPE_CHECKING:
    from estimator.sheets.option_sheet import SheetJob


def write_letterhead(job: "SheetJob") -> Letterhead:
    """Name and address; telephone numbers and the day. In one line where there is little of it."""
    settings = job.estimate.practice.settings
    day = format_day(job.day, job.locale)
    closed = job.say("emergency", phone=settings.emergency_phone) if settings.emergency_phone else ""
    rows: tuple[tuple[str, ...], ...] = ((settings.practice_name, settings.address), (settings.phone, closed, day))
    if not (settings.address or closed):
        rows = ((settings.practice_name, settings.phone, day),)
    lines = ("  \N{MIDDLE DOT}  ".join(part for part in row if part) for row in rows)
    return Letterhead(
        lines=tuple(mark_up("{line}", line=line) for line in lines if line),
        logo=settings.logo,
        alt=(settings.practice_name or job.say("logo")) if settings.logo else "",
    )
