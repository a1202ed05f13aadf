"""The Sources page: every figure with value, source, place, how sure, and which are still assumptions."""

import pandas as pd
import streamlit as st

from estimator.base.evidence import Evidence, Figure
from estimator.inputs.practice import Practice
from estimator.ui.show import show_table

_SURE = {
    "abstract": "read in the paper's abstract",
    "chapter": "read in a textbook chapter",
    "rule": "read in a law or standard",
    "quoted": "read in a text that quotes it",
    "derived": "worked out by us",
    "memory": "recalled, not read",
    "practice": "common practice, no published source",
    "own": "this practice's own",
}


def show_sources(practice: Practice) -> None:
    """Assumptions first, then what was read."""
    evidence = practice.evidence
    figures = tuple(evidence.figures.values())
    assumed = [figure for figure in figures if figure.assumption and not figure.own]
    st.markdown(
        f"{len(figures)} figures. **{len(assumed)} are assumptions, to be confirmed by your clinician.** "
        "A practice puts its own in place with figures.csv in its practice folder."
    )
    wanted = st.text_input("Show figures with", key="sources_filter", placeholder="bar, tissue, reline …", width=360)
    _show_group("Assumptions still to be confirmed", assumed, evidence, wanted)
    _show_group("Read in a source, or your own", [f for f in figures if f not in assumed], evidence, wanted)
    st.markdown(":small[How sure: " + "; ".join(f"{word}: {meaning}" for word, meaning in _SURE.items()) + ".]")


def _show_group(title: str, figures: list[Figure], evidence: Evidence, wanted: str) -> None:
    rows = [_make_row(figure, evidence) for figure in figures]
    shown = [row for row in rows if all(word in " ".join(row.values()).lower() for word in wanted.lower().split())]
    st.header(title)
    if shown:
        show_table(pd.DataFrame(shown))
    st.markdown(f":small[{len(shown)} of {len(rows)} shown.]")


def _make_row(figure: Figure, evidence: Evidence) -> dict[str, str]:
    value = f"{figure.value:f}"
    if figure.low != figure.high:
        value = f"{value} ({figure.low:f} to {figure.high:f})"
    return {
        "Figure": figure.name + (" (own)" if figure.own else ""),
        "Value": f"{value} {figure.unit}",
        "Source": evidence.cite(figure),
        "How sure": figure.how_sure.value,
        "Note": figure.note,
    }
