"""Fees: the schedule in force, edited in a table; files in and out; versions; for the office, what it costs."""

import streamlit as st

from estimator.ui.fees.practice_cost import show_practice_cost
from estimator.ui.fees.section import show_fee_versions, show_fees, show_files
from estimator.ui.shell import session

st.title("Fees")
show_fees()
show_practice_cost(session.get_practice())
show_files()
show_fee_versions()
