"""The self-pay estimate of the Quote page: its elements, its clock, what is still missing, and its kept versions."""

from dataclasses import replace
from datetime import date

import streamlit as st

from estimator import files
from estimator.base.money import get_quantum
from estimator.base.problems import InputError, Problem
from estimator.estimate.result import CaseEstimate
from estimator.files.reading import gather
from estimator.inputs.payment.jurisdiction import Asked, Profile
from estimator.quote.quote import Quote
from estimator.quote.self_pay.business_days import list_holidays
from estimator.quote.self_pay.good_faith_estimate import (
    SelfPayEstimate,
    find_due_day,
    get_rules,
    list_missing,
    make_self_pay_estimate,
)
from estimator.ui.quote.payment import name_quote_line
from estimator.ui.quote.self_pay.form import Clock, ask_booking, ask_clock, ask_codes, ask_patient, ask_providers
from estimator.ui.quote.self_pay.missing_items import ESTIMATE, say_missing
from estimator.ui.quote.self_pay.saved_estimate_view import show_estimate
from estimator.ui.quote.self_pay.version_history import show_estimate_versions
from estimator.ui.shell import session
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.render import show_problems
from estimator.ui.shell.working_copy import hold

_RULES_OF = "united_states"
_PLAN_MEMBERS = "dental_plan_members"


def show_self_pay(estimate: CaseEstimate, quote: Quote | None, profile: Profile) -> SelfPayEstimate | None:
    """Opened where the profile asks for it; elsewhere when somebody wants one by the rules of the United States.

    Returns it once it works out.
    """
    st.header("Self-pay estimate")
    key = "self_pay"
    if not st.toggle("For a patient who pays without a plan", **hold(f"{key}_open", profile.self_pay is not None)):
        return None
    if quote is None:
        st.markdown("It is made of the quote above, once that works out.")
        return None
    try:
        used = _settle(profile)
        made = _ask(estimate, quote, used, key)
    except InputError as error:
        show_problems("The self-pay estimate does not work out yet", error.problems)
        made = None
    if made is not None:
        _show_missing(made)
        with st.expander("As it would be given", expanded=True):
            show_estimate(made)
    show_estimate_versions(made, quote.reference, used if made is not None else profile)
    return made


def _settle(profile: Profile) -> Profile:
    """The profile with self-pay rules; without any of its own, those of the United States. Raises InputError."""
    if profile.self_pay is not None:
        return profile
    rules = files.load_shipped_profiles()[_RULES_OF].settle_currency(profile.currency)
    own = {text.key for text in profile.texts}
    texts = (*profile.texts, *(text for text in rules.texts if text.key not in own))
    return replace(profile, self_pay=rules.self_pay, titles=rules.titles, texts=texts)


def _ask(estimate: CaseEstimate, quote: Quote, profile: Profile, key: str) -> SelfPayEstimate:
    """Every field, then the estimate that comes of them. Raises InputError with all problems."""
    if (text := profile.find_text(_PLAN_MEMBERS)) is not None:
        st.markdown(f"{show_plain(text.text)} :small[{show_plain(text.source)}]")
    problems: list[Problem] = []
    ask_patient()
    booking = ask_booking(estimate, quote, key)
    quoted = [one.line for one in quote.lines]
    # The document names no jaw beside a line, so its description does.
    lines = ask_codes([replace(line, label=name_quote_line(line, quoted)) for line in quoted], key)
    with gather(problems):
        profile = replace(profile, providers=ask_providers(profile, lines, key))
    clock = ask_clock(key)
    with gather(problems):
        made = make_self_pay_estimate(
            booking,
            lines,
            [one.net + one.tax for one in quote.lines],
            number=quote.number,
            issued_on=session.get_today(),
            profile=profile,
            texts=files.load_disclaimers(),
            quantum=get_quantum(profile.currency),
        )
        _show_clock(clock, booking.service_on, profile)
    if problems:
        raise InputError(problems)
    return made


def _show_clock(clock: Clock, service_on: date | None, profile: Profile) -> None:
    """By when it is due, and which holidays are not counted as business days on the way."""
    rules = get_rules(profile)
    if service_on is None and clock.asked is not Asked.ON_REQUEST:
        st.markdown("By when it is due is known once the service has a day.")
        return
    if service_on is not None and service_on < clock.asked_on:
        path, asked = ("service_on",), {"asked_on": clock.asked_on}
        early = Problem(file=ESTIMATE, path=path, code="self_pay.asked_on", found=service_on, expected=asked)
        raise InputError([early])
    years = range(clock.asked_on.year - 1, max(clock.asked_on, service_on or clock.asked_on).year + 2)
    closed = list_holidays(rules.country, rules.subdivision, years)
    due = find_due_day(rules.clock, clock.asked, asked_on=clock.asked_on, service_on=service_on, closed=closed)
    if due is None:
        st.markdown("None is owed by the clock: the service is too near. You may give one all the same.")
        return
    between = [day for day in sorted(closed) if min(clock.asked_on, due) <= day <= max(service_on or due, due)]
    skipped = f" Holidays not counted: {', '.join(day.isoformat() for day in between)}." if between else ""
    late = " **That day is past.**" if due < session.get_today() else ""
    st.markdown(f"**Due by {due:%A} {due.isoformat()}.**{late}{skipped} :small[{show_plain(rules.source)}]")


def _show_missing(made: SelfPayEstimate) -> None:
    missing = list_missing(made)
    if missing:
        st.markdown(f"Still empty, and asked for by the rule\\: {show_plain(say_missing(made, missing))}.")
    if made.unreviewed:
        st.markdown(
            f"Nobody has put a name under {len(made.unreviewed)} of the texts yet: have your own lawyer read them, "
            "then put them into profile.toml of the practice folder with a name and a day."
        )
