"""The Sources page: every figure with value, source, place, how sure, and which are still assumptions."""

import pandas as pd
import streamlit as st

from estimator.base.evidence import Evidence, Figure
from estimator.inputs.practice_bundle import Practice
from estimator.inputs.reference.published_minima import Minimum
from estimator.ui.shell.markup import say_how_sure, say_minimum, show_points
from estimator.ui.shell.render import show_table
from estimator.ui.sources.sign_off import show_sign_off

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
    """Assumptions first, then what a clinician has confirmed, then what was read."""
    evidence = practice.evidence
    figures = tuple(evidence.figures.values())
    assumed = [figure for figure in figures if figure.assumption]
    confirmed = [figure for figure in figures if figure.confirmed_on is not None]
    lapsed = [figure for figure in assumed if figure.lapsed]
    changed = f" {len(lapsed)} of them were confirmed and have changed since." if lapsed else ""
    st.markdown(
        f"{len(figures)} figures. **{len(assumed)} are assumptions, to be confirmed by your clinician.**{changed} "
        "A practice puts its own in place with figures.csv in its practice folder."
    )
    wanted = st.text_input("Show figures with", key="sources_filter", placeholder="bar, tissue, reline …", width=360)
    _show_group("Assumptions still to be confirmed", assumed, evidence, wanted)
    show_sign_off(assumed)
    if confirmed:
        _show_group("Confirmed by your clinician", confirmed, evidence, wanted)
    rest = [figure for figure in figures if figure not in assumed and figure not in confirmed]
    _show_group("Read in a source, or your own", rest, evidence, wanted)
    _show_rows("Published least heights", [_make_minimum_row(minimum, evidence) for minimum in practice.minima], wanted)
    st.markdown(":small[How sure: " + "; ".join(f"{word}: {meaning}" for word, meaning in _SURE.items()) + ".]")


def _show_group(title: str, figures: list[Figure], evidence: Evidence, wanted: str) -> None:
    _show_rows(title, [_make_row(figure, evidence) for figure in figures], wanted)


def _show_rows(title: str, rows: list[dict[str, str]], wanted: str) -> None:
    shown = [row for row in rows if all(word in " ".join(row.values()).lower() for word in wanted.lower().split())]
    st.header(title)
    if shown:
        show_table(pd.DataFrame(shown))
    st.markdown(f":small[{len(shown)} of {len(rows)} shown.]")


def _make_minimum_row(minimum: Minimum, evidence: Evidence) -> dict[str, str]:
    return {
        "Figure": minimum.label,
        "Value": say_minimum(minimum),
        "Source": evidence.cite(minimum),
        "How sure": minimum.how_sure.value,
        "Note": minimum.note,
    }


def _make_row(figure: Figure, evidence: Evidence) -> dict[str, str]:
    return {
        "Figure": figure.name + (" (own)" if figure.own else ""),
        "Value": f"{show_points(figure.points)} {figure.unit}",
        "Source": evidence.cite(figure),
        "How sure": say_how_sure(figure),
        "Note": figure.note,
    }
