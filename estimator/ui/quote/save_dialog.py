"""What is kept, who keeps something more and as what, and what came of it: said once, where it was asked for."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from estimator.base.problems import InputError, Problem
from estimator.records.database import RecordsError, TakenError
from estimator.ui.quote.saved_versions import Content, Kept
from estimator.ui.quote.unfinished import list_unfinished
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.render import show_problems

_LONGEST_NAME = 120
_NEW = ""
_STILL_THERE = "Everything typed is still there."


@dataclass(slots=True)
class Outcome:
    """What is said of an attempt, and the problems that stood in its way."""

    said: str = ""
    problems: tuple[Problem, ...] = ()


def ask_who(label: str, topic: str) -> None:
    """A person's name, which is offered for the next document of this tab too."""
    state, key = st.session_state, f"who_{topic}"
    if key not in state:
        state[key] = state.get("who", "")
    state.who = st.text_input(label, max_chars=_LONGEST_NAME, key=key).strip() or state.get("who", "")


def get_who(topic: str) -> str:
    """The name typed for that topic. Raises InputError where there is none."""
    name = str(st.session_state.get(f"who_{topic}", "")).strip()
    if not name:
        raise InputError([Problem(file="quote", path=("made_by",), code="quote.made_by")])
    return name


def open_shelf(
    topic: str, what: str, list_kept: Callable[[], tuple[tuple[Kept[Content], ...], tuple[Problem, ...]]]
) -> tuple[Kept[Content], ...] | None:
    """What came of the last attempt, then what is kept; None, and why, where that cannot be reached."""
    say_outcome(topic)
    try:
        kept, problems = list_kept()
    except RecordsError as error:
        st.error(f"**The kept {what} cannot be reached.** {show_plain(str(error))}")
        return None
    if problems:
        show_problems(
            f"Some kept {what} cannot be read", problems, note="They stay as they are; the others are listed."
        )
    return kept


def ask_keep(
    topic: str, label: str, latest: Sequence[Kept[Content]], same: str, keep: Callable[[Kept[Content] | None], str]
) -> Kept[Content] | None:
    """Who keeps it, as what, and the button; returns the version that it would follow, None for a new number.

    `latest` are the last versions of each number it can follow, `same` the number of those that are about the same
    options. `keep` is called with the version it follows and says what came of it.
    """
    row = st.columns(3, gap="medium", vertical_alignment="bottom")
    with row[0]:
        ask_who("Made by", topic)
    before = _ask_number(latest, row[1], f"{topic}_as", same)
    row[2].button(label, key=f"keep_{topic}", on_click=_try_to_keep, args=(topic, before, keep))
    return before


def _ask_number(latest: Sequence[Kept[Content]], place: DeltaGenerator, key: str, same: str) -> Kept[Content] | None:
    """What is offered first is chosen anew when it changes: another option is another quote."""
    if not latest:
        return None
    state = st.session_state
    known: dict[str, Kept[Content]] = {one.record.number: one for one in latest}
    numbers = [*known, _NEW]
    if state.get(key) not in numbers or state.get(f"{key}_offered") != same:
        state[key] = same if same in known else _NEW
    state[f"{key}_offered"] = same
    number = place.selectbox(
        "Keep it as",
        numbers,
        key=key,
        format_func=lambda n: f"the next version of {n}" if n else "a new one, beside the others",
    )
    return known.get(number)


def _try_to_keep(topic: str, before: Kept[Content] | None, keep: Callable[[Kept[Content] | None], str]) -> None:
    with attempt(topic) as outcome:
        if unfinished := list_unfinished():
            raise InputError(unfinished)
        outcome.said = keep(before)
        st.session_state.pop(f"{topic}_as", None)


def choose_version(kept: Sequence[Kept[Content]], label: str, key: str) -> Kept[Content] | None:
    """One of what is kept, opened under its name; None while none is."""
    names = {one.name: one for one in kept}
    if st.session_state.get(key) not in names:
        st.session_state.pop(key, None)
    name = st.selectbox(label, list(names), None, key=key, placeholder="None is open")
    if name is None:
        return None
    st.subheader(show_plain(name), anchor=False)
    return names[name]


@contextmanager
def attempt(topic: str) -> Iterator[Outcome]:
    """Do something that may not go; whatever came of it is said in the next run, and nothing typed is lost."""
    outcome = Outcome()
    try:
        yield outcome
    except InputError as error:
        outcome.problems = error.problems
    except (TakenError, RecordsError, ValueError) as error:
        outcome.said = f"Nothing was kept: {error}"
    st.session_state[f"outcome_{topic}"] = outcome


def say_outcome(topic: str) -> None:
    """What came of the last attempt, once."""
    outcome: Outcome | None = st.session_state.pop(f"outcome_{topic}", None)
    if outcome is None:
        return
    if outcome.problems:
        show_problems("Nothing was kept", outcome.problems, note=_STILL_THERE)
    else:
        st.info(show_plain(outcome.said), icon=None)
