"""The Visits page: the days of every option from a first visit, what must be known and done, and a calendar file."""

from datetime import date

import pandas as pd
import streamlit as st

from estimator.base.evidence import Figure
from estimator.base.formats import format_count, format_day, format_month, format_short_day
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate
from estimator.estimate.visits.appointments import Visit, heals_first
from estimator.estimate.visits.calendar import find_healing, list_months
from estimator.estimate.visits.chair_time import check_chair_time
from estimator.files.user import data_folder
from estimator.inputs.practice.working_days import CalendarSettings
from estimator.pictures.base.rows import KeyWords, Sizes
from estimator.pictures.options.time import Months, TimeRow, draw_time
from estimator.proposal.statement import DatedTrip, JawStatement, OfferTime
from estimator.sheets.export.icalendar import name_calendar, write_calendar
from estimator.ui.shell import session
from estimator.ui.shell.ask import ask_start, hold_option
from estimator.ui.shell.markup import say_word, show_plain
from estimator.ui.shell.offer import settle_shown
from estimator.ui.shell.parts.basis import show_basis
from estimator.ui.shell.render import show_picture, show_table

_NOTHING = "\N{EN DASH}"


def show_visits(estimate: CaseEstimate) -> None:
    """Both jaws from the same first visit."""
    calendar = estimate.practice.settings.calendar
    start = ask_start()
    statement = settle_shown(estimate, start_on=start).statement
    st.markdown(_describe_calendar(calendar))
    for number, jaw in enumerate(estimate.jaws):
        st.header(say_word(jaw.jaw.arch).capitalize())
        stated = statement.find_jaw(jaw.jaw.arch)
        _show_timeline(jaw, stated, estimate.practice.settings.locale)
        _show_option(estimate, jaw, stated, f"visits_{number}")


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


def _show_timeline(jaw: JawEstimate, stated: JawStatement, locale: str) -> None:
    rows = [_make_row(option, offer.time, locale) for option, offer in zip(jaw.estimates, stated.offers, strict=True)]
    days = [day for offer in stated.offers for day in _list_days(offer.time)]
    begin, last = min(days), max(days)
    marks = tuple(((day - begin).days / 7, format_month(day, locale)) for day in list_months(begin, last))
    months = Months(words=f"from {format_day(begin, locale)}", marks=marks)
    picture = draw_time(rows, Sizes(), words=KeyWords(), alone=True, months=months)
    show_picture(picture, alt="; ".join(f"{row.name}: {row.finding}, {row.foot}" for row in rows))


def _list_days(time: OfferTime) -> list[date]:
    return [trip.day for trip in time.visits if trip.day is not None]


def _make_row(option: Estimate, time: OfferTime, locale: str) -> TimeRow:
    gap, days = time.days_without_teeth, _list_days(time)
    teeth_on = time.teeth_on or days[-1]
    return TimeRow(
        name=option.name,
        finding=f"{time.trips} trips, teeth {format_day(teeth_on, locale)}",
        foot="1 day without teeth" if gap == 1 else f"{gap} days without teeth",
        trips_week=tuple((day - days[0]).days / 7 for day in days),
        teeth_week=(teeth_on - days[0]).days / 7,
    )


def _show_option(estimate: CaseEstimate, jaw: JawEstimate, stated: JawStatement, key: str) -> None:
    by_key = {option.key: option for option in jaw.estimates}
    held = hold_option(f"{key}_option", jaw.jaw.arch, list(by_key), next(iter(by_key)))
    chosen = st.radio("Option", list(by_key), horizontal=True, format_func=lambda name: by_key[name].name, **held)
    option, locale = by_key[chosen], estimate.practice.settings.locale
    offer = next(offer for offer in stated.offers if offer.key == chosen)
    pairs = zip(option.visits.visits, offer.time.visits, strict=True)
    show_table(pd.DataFrame([_make_cells(visit, trip, locale) for visit, trip in pairs]))
    st.download_button(
        "Download these days (iCalendar)",
        write_calendar(estimate, jaw, option, offer, today=session.get_today()),
        name_calendar(estimate, jaw, option),
        "text/calendar",
        key=f"{key}_file",
        help="Whole-day entries under the case reference; no patient's name is in it.",
    )
    _show_minutes(estimate, jaw, option, f"{key}_minutes")
    _show_healing(estimate, jaw, option, f"{key}_healing")


def _make_cells(visit: Visit, trip: DatedTrip, locale: str) -> dict[str, str]:
    gates = (*(f"Before it: {text}" for text in visit.needs), *(f"Then: {text}" for text in visit.must))
    return {
        "Day": format_short_day(trip.day, locale) if trip.day else _NOTHING,
        "Visit": visit.what,
        "Minutes": str(trip.minutes),
        "To go on": ". ".join(gates) or _NOTHING,
        "Laboratory then": visit.laboratory or _NOTHING,
        "Put off by": ", ".join(trip.put_off_by) or _NOTHING,
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
