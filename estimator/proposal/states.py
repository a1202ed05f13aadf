"""Where a quote may go next, and why not: being prepared, taken home, agreed, not now, stopped, out of date.

One version of all quotes of a case can be agreed. Agreeing it closes the others, which are out of date from then on.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from estimator.estimate.clearance.verdict import Verdict
from estimator.quote.quote import Quote, QuoteState

NEXT_STATES = {
    QuoteState.BEING_PREPARED: (QuoteState.TAKEN_HOME, QuoteState.AGREED, QuoteState.NOT_NOW),
    QuoteState.TAKEN_HOME: (QuoteState.AGREED, QuoteState.NOT_NOW),
    QuoteState.NOT_NOW: (QuoteState.TAKEN_HOME, QuoteState.AGREED),
    QuoteState.AGREED: (QuoteState.STOPPED,),
    QuoteState.STOPPED: (),
    QuoteState.OUT_OF_DATE: (),
}
"""What may follow by hand. Where nothing may, only a further version can."""
_OPEN = (QuoteState.BEING_PREPARED, QuoteState.TAKEN_HOME)
_CLOSED = (QuoteState.STOPPED, QuoteState.OUT_OF_DATE)
_DOUBTFUL = (Verdict.DOES_NOT_FIT, Verdict.NOT_MEASURED)


class WhyNot(StrEnum):
    """Why a version may not go into a state."""

    NO_STEP = "no_step"
    LAST_DAY = "last_day"
    SUPERSEDED = "superseded"


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Where one version stands: as it was last moved, until which day it holds, whether a further one took its place.

    `rooms` are the headline verdicts of what was chosen, a jaw each, as they were when it was made.
    """

    state: QuoteState
    valid_until: date
    superseded: bool = False
    rooms: tuple[tuple[str, Verdict], ...] = ()


def stand_quote(quote: Quote, *, superseded: bool = False) -> Standing:
    """Where a quote stands by its own state."""
    return Standing(state=quote.state, valid_until=quote.valid_until, superseded=superseded, rooms=quote.rooms)


def find_state(standing: Standing, today: date) -> QuoteState:
    """The state as of today: what was not decided by its last day is out of date."""
    late = standing.state in _OPEN and today > standing.valid_until
    return QuoteState.OUT_OF_DATE if late else standing.state


def find_obstacle(standing: Standing, state: QuoteState, today: date) -> WhyNot | None:
    """Why it may not go into that state today; None where it may.

    A superseded version may be stopped or not wanted, never agreed or taken home; what is agreed may stop on any day.
    """
    if state not in NEXT_STATES[standing.state]:
        return WhyNot.NO_STEP
    if standing.superseded and state in (QuoteState.TAKEN_HOME, QuoteState.AGREED):
        return WhyNot.SUPERSEDED
    late = today > standing.valid_until and state is not QuoteState.STOPPED
    return WhyNot.LAST_DAY if late else None


def list_next_states(standing: Standing, today: date) -> tuple[QuoteState, ...]:
    """What may follow today."""
    return tuple(one for one in NEXT_STATES[standing.state] if find_obstacle(standing, one, today) is None)


def list_obstacles(standing: Standing, today: date) -> tuple[tuple[QuoteState, WhyNot], ...]:
    """What would follow and may not today, each with the reason."""
    found = ((one, find_obstacle(standing, one, today)) for one in NEXT_STATES[standing.state])
    return tuple((one, why) for one, why in found if why is not None)


def list_doubts(rooms: Iterable[tuple[str, Verdict]]) -> tuple[tuple[str, Verdict], ...]:
    """The jaws in which what was chosen has not enough room, or nobody has measured it: to be confirmed when agreed."""
    return tuple((arch, verdict) for arch, verdict in rooms if verdict in _DOUBTFUL)


def is_closed_by_agreement(state: QuoteState) -> bool:
    """Whether a version in this state is out of date once another one of its case is agreed."""
    return state not in _CLOSED


def check_step(standing: Standing, state: QuoteState, *, today: date, confirmed: bool = False) -> None:
    """Raises ValueError for a step that may not be taken, or an agreement on too little room that nobody confirmed."""
    why = find_obstacle(standing, state, today)
    if why is not None:
        allowed = ", ".join(list_next_states(standing, today)) or "a further version"
        raise ValueError(f"'state' must be {allowed} after {find_state(standing, today)} (got {state}: {why})")
    doubts = list_doubts(standing.rooms) if state is QuoteState.AGREED else ()
    if doubts and not confirmed:
        told = ", ".join(f"{arch}: {verdict}" for arch, verdict in doubts)
        raise ValueError(f"'confirmed' must be true where the room is in doubt (got false for {told})")
