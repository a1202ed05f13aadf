"""Charts of the estimate in hand, drawn once: they stay in this tab and go with the estimate they were made of."""

from collections.abc import Callable, Hashable

import streamlit as st

from estimator.charts.shapes import Spec
from estimator.estimate.result import CaseEstimate


def draw_once(estimate: CaseEstimate, key: Hashable, draw: Callable[[], Spec]) -> Spec:
    """A chart under a key that says all it depends on beside the estimate: kind, jaw, colours, what was chosen."""
    kept: tuple[CaseEstimate, dict[Hashable, Spec]] | None = st.session_state.get("charts")
    if kept is None or kept[0] is not estimate:
        kept = st.session_state.charts = (estimate, {})
    charts = kept[1]
    if key not in charts:
        charts[key] = draw()
    return charts[key]
