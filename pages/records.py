"""Records: saved cases, on this computer."""

import streamlit as st

from estimator.ui.records.section import show_records

st.title("Records")
show_records()
