"""The head of a sheet for the patient: the practice, where it is, how to reach it, and the day."""

from typing import TYPE_CHECKING

from estimator.base.formats import format_day
from estimator.sheets.base.blocks import Letterhead

if TYPE_CHECKING:
    from estimator.sheets.base.context import SheetJob


def write_letterhead(job: "SheetJob") -> Letterhead:
    """Name, address, telephone numbers and the day. What the settings do not say is left out."""
    settings = job.estimate.practice.settings
    closed = job.say("emergency", phone=settings.emergency_phone) if settings.emergency_phone else ""
    day = format_day(job.day, job.locale)
    parts = (settings.practice_name, settings.address, settings.phone, closed, day)
    return Letterhead(
        parts=tuple(part for part in parts if part),
        logo=settings.logo,
        alt=(settings.practice_name or job.say("logo")) if settings.logo else "",
    )
