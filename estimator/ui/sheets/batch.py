"""Several sheets made one after the other, with progress and a way to stop, and taken as one file."""

import time
from dataclasses import dataclass, replace

import streamlit as st

from estimator.base.problems import InputError, Problem
from estimator.estimate.result import CaseEstimate
from estimator.pdf.bundle import name_bundle, zip_sheets
from estimator.pdf.print import name_sheet
from estimator.ui.sheets.print_options import Press, Wanted
from estimator.ui.shell.render import show_problems

_ROUND_S = 0.4
"""How long one round of sheets may take before the page is shown again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """How far the sheets that were asked for have been made."""

    estimate: CaseEstimate
    press: Press
    wanted: tuple[Wanted, ...]
    left: tuple[Wanted, ...]
    made: tuple[tuple[str, bytes], ...] = ()
    problems: tuple[Problem, ...] = ()
    stopped: bool = False

    def is_of(self, estimate: CaseEstimate, press: Press, wanted: tuple[Wanted, ...]) -> bool:
        """Whether just these are the sheets."""
        return self.estimate is estimate and self.press == press and self.wanted == wanted

    def stop(self) -> "Batch":
        """No further; what was made stays."""
        return replace(self, left=(), stopped=True)


def show_batch(estimate: CaseEstimate, press: Press, wanted: tuple[Wanted, ...]) -> None:
    """A button that makes them all, then how far it is, then the file."""
    state = st.session_state
    batch: Batch | None = state.get("sheets_batch")
    if batch is not None and not batch.is_of(estimate, press, wanted):
        batch = state.sheets_batch = None
    if batch is None or not batch.left:
        label = f"Make all {len(wanted)} sheets"
        st.button(label, on_click=_begin, args=(estimate, press, wanted), key="sheets_make")
    if batch is None:
        return
    if batch.left:
        done = len(batch.wanted) - len(batch.left)
        st.progress(done / len(batch.wanted), f"{done} of {len(batch.wanted)} sheets")
        st.button("Stop", on_click=_stop, key="sheets_stop")
        state.sheets_batch = continue_batch(batch, until=time.monotonic() + _ROUND_S)
        st.rerun()
    _show_made(batch)


def _begin(estimate: CaseEstimate, press: Press, wanted: tuple[Wanted, ...]) -> None:
    st.session_state.sheets_batch = Batch(estimate=estimate, press=press, wanted=wanted, left=wanted)


def _stop() -> None:
    st.session_state.sheets_batch = st.session_state.sheets_batch.stop()


def continue_batch(batch: Batch, *, until: float) -> Batch:
    """At least one sheet further, and as many as can be made until that moment of the monotonic clock [s]."""
    made, problems, number = list(batch.made), list(batch.problems), 0
    while number < len(batch.left) and (number == 0 or time.monotonic() < until):
        wanted, number = batch.left[number], number + 1
        try:
            data = batch.press.make(batch.estimate, wanted)
        except InputError as error:
            problems += error.problems
            continue
        made.append((name_sheet(wanted.kind, batch.estimate, wanted.jaw), data))
    return replace(batch, left=batch.left[number:], made=tuple(made), problems=tuple(problems))


def _show_made(batch: Batch) -> None:
    if batch.stopped:
        st.markdown(f"**Stopped: {len(batch.made)} of {len(batch.wanted)} sheets are made.**")
    if batch.problems:
        show_problems("Not every sheet was made", batch.problems)
    if batch.made:
        count = "1 sheet" if len(batch.made) == 1 else f"{len(batch.made)} sheets"
        data = zip_sheets(batch.made, day=batch.press.today)
        name = name_bundle(batch.estimate.case.reference)
        st.download_button(f"Download {count} (zip)", data, name, "application/zip", key="sheets_zip")
