"""Fees: the schedule in use, and every problem of a file that could not be taken."""

import streamlit as st

from estimator.ui.fees import show_fees, show_upload

st.title("Fees")
show_upload()
show_fees()
