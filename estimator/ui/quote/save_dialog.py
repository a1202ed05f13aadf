"""Who keeps something, and what came of it: said once, at the place where it was asked for."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from estimator.base.problems import InputError, Problem, free_problem
from estimator.records.database import RecordsError, TakenError
from estimator.ui.quote.saved_versions import Content, Kept
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.render import show_problems

_LONGEST_NAME = 120
_NEW = ""


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
        expected = "the name of whoever keeps it or moves it on"
        raise InputError([free_problem(file="quote", place="Made by", found="nothing", expected=expected)])
    return name


def ask_number(latest: Mapping[str, Kept[Content]], place: DeltaGenerator, key: str) -> Kept[Content] | None:
    """The version that the next one follows; None for a document with a number of its own."""
    if not latest:
        return None
    numbers = [*latest, _NEW]
    if st.session_state.get(key) not in numbers:
        st.session_state.pop(key, None)
    number = place.selectbox(
        "Keep it as",
        numbers,
        len(latest) - 1,
        key=key,
        format_func=lambda n: f"the next version of {n}" if n else "a new one, beside the others",
    )
    return latest.get(number)


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
        show_problems("Nothing was kept", outcome.problems, note="Everything typed is still there.")
    else:
        st.info(show_plain(outcome.said), icon=None)
