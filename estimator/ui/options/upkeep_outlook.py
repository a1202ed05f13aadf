"""What comes later, on the Options page: what usually needs doing, trips, and how sure any of it is."""

from decimal import Decimal

import numpy as np
import pandas as pd
import streamlit as st

from estimator.base.formats import format_amount, show_chance
from estimator.estimate.on_demand import check_by_simulation
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate, Pair
from estimator.estimate.sanity import check_sanity
from estimator.pictures.base.rows import Sizes
from estimator.pictures.upkeep.calendar import CalendarRow, draw_calendar
from estimator.pictures.upkeep.upkeep_calendar import list_calendar_rows
from estimator.proposal.statement import JawStatement
from estimator.ui.options.uncertainty import show_spread, show_swings
from estimator.ui.shell import session
from estimator.ui.shell.ask import hold_option
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.render import show_picture, show_table

_NARROWEST, _PEOPLE = 340, 1_000_000


def show_later(estimate: CaseEstimate, jaw: JawEstimate, stated: JawStatement, number: int) -> None:
    """One jaw: the calendar of one option, trips of all, each pair in words, on request the clinician's pictures.

    What is charged first is as it is told.
    """
    key = f"later_{session.get_generation()}_{number}"
    st.header("What usually needs doing")
    by_key = {made.key: made for made in jaw.estimates}
    held = hold_option(f"later_{number}_option", jaw.jaw.arch, list(by_key), jaw.estimates[-1].key)
    chosen = st.radio("Option", list(by_key), horizontal=True, format_func=lambda option: by_key[option].name, **held)
    _show_calendar(by_key[chosen], estimate.years)
    _show_trips(estimate, jaw, stated)
    st.header("How sure is this?")
    for pair in stated.pairs:
        st.markdown(f"- {_tell_pair(pair, jaw, estimate.years)}")
    st.markdown(f"- No treatment now\\: {show_plain(jaw.no_treatment.reason)}.")
    _show_above(estimate, jaw, stated, key)
    if st.toggle("For the clinician: spread, what matters most, checks", key=f"{key}_more"):
        show_spread(estimate, jaw, stated)
        show_swings(estimate, jaw, stated, key)
        _show_sanity(estimate, jaw)
        _show_simulation(estimate, jaw, key)


def _show_calendar(made: Estimate, years: int) -> None:
    rows = list_calendar_rows(
        made.upkeep, name=lambda event: event.label, note=lambda event: f"about {event.count:.1f} times"
    )  # fmt: skip
    drawn = {row.name for row in rows}
    seldom = [f"{e.label} ({e.count:.2f} times)" for e in made.upkeep.events if e.count > 0 and e.label not in drawn]
    if rows:
        _draw(made, rows, years)
    if seldom:
        st.markdown(f"Expected less than half a time each\\: {show_plain('; '.join(seldom))}.")
    if made.upkeep_note:
        st.markdown(f":small[{show_plain(made.upkeep_note)}.]")


def _draw(made: Estimate, rows: tuple[CalendarRow, ...], years: int) -> None:
    picture = draw_calendar(
        rows, years, Sizes(width=_NARROWEST), axis="years from delivery", dot="to be expected about now",
        many="again and again",
    )  # fmt: skip
    show_picture(picture, alt=f"{made.name}: " + "; ".join(f"{row.name}, {row.note}" for row in rows))
    st.markdown(
        ":small[On average over people alike: a dot stands where the expected number passes one half, one and a half … "
        "No one patient's years look like this.]"
    )


def _show_trips(estimate: CaseEstimate, jaw: JawEstimate, stated: JawStatement) -> None:
    locale, quantum = estimate.practice.settings.locale, estimate.practice.fees.quantum
    decimals = max(0, -int(quantum.as_tuple().exponent))
    rows = [
        {
            "Option": made.name,
            "Trips at first": float(made.visits.count),
            "Trips later, about": made.upkeep_visits.trips,
            "Chair time later, hours": made.upkeep_visits.chair_time_min / 60,
            "Upkeep": format_amount(made.upkeep.expected, locale, decimals=decimals),
            "Worth at delivery": format_amount(made.upkeep.discounted, locale, decimals=decimals),
            "First cost and upkeep, a year": format_amount(offer.later.a_year, locale, decimals=decimals),
        }
        for made, offer in zip(jaw.estimates, stated.offers, strict=True)
    ]
    formats = {"Trips at first": "{:.0f}", "Trips later, about": "{:.0f}", "Chair time later, hours": "{:.1f}"}
    show_table(pd.DataFrame(rows), formats)
    st.markdown(":small[Each event is counted as a trip of its own, so this is the most, not the least.]")


def _find(jaw: JawEstimate, key: str) -> Estimate:
    return next(made for made in jaw.estimates if made.key == key)


def _tell_pair(pair: Pair, jaw: JawEstimate, years: int) -> str:
    """Said from the option that more often costs more; near a half nobody is named."""
    first, second, chance = _find(jaw, pair.first).name, _find(jaw, pair.second).name, pair.chance
    if chance < 0.5:
        first, second, chance = second, first, 1 - chance
    span = "1 year" if years == 1 else f"{years} years"
    meet = (
        f"their expected costs do not meet within {span}"
        if pair.crossing_year is None
        else "they cost the same to begin with"
        if pair.crossing_year == 0
        else f"their expected costs meet in year {pair.crossing_year}"
    )
    return (
        f"Two people alike, one with each, over {span}\\: **{show_plain(first)}** costs more than "
        f"**{show_plain(second)}** with a chance of **{show_chance(chance)}**; {meet}."
    )


def _show_above(estimate: CaseEstimate, jaw: JawEstimate, stated: JawStatement, key: str) -> None:
    highest = max((offer.later.total.expected for offer in stated.offers), default=Decimal(0))
    amount, told = st.columns([1, 3], gap="large", vertical_alignment="bottom")
    typed = amount.number_input(
        f"More than, {estimate.practice.fees.currency}", 0.0, None, float(round(highest, -2)), 500.0,
        key=f"{key}_amount", help="First cost and upkeep together, over the years looked ahead.",
    )  # fmt: skip
    chances = [
        f"{show_plain(made.name)} **{show_chance(made.find_chance_above(Decimal(str(typed)), offer.price.total))}**"
        for made, offer in zip(jaw.estimates, stated.offers, strict=True)
    ]
    told.markdown(f"Chance that first cost and upkeep come to more\\: {', '.join(chances)}.")


def _show_sanity(estimate: CaseEstimate, jaw: JawEstimate) -> None:
    options = {option.key: option for option in estimate.practice.options}
    rows = [
        {
            "Option": made.name,
            "Upkeep of": f"{check.years} years",
            "Share": 100 * check.share,
            "Published": 100 * float(check.figure.value),
            "Band": f"{100 * check.low:.0f} to {100 * check.high:.0f} %",
            "Finding": check.finding.value,
        }
        for made in jaw.estimates
        for check in check_sanity(jaw.jaw, options[made.key], estimate.practice)
    ]
    if not rows:
        return
    st.subheader("Upkeep beside two published shares", anchor=False)
    show_table(pd.DataFrame(rows), {"Share": "{:.0f} %", "Published": "{:.0f} %"})
    st.markdown(
        ":small[5 years as a share of the first cost (Matthys et al. 2019), 8 years as a share of the total (Stoker et "
        "al. 2007), both with implants still to be placed. Outside the band: look at the practice's fees and rates.]"
    )


def _show_simulation(estimate: CaseEstimate, jaw: JawEstimate, key: str) -> None:
    st.subheader("Check by simulation", anchor=False)
    if not st.button("Draw a million people", key=f"{key}_simulate", help="A few seconds for all options."):
        return
    with st.spinner("Drawing"):
        check = check_by_simulation(estimate, jaw, people=_PEOPLE, generator=np.random.default_rng())
    locale = estimate.practice.settings.locale
    rows = []
    for option in check.options:
        for point in option.points:
            rows.append(
                {
                    "Option": _find(jaw, option.key).name,
                    "Point": f"{100 * point.chance:.0f} %",
                    "Computed": format_amount(point.exact, locale),
                    "Drawn": format_amount(Decimal(str(round(point.simulated, 2))), locale),
                }
            )
    show_table(pd.DataFrame(rows))
    st.markdown(
        f"The largest distance is **{check.most_errors:.1f} standard errors** of the draw; chance allows about 4."
    )
