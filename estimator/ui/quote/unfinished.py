"""What stands on the Quote page half typed and is counted nowhere: a quote is not kept as long as there is some."""

from collections.abc import Sequence
from dataclasses import replace

import streamlit as st

from estimator import files
from estimator.base.problems import Problem
from estimator.sheets.export.problem_lines import Labels, name_place
from estimator.ui.shell.render import show_problems

_KEY = "quote_unfinished"


def forget_unfinished() -> None:
    """Begin a run of the page."""
    st.session_state[_KEY] = ()


def note_unfinished(problems: Sequence[Problem]) -> None:
    """Something is typed and not counted, and the page says so where it stands."""
    st.session_state[_KEY] = (*list_unfinished(), *problems)


def show_unfinished(
    headline: str, problems: Sequence[Problem], *, note: str = "", labels: Labels | None = None, typed: bool = False
) -> None:
    """Say at its place what is not counted because of these problems, and note them by the labels of that form."""
    wording = files.load_wording()
    named = (replace(p, path=(name_place(p, wording, labels),), row=None, column="") for p in problems)
    note_unfinished(tuple(named))
    show_problems(headline, problems, note=note, labels=labels, typed=typed)


def list_unfinished() -> tuple[Problem, ...]:
    """All that this run of the page has found half typed."""
    return tuple(st.session_state.get(_KEY, ()))
