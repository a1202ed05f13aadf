"""How was this computed: one click to the figures behind a number, a second to all sources."""

from collections.abc import Sequence

import streamlit as st

from estimator.base.evidence import Evidence, Figure
from estimator.ui.shell import session
from estimator.ui.shell.markup import say_how_sure, show_plain, show_points


def show_basis(rule: str, figures: Sequence[Figure], evidence: Evidence, *, key: str) -> None:
    """A button that opens the rule and every figure it rests on, each with its source and how sure that is."""
    with st.popover("How was this computed?", key=f"basis_{key}"):
        st.markdown(rule)
        for figure in {figure.key: figure for figure in figures}.values():
            st.markdown(f"- {_tell(figure, evidence)}")
        st.page_link(session.find_page("sources"), label="All sources")


def _tell(figure: Figure, evidence: Evidence) -> str:
    value = f"{show_points(figure.points)} {figure.unit}"
    return (
        f"**{show_plain(figure.name)}** {show_plain(value)}\\: {show_plain(evidence.cite(figure))} "
        f"({show_plain(say_how_sure(figure))})."
    )
