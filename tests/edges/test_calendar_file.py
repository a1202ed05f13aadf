"""The calendar file, read back by an independent parser (icalendar); no patient's name is in it."""

import json
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import icalendar
import pytest

from estimator import files
from estimator.cli import main
from estimator.estimate.result import CaseEstimate
from estimator.estimate.visits.calendar import date_visits
from estimator.inputs.case.model import Arch, Patient
from estimator.inputs.practice.working_days import CalendarSettings
from estimator.proposal.model import Proposal
from estimator.sheets.export.icalendar import list_calendars
from tests.builders import CHECKOUT, TODAY, estimate_all, load_demo_practice, make_jaw

START = date(2026, 12, 1)
CLOSED = files.load_closed_days(CalendarSettings(country="US"), start=START)
NAME = "Nguyễn Thị Ánh"


def make(**more: object) -> CaseEstimate:
    jaws = (make_jaw(implants_present=False), make_jaw(arch=Arch.MAXILLA))
    return estimate_all(*jaws, patient=Patient(name=NAME), health=("radiotherapy",), years=1)


def plan(estimate: CaseEstimate, start: date = START) -> list[tuple[str, str]]:
    """Name and text of each file of the case, from that first visit on."""
    practice = estimate.practice
    settings = replace(practice.settings, calendar=CalendarSettings(country="US"))
    dated = replace(estimate, practice=replace(practice, settings=settings))
    statement = files.settle_offer(Proposal(case=estimate.case, start_on=start), dated, today=TODAY)
    return list(list_calendars(estimate, statement, today=TODAY))


def test_every_option_of_every_jaw_is_read_back_as_it_was_planned() -> None:
    estimate = make()
    written = dict(plan(estimate))
    assert len(written) == 6
    for jaw in estimate.jaws:
        for option in jaw.estimates:
            text = written[f"visits_T-1_{jaw.jaw.arch}_{option.key}.ics"]
            calendar = icalendar.Calendar.from_ical(text)
            events = calendar.walk("VEVENT")
            planned = date_visits(option.visits, START, CLOSED).visits
            assert [event.decoded("DTSTART") for event in events] == [dated.day for dated in planned]
            assert [event.decoded("DTEND") - timedelta(days=1) for event in events] == [dated.day for dated in planned]
            assert [str(event["SUMMARY"]) for event in events] == [f"T-1: {dated.visit.what}" for dated in planned]
            for event, dated in zip(events, planned, strict=True):
                described = str(event["DESCRIPTION"])
                assert f"{dated.visit.minutes} minutes." in described
                assert all(text in described for text in (*dated.visit.needs, *dated.visit.must))


def test_what_the_standard_requires_is_there() -> None:
    """RFC 5545: VERSION and PRODID once, UID and DTSTAMP in each event, CRLF, lines of at most 75 octets (rule)."""
    for _, text in plan(make()):
        calendar = icalendar.Calendar.from_ical(text)
        assert (calendar["VERSION"], bool(calendar["PRODID"])) == ("2.0", True)
        events = calendar.walk("VEVENT")
        assert all("DTSTAMP" in event for event in events)
        assert len({str(event["UID"]) for event in events}) == len(events)
        assert text.endswith("\r\n")
        assert "\n" not in text.replace("\r\n", "")
        assert max(len(line.encode()) for line in text.split("\r\n")) <= 75


def test_no_two_files_share_the_identity_of_an_appointment() -> None:
    calendars = [icalendar.Calendar.from_ical(text) for _, text in plan(make())]
    identities = [str(event["UID"]) for calendar in calendars for event in calendar.walk("VEVENT")]
    assert len(set(identities)) == len(identities)


def test_an_appointment_keeps_its_identity_when_the_start_moves() -> None:
    first, second = (
        [str(e["UID"]) for _, text in plan(make(), day) for e in icalendar.Calendar.from_ical(text).walk("VEVENT")]
        for day in (START, START + timedelta(days=30))
    )
    assert first == second


def test_neither_name_nor_health_of_the_patient_is_in_name_or_text() -> None:
    for name, text in plan(make()):
        whole = str(icalendar.Calendar.from_ical(text).to_ical(), "utf-8").replace("\r\n ", "") + name
        assert not [part for part in NAME.split() if part in whole]
        assert "radiotherapy" not in whole.lower()


def test_long_texts_of_any_script_are_folded_between_characters() -> None:
    practice = load_demo_practice()
    option = practice.options[0]
    long = replace(option, visits=tuple(replace(v, laboratory="模型与蜡堤，" * 30) for v in option.visits))
    estimate = estimate_all(make_jaw(), practice=replace(practice, options=(long,)), years=1)
    ((_, text),) = plan(estimate)
    assert max(len(line.encode()) for line in text.split("\r\n")) <= 75
    assert "模型与蜡堤，" * 30 in str(icalendar.Calendar.from_ical(text).walk("VEVENT")[0]["DESCRIPTION"])


def run(tmp_path: Path, *more: str) -> int:
    case = str(files.DATA / "demo" / "case.toml")
    fees, practice = str(CHECKOUT / "demo_fees.csv"), str(files.DATA / "demo")
    return main(["estimate", case, "--fees", fees, "--practice", practice, "--out", str(tmp_path), *more])


def test_the_command_line_writes_a_calendar_an_option_and_days_into_json(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(tmp_path, "--start", "2026-12-01", "--json") == 0
    shown = json.loads(capsys.readouterr().out)
    bar = shown["jaws"][0]["options"][2]["visits"]
    assert (bar["start"], bar["teeth_on"], len(bar["days"])) == ("2026-12-01", "2027-02-16", 9)
    assert sorted(path.suffix for path in tmp_path.iterdir()) == [".ics", ".ics", ".ics", ".pdf"]
    events = icalendar.Calendar.from_ical((tmp_path / "visits_C-1042_mandible_connecting_bar.ics").read_bytes()).walk(
        "VEVENT"
    )
    assert [event.decoded("DTSTART").isoformat() for event in events] == [day["day"] for day in bar["days"]]


def test_without_a_start_there_are_no_days(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(tmp_path, "--json") == 0
    assert "days" not in json.loads(capsys.readouterr().out)["jaws"][0]["options"][2]["visits"]
    assert [path.suffix for path in tmp_path.iterdir()] == [".pdf"]


def test_the_terminal_lists_the_days(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(tmp_path, "--start", "2026-12-01") == 0
    out = capsys.readouterr().out
    assert "2027-01-19   40 min  Delivery (put off by Martin Luther King Jr. Day)" in out


def test_a_start_that_is_no_day_is_wrong_usage(tmp_path: Path) -> None:
    with pytest.raises(SystemExit) as caught:
        run(tmp_path, "--start", "tomorrow")
    assert caught.value.code == 2
