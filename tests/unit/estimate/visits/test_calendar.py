"""Visits as days: intervals kept, closed days skipped, healing by arch, gates."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator import files
from estimator.estimate.visits.appointments import PHYSICIAN, VisitPlan, plan_visits
from estimator.estimate.visits.calendar import count_days, date_visits, find_healing, list_months
from estimator.inputs.case.model import Arch
from estimator.inputs.practice.working_days import CalendarSettings, ClosedDays, Closing, Weekday
from tests.builders import estimate_jaw, find_option, load_demo_practice, make_jaw

PRACTICE = load_demo_practice()
EVIDENCE, FEES = PRACTICE.evidence, PRACTICE.fees
START = date(2026, 12, 1)
NEVER = ClosedDays(weekdays=())


def plan(key: str, *, present: bool = False, arch: Arch = Arch.MANDIBLE) -> VisitPlan:
    return plan_visits(make_jaw(implants_present=present, arch=arch), find_option(key), EVIDENCE, FEES)


def test_without_closed_days_every_visit_is_in_its_week() -> None:
    dated = date_visits(plan("connecting_bar"), START, NEVER)
    assert [(d.day - START).days / 7 for d in dated.visits] == [float(d.visit.week) for d in dated.visits]


@given(
    st.dates(date(2026, 1, 1), date(2030, 1, 1)),
    st.lists(st.sampled_from(list(Weekday)), max_size=6, unique=True),
    st.sets(st.integers(0, 400), max_size=80),
    st.sampled_from(["conventional_denture", "individual_attachments", "connecting_bar"]),
)
def test_no_visit_is_on_a_closed_day_early_or_later_than_it_must(
    start: date, weekdays: list[Weekday], offsets: set[int], key: str
) -> None:
    closed = ClosedDays(weekdays=tuple(weekdays), days={start + timedelta(days=n): "shut" for n in offsets})
    dated = date_visits(plan(key), start, closed).visits
    earliest = start
    for before, now in zip((None, *dated), dated, strict=False):
        if before is not None:
            earliest = before.day + timedelta(days=count_days(now.visit.week - before.visit.week))
        assert now.day >= earliest
        assert closed.is_open(now.day)
        assert not any(closed.is_open(earliest + timedelta(days=n)) for n in range((now.day - earliest).days))


def test_a_visit_says_what_put_it_off() -> None:
    """25 December 2026 is a Friday: the first open day is Monday."""
    settings = CalendarSettings(country="US")
    closed = files.load_closed_days(settings, start=date(2026, 12, 25))
    first = date_visits(plan("connecting_bar"), date(2026, 12, 25), closed).visits[0]
    assert (first.day, first.put_off_by) == (date(2026, 12, 28), ("Christmas Day",))


@pytest.mark.parametrize(("country", "subdivision", "day", "shut"), [
    ("US", "", date(2027, 7, 5), True),  # the fourth is a Sunday, kept on the fifth
    ("US", "", date(2027, 3, 31), False),
    ("US", "CA", date(2027, 3, 31), True),  # Cesar Chavez Day is California's
    ("DE", "", date(2026, 10, 3), True),
    ("GB", "SCT", date(2026, 11, 30), True),  # St Andrew's Day is Scotland's
    ("", "", date(2026, 12, 25), False),
])  # fmt: skip
def test_public_holidays_are_those_of_country_and_subdivision(
    country: str, subdivision: str, day: date, shut: bool
) -> None:
    """Dates fixed by law or custom of each place (how sure: memory)."""
    calendar = CalendarSettings(country=country, subdivision=subdivision, closed_weekdays=())
    assert files.load_closed_days(calendar, start=date(2026, 1, 1)).is_open(day) is not shut


def test_own_closed_days_are_closed_from_the_first_to_the_last() -> None:
    closing = Closing(first=date(2026, 12, 24), last=date(2026, 12, 26), name="shut")
    closed = files.load_closed_days(CalendarSettings(closings=(closing,), closed_weekdays=()), start=START)
    assert [closed.is_open(date(2026, 12, day)) for day in (23, 24, 26, 27)] == [True, False, False, True]


def test_days_without_teeth_are_counted_from_the_calendar_not_from_the_plan() -> None:
    """Surgery on 22 December; the lining a week later is put off by six closed days."""
    closing = Closing(first=date(2026, 12, 24), last=date(2027, 1, 3))
    calendar = CalendarSettings(closed_weekdays=(), closings=(closing,))
    dated = date_visits(plan("connecting_bar"), date(2026, 11, 24), files.load_closed_days(calendar, start=START))
    assert dated.days_without_teeth == 13


def test_a_plan_without_visits_has_no_days() -> None:
    empty = VisitPlan(
        visits=(), chair_time_min=0, weeks_to_teeth=Decimal(0), weeks_to_last=Decimal(0), weeks_without_teeth=Decimal(0)
    )
    with pytest.raises(ValueError, match="'plan' must have at least one visit"):
        date_visits(empty, START, NEVER)


@pytest.mark.parametrize("arch", list(Arch))
def test_the_shipped_healing_lies_in_the_window_of_the_literature(arch: Arch) -> None:
    """Conventional loading more than 2 months, ITI 2008 (abstract); 3 and 6 months, EAO 2006 (quoted)."""
    window = find_healing(arch, EVIDENCE)
    assert not window.early
    assert not window.late
    assert window.healing.low <= window.literature[0].value


@pytest.mark.parametrize(("weeks", "early", "late"), [(6, True, False), (9, False, False), (14, False, True)])
def test_healing_outside_the_window_is_said(weeks: int, early: bool, late: bool) -> None:
    figure = replace(EVIDENCE.get("healing_mandible"), low=Decimal(0), value=Decimal(weeks), high=Decimal(99))
    window = find_healing(Arch.MANDIBLE, replace(EVIDENCE, figures={**EVIDENCE.figures, "healing_mandible": figure}))
    assert (window.early, window.late) == (early, late)


@pytest.mark.parametrize("key", ["individual_attachments", "connecting_bar"])
@pytest.mark.parametrize("arch", list(Arch))
def test_abutments_come_when_the_arch_has_healed(key: str, arch: Arch) -> None:
    weeks = {visit.key: visit.week for visit in plan(key, arch=arch).visits}
    assert weeks["abutments"] - weeks["surgery"] == EVIDENCE.get(f"healing_{arch}").value


def test_a_longer_healing_puts_off_every_later_visit_alike() -> None:
    figure = replace(EVIDENCE.get("healing_mandible"), value=Decimal(12), high=Decimal(13))
    longer = replace(EVIDENCE, figures={**EVIDENCE.figures, "healing_mandible": figure})
    jaw, option = make_jaw(implants_present=False), find_option("connecting_bar")
    before, after = (plan_visits(jaw, option, evidence, FEES).visits for evidence in (EVIDENCE, longer))
    assert [b.week - a.week for a, b in zip(before, after, strict=True)] == [0] * 5 + [2] * 8


def list_needs(*health: str, present: bool) -> dict[str, list[str]]:
    made = estimate_jaw(make_jaw(implants_present=present), health=health)
    return {key: [v.key for v in e.visits.visits if PHYSICIAN in v.needs] for key, e in made.items()}


def test_a_physicians_answer_is_waited_for_before_surgery() -> None:
    assert list_needs("radiotherapy", present=False) == {
        "conventional_denture": [], "individual_attachments": ["surgery"], "connecting_bar": ["surgery"],
    }  # fmt: skip


def test_where_a_denture_alone_is_a_risk_the_answer_comes_before_its_second_visit() -> None:
    assert list_needs("cancer_dose_antiresorptives", present=True) == {
        "conventional_denture": ["first_impressions"], "individual_attachments": ["abutments"],
        "connecting_bar": ["abutments"],
    }  # fmt: skip


def test_no_physician_is_asked_where_no_flag_asks() -> None:
    assert not any(list_needs("smoking", present=False).values())


def test_a_bar_is_designed_only_after_a_written_yes() -> None:
    visits = {visit.key: visit for visit in plan("connecting_bar").visits}
    assert any("Written yes" in text and "before the bar is designed" in text for text in visits["tooth_trial"].must)
    assert visits["tooth_trial"].laboratory == "Bar designed and made"


@pytest.mark.parametrize("key", ["individual_attachments", "connecting_bar"])
def test_clearance_is_checked_again_when_abutments_are_chosen(key: str) -> None:
    visits = {visit.key: visit for visit in plan(key).visits}
    assert any("Clearance checked again" in text for text in visits["abutments"].must)


@pytest.mark.parametrize("key", ["conventional_denture", "individual_attachments", "connecting_bar"])
def test_a_review_comes_a_week_after_delivery(key: str) -> None:
    weeks = {visit.key: visit.week for visit in plan(key).visits}
    assert weeks["review"] - weeks["delivery"] == 1


def test_months_begin_after_the_first_day_and_end_by_the_last() -> None:
    assert list(list_months(date(2026, 11, 30), date(2027, 2, 1))) == [
        date(2026, 12, 1), date(2027, 1, 1), date(2027, 2, 1),
    ]  # fmt: skip
    assert not list(list_months(date(2026, 12, 1), date(2026, 12, 31)))


def test_a_visit_takes_as_long_as_its_fee_lines_unless_the_option_says_otherwise() -> None:
    """Twice the minutes in the schedule double every visit that says none of its own."""
    doubled = replace(FEES, lines={key: replace(line, minutes=2 * line.minutes) for key, line in FEES.lines.items()})
    jaw, option = make_jaw(implants_present=False), find_option("connecting_bar")
    said = {step.key: step.minutes for step in option.visits}
    before, after = (plan_visits(jaw, option, EVIDENCE, fees).visits for fees in (FEES, doubled))
    for a, b in zip(before, after, strict=True):
        assert b.minutes == (2 * a.minutes if said[a.key] is None else a.minutes)
        assert b.charged_min == 2 * a.charged_min
    assert sum(minutes is None for minutes in said.values()) >= 4
