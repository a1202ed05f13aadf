"""A check of the chance of fit by drawing a million jaws."""

import numpy as np
import streamlit as st

from estimator.estimate.clearance.chance.jaw import draw_chance
from estimator.estimate.clearance.verdict import Clearance

_DRAWS = 1_000_000


def show_draw(clearance: Clearance, key: str) -> None:
    """A button, and beside the computed chance the one that was drawn."""
    if clearance.chance_of_fit is None or clearance.margins is None:
        return
    st.subheader("Chance of fit, drawn", anchor=False)
    if not st.button("Draw a million jaws", key=f"{key}_draw", help="A check of the computed chance; takes a moment."):
        return
    with st.spinner("Drawing"):
        drawn, error = draw_chance(clearance.margins, draws=_DRAWS, generator=np.random.default_rng())
    st.markdown(
        f"Drawn **{100 * drawn:.2f} %** (standard error {100 * error:.2f}), computed "
        f"**{100 * clearance.chance_of_fit:.2f} %**, both with the usual share of error that all sites have in common."
    )
