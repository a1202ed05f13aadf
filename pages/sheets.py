"""Sheets: each sheet of the set as it will print, and the file to take along."""

import streamlit as st

from estimator.ui.sheets.section import show_sheets
from estimator.ui.shell import session
from estimator.ui.shell.start import ask_for_case

st.title("Sheets")
estimate = session.get_estimate()
if estimate is None:
    ask_for_case("A sheet is printed from a case.")
    st.stop()
show_sheets(estimate, session.get_today())
