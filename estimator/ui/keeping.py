"""Who keeps something, and what came of it: said once, at the place where it was asked for."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

import streamlit as st

from estimator.base.problems import InputError, Problem
from estimator.records.database import RecordsError, TakenError
from estimator.ui.show import show_problems
from estimator.ui.words import show_plain

_LONGEST_NAME = 120


@dataclass(slots=True)
class Outcome:
    """What is said of an attempt, and the problems that stood in its way."""

    said: str = ""
    problems: tuple[Problem, ...] = ()


def ask_who(label: str, topic: str) -> None:
    """A person's name, kept in this tab from one document to the next."""
    state = st.session_state
    state.who = st.text_input(label, state.get("who", ""), max_chars=_LONGEST_NAME, key=f"who_{topic}").strip()


def get_who(topic: str) -> str:
    """The name typed for that topic. Raises InputError where there is none."""
    name = str(st.session_state.get(f"who_{topic}", st.session_state.get("who", ""))).strip()
    if not name:
        expected = "the name of whoever keeps it or moves it on"
        raise InputError([Problem(file="quote", place="Made by", found="nothing", expected=expected)])
    return name


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
