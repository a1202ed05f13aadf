"""Fees: the schedule in force, edited in a table; files in and out; versions; for the office, what it costs."""

import streamlit as st

from estimator.ui import session
from estimator.ui.fee_cost import show_practice_cost
from estimator.ui.fees import show_fees, show_files, show_versions

st.title("Fees")
show_fees()
show_practice_cost(session.get_practice())
show_files()
show_versions()
