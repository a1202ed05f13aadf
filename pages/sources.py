"""Sources: every figure with its source, how sure it is and who confirmed it; and the practice's own experience."""

import streamlit as st

from estimator.ui.shell import session
from estimator.ui.sources.experience import show_experience
from estimator.ui.sources.section import show_sources

st.title("Sources")
show_sources(session.get_practice())
show_experience(session.get_practice())
