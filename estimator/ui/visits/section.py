"""The Visits page: the days of every option from a first visit, what must be known and done, and a calendar file."""

import pandas as pd
import streamlit as st

from estimator import files
from estimator.base.evidence import Figure
from estimator.base.formats import format_count, format_day, format_month, format_short_day
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate
from estimator.estimate.visits.appointments import heals_first
from estimator.estimate.visits.calendar import DatedPlan, DatedVisit, date_visits, find_healing, list_months
from estimator.estimate.visits.chair_time import check_chair_time
from estimator.files.user import data_folder
from estimator.inputs.practice.working_days import CalendarSettings
from estimator.pictures.base.rows import KeyWords, Sizes
from estimator.pictures.options.time import Months, TimeRow, draw_time
from estimator.sheets.export.icalendar import name_calendar, write_calendar
from estimator.ui.shell import session
from estimator.ui.shell.ask import ask_start, hold_option
from estimator.ui.shell.markup import say_word, show_plain
from estimator.ui.shell.parts.basis import show_basis
from estimator.ui.shell.render import show_picture, show_table

_NOTHING = "\N{EN DASH}"


def show_visits(estimate: CaseEstimate) -> None:
    """Both jaws from the same first visit."""
    calendar = estimate.practice.settings.calendar
    start = ask_start()
    closed = files.load_closed_days(calendar, start=start)
    st.markdown(_describe_calendar(calendar))
    for number, jaw in enumerate(estimate.jaws):
        st.header(say_word(jaw.jaw.arch).capitalize())
        plans = {option.key: date_visits(option.visits, start, closed) for option in jaw.estimates}
        _show_timeline(jaw, plans, estimate.practice.settings.locale)
        _show_option(estimate, jaw, plans, f"visits_{number}")


def _describe_calendar(calendar: CalendarSettings) -> str:
    weekdays = ", ".join(day.value.capitalize() for day in calendar.closed_weekdays) or "no weekday"
    where = calendar.country + (f"-{calendar.subdivision}" if calendar.subdivision else "")
    holidays = f"public holidays of {where}" if where else "no public holidays: no country is set"
    own = ", and your own closed days" if calendar.closings else ""
    folder = data_folder.find_practice_folder()
    return (
        f"Closed: {weekdays}; {holidays}{own} (settings.toml in `{folder}`). No interval is shorter than planned, so "
        "that a closed day puts off what follows."
    )


def _show_timeline(jaw: JawEstimate, plans: dict[str, DatedPlan], locale: str) -> None:
    rows = [_make_row(option, plans[option.key], locale) for option in jaw.estimates]
    last = max(plan.visits[-1].day for plan in plans.values())
    begin = min(plan.visits[0].day for plan in plans.values())
    marks = tuple(((day - begin).days / 7, format_month(day, locale)) for day in list_months(begin, last))
    months = Months(words=f"from {format_day(begin, locale)}", marks=marks)
    picture = draw_time(rows, Sizes(), words=KeyWords(), alone=True, months=months)
    show_picture(picture, alt="; ".join(f"{row.name}: {row.finding}, {row.foot}" for row in rows))


def _make_row(option: Estimate, plan: DatedPlan, locale: str) -> TimeRow:
    days = plan.days_without_teeth
    return TimeRow(
        name=option.name,
        finding=f"{len(plan.visits)} trips, teeth {format_day(plan.teeth_on, locale)}",
        foot="1 day without teeth" if days == 1 else f"{days} days without teeth",
        trips_week=tuple(plan.count_weeks(dated.day) for dated in plan.visits),
        teeth_week=plan.count_weeks(plan.teeth_on),
    )


def _show_option(estimate: CaseEstimate, jaw: JawEstimate, plans: dict[str, DatedPlan], key: str) -> None:
    by_key = {option.key: option for option in jaw.estimates}
    held = hold_option(f"{key}_option", jaw.jaw.arch, list(by_key), next(iter(by_key)))
    chosen = st.radio("Option", list(by_key), horizontal=True, format_func=lambda name: by_key[name].name, **held)
    option, plan, locale = by_key[chosen], plans[chosen], estimate.practice.settings.locale
    show_table(pd.DataFrame([_make_cells(dated, locale) for dated in plan.visits]))
    st.download_button(
        "Download these days (iCalendar)",
        write_calendar(estimate, jaw, option, plan, today=session.get_today()),
        name_calendar(estimate, jaw, option),
        "text/calendar",
        key=f"{key}_file",
        help="Whole-day entries under the case reference; no patient's name is in it.",
    )
    _show_minutes(estimate, jaw, option, f"{key}_minutes")
    _show_healing(estimate, jaw, option, f"{key}_healing")


def _make_cells(dated: DatedVisit, locale: str) -> dict[str, str]:
    visit = dated.visit
    gates = (*(f"Before it: {text}" for text in visit.needs), *(f"Then: {text}" for text in visit.must))
    return {
        "Day": format_short_day(dated.day, locale),
        "Visit": visit.what,
        "Minutes": str(visit.minutes),
        "To go on": ". ".join(gates) or _NOTHING,
        "Laboratory then": visit.laboratory or _NOTHING,
        "Put off by": ", ".join(dated.put_off_by) or _NOTHING,
    }


def _show_minutes(estimate: CaseEstimate, jaw: JawEstimate, option: Estimate, key: str) -> None:
    """Chair time, where its minutes come from, and published chair times beside it."""
    practice = estimate.practice
    source = next(o for o in practice.options if o.key == option.key)
    told = [f"**{option.visits.chair_time_min} minutes** in {option.visits.count} visits."]
    other = [v for v in option.visits.visits if v.minutes != v.charged_min]
    if other:
        listed = "; ".join(f"{show_plain(v.what)} {v.minutes} ({v.charged_min})" for v in other)
        told.append(
            f"A visit takes as long as its fee lines; where the option says otherwise, its lines stand in brackets: "
            f"{listed}."
        )
    check = check_chair_time(jaw.jaw, source, option.visits, practice.evidence)
    if check is None:
        st.markdown(" ".join(told))
        return
    published = ", ".join(f"{figure.value:f}" for figure in check.published)
    told.append(
        f"Denture visits alone, without surgery: {check.minutes} minutes, {_BESIDE[check.finding]} published "
        f"({published})."
    )
    st.markdown(" ".join(told))
    rule = "Only visits for the denture are compared: no study here timed surgery, and none a bar."
    show_basis(rule, list(check.published), practice.evidence, key=key)


_BESIDE = {"less": "less than was", "within": "within what was", "more": "more than was"}


def _show_healing(estimate: CaseEstimate, jaw: JawEstimate, option: Estimate, key: str) -> None:
    evidence = estimate.practice.evidence
    source = next(o for o in estimate.practice.options if o.key == option.key)
    if not heals_first(jaw.jaw, source):
        return
    window = find_healing(jaw.jaw.arch, evidence)
    weeks = format_count(window.healing.value, estimate.practice.settings.locale)
    side = "shorter than" if window.early else "longer than" if window.late else "within"
    st.markdown(f"Healing before abutments **{weeks} weeks**, {side} the window of the literature.")
    figures: list[Figure] = [window.healing, *window.literature]
    rule = "Set it by arch in settings.toml: healing_weeks. The clinician judges when an implant has healed."
    show_basis(rule, figures, evidence, key=key)
