"""Sources: every figure with its source, and how sure it is."""

import streamlit as st

from estimator.ui import session
from estimator.ui.sources import show_sources

st.title("Sources")
show_sources(session.get_practice())
