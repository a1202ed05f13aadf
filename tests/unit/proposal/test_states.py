"""Where a quote may go next, and why not."""

from dataclasses import replace
from datetime import date

import pytest

from estimator.estimate.clearance.verdict import Verdict
from estimator.proposal.states import (
    NEXT_STATES,
    Standing,
    WhyNot,
    check_step,
    find_obstacle,
    find_state,
    is_closed_by_agreement,
    list_doubts,
    list_next_states,
    list_obstacles,
)
from estimator.quote.quote import QuoteState

TODAY, LAST, AFTER = date(2026, 11, 25), date(2027, 2, 23), date(2027, 2, 24)
PREPARED, HOME, AGREED, NOT_NOW, STOPPED, OUT_OF_DATE = QuoteState
NEW = Standing(state=PREPARED, valid_until=LAST)


def test_every_state_says_what_may_follow() -> None:
    assert set(NEXT_STATES) == set(QuoteState)


@pytest.mark.parametrize("state", [PREPARED, HOME])
def test_a_quote_that_was_not_decided_is_out_of_date_after_its_last_day(state: QuoteState) -> None:
    standing = replace(NEW, state=state)
    assert (find_state(standing, LAST), find_state(standing, AFTER)) == (state, OUT_OF_DATE)


@pytest.mark.parametrize("state", [AGREED, NOT_NOW, STOPPED])
def test_what_was_decided_stays_so_after_the_last_day(state: QuoteState) -> None:
    assert find_state(replace(NEW, state=state), AFTER) is state


@pytest.mark.parametrize(("state", "today", "following"), [
    (PREPARED, TODAY, (HOME, AGREED, NOT_NOW)), (HOME, TODAY, (AGREED, NOT_NOW)), (NOT_NOW, TODAY, (HOME, AGREED)),
    (NOT_NOW, AFTER, ()), (HOME, AFTER, ()), (PREPARED, AFTER, ()), (AGREED, TODAY, (STOPPED,)), (AGREED, AFTER, (STOPPED,)),
    (STOPPED, TODAY, ()), (OUT_OF_DATE, TODAY, ()),
])  # fmt: skip
def test_only_steps_that_may_follow_today_are_offered(
    state: QuoteState, today: date, following: tuple[QuoteState, ...]
) -> None:
    assert list_next_states(replace(NEW, state=state), today) == following


def test_a_superseded_version_is_neither_agreed_nor_taken_home_and_the_reason_is_given() -> None:
    old = replace(NEW, superseded=True)
    assert list_next_states(old, TODAY) == (NOT_NOW,)
    assert list_obstacles(old, TODAY) == ((HOME, WhyNot.SUPERSEDED), (AGREED, WhyNot.SUPERSEDED))


def test_an_agreed_version_that_was_superseded_may_still_be_stopped() -> None:
    assert list_next_states(replace(NEW, state=AGREED, superseded=True), TODAY) == (STOPPED,)


@pytest.mark.parametrize(("state", "to", "today", "why"), [
    (AGREED, NOT_NOW, TODAY, WhyNot.NO_STEP), (HOME, PREPARED, TODAY, WhyNot.NO_STEP), (HOME, AGREED, AFTER, WhyNot.LAST_DAY),
    (NOT_NOW, AGREED, AFTER, WhyNot.LAST_DAY), (PREPARED, OUT_OF_DATE, TODAY, WhyNot.NO_STEP),
])  # fmt: skip
def test_a_step_that_may_not_follow_is_refused_with_its_reason(
    state: QuoteState, to: QuoteState, today: date, why: WhyNot
) -> None:
    standing = replace(NEW, state=state)
    assert find_obstacle(standing, to, today) is why
    with pytest.raises(ValueError, match=f"'state' must be .*: {why}"):
        check_step(standing, to, today=today)


@pytest.mark.parametrize(("state", "closed"), [
    (PREPARED, True), (HOME, True), (AGREED, True), (NOT_NOW, True), (STOPPED, False), (OUT_OF_DATE, False),
])  # fmt: skip
def test_an_agreement_closes_what_is_open_or_agreed(state: QuoteState, closed: bool) -> None:
    assert is_closed_by_agreement(state) is closed


@pytest.mark.parametrize("verdict", [Verdict.DOES_NOT_FIT, Verdict.NOT_MEASURED])
def test_an_agreement_on_too_little_room_has_to_be_confirmed(verdict: Verdict) -> None:
    standing = replace(NEW, rooms=(("mandible", Verdict.FITS), ("maxilla", verdict)))
    assert list_doubts(standing.rooms) == (("maxilla", verdict),)
    with pytest.raises(ValueError, match=f"'confirmed' must be true .*maxilla: {verdict}"):
        check_step(standing, AGREED, today=TODAY)
    check_step(standing, AGREED, today=TODAY, confirmed=True)
    check_step(standing, HOME, today=TODAY)


@pytest.mark.parametrize("verdict", [Verdict.FITS, Verdict.TIGHT])
def test_an_agreement_on_what_fits_is_not_asked_for_twice(verdict: Verdict) -> None:
    check_step(replace(NEW, rooms=(("mandible", verdict),)), AGREED, today=TODAY)
