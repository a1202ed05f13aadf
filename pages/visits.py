"""Visits: the days of every option from a first visit on, and a calendar file for the front office."""

import streamlit as st

from estimator.ui.shell import session
from estimator.ui.shell.start import ask_for_case
from estimator.ui.visits.section import show_visits

st.title("Visits")
estimate = session.get_estimate()
if estimate is None:
    ask_for_case("Visits are planned from a case.")
    st.stop()
show_visits(estimate)
