"""The appointments of an option as an iCalendar file (RFC 5545): a case reference, never a patient's name."""

from collections.abc import Iterator
from datetime import date, timedelta

from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate
from estimator.estimate.visits.appointments import Visit
from estimator.proposal.numbering import make_visit_id, name_file
from estimator.proposal.statement import Offer, Statement

_LONGEST = 75
"""Octets of a line before it is folded (RFC 5545, 3.1)."""
_ESCAPES = str.maketrans({"\\": "\\\\", ";": "\\;", ",": "\\,", "\n": "\\n"})


def write_calendar(estimate: CaseEstimate, jaw: JawEstimate, option: Estimate, offer: Offer, *, today: date) -> str:
    """One whole-day event for each visit of an offer that has a day: the hour is for the front office to say.

    An appointment keeps its identity when it is written again, so that a calendar moves it instead of doubling it.
    """
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Overdenture Options//Visits//EN", "CALSCALE:GREGORIAN"]
    reference, arch = estimate.case.reference, jaw.jaw.arch
    for visit, trip in zip(option.visits.visits, offer.time.visits, strict=True):
        uid = make_visit_id(reference, arch, option.key, visit.key)
        if trip.day is not None:
            lines += _write_event(visit, trip.day, uid, reference, f"{option.name}, {arch}", today)
    lines.append("END:VCALENDAR")
    return "".join(f"{part}\r\n" for line in lines for part in _fold(line))


def list_calendars(estimate: CaseEstimate, statement: Statement, *, today: date) -> Iterator[tuple[str, str]]:
    """Name and text of a file for each option in each jaw; nothing where no first day is known."""
    for jaw, stated in zip(estimate.jaws, statement.jaws, strict=True):
        for option, offer in zip(jaw.estimates, stated.offers, strict=True):
            if statement.start_on:
                yield name_calendar(estimate, jaw, option), write_calendar(estimate, jaw, option, offer, today=today)


def name_calendar(estimate: CaseEstimate, jaw: JawEstimate, option: Estimate) -> str:
    """The name of the file, without a patient's name."""
    return name_file("visits", estimate.case.reference, jaw.jaw.arch, option.key, end="ics")


def _write_event(visit: Visit, day: date, uid: str, reference: str, option: str, today: date) -> list[str]:
    told = [
        f"{option}.",
        f"{visit.minutes} minutes.",
        *(f"Known before: {text}." for text in visit.needs),
        *(f"Before the next step: {text}." for text in visit.must),
        *([f"Laboratory then: {visit.laboratory}."] if visit.laboratory else []),
        "Planned day; the hour is open.",
    ]
    return [
        "BEGIN:VEVENT",
        f"UID:{uid}",
        f"DTSTAMP:{today:%Y%m%d}T000000Z",
        f"DTSTART;VALUE=DATE:{day:%Y%m%d}",
        f"DTEND;VALUE=DATE:{day + timedelta(days=1):%Y%m%d}",
        f"SUMMARY:{_escape(f'{reference}: {visit.what}')}",
        f"DESCRIPTION:{_escape(chr(10).join(told))}",
        "STATUS:TENTATIVE",
        "TRANSP:TRANSPARENT",
        "CLASS:PRIVATE",
        "END:VEVENT",
    ]


def _escape(text: str) -> str:
    return text.translate(_ESCAPES)


def _fold(line: str) -> Iterator[str]:
    """A long line in pieces of at most 75 octets, each after the first behind a space; no character is cut."""
    piece = ""
    for sign in line:
        if len(f"{piece}{sign}".encode()) > _LONGEST:
            yield piece
            piece = " "
        piece += sign
    yield piece
