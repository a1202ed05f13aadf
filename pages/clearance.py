"""Clearance: what each option needs at every site, beside the room that is there."""

import streamlit as st

from estimator.ui.clearance.section import show_clearance
from estimator.ui.shell import session
from estimator.ui.shell.start import ask_for_case

estimate = session.get_estimate()
if estimate is None:
    st.title("Clearance")
    ask_for_case("Clearance needs a case.")
    st.stop()
for number, jaw in enumerate(estimate.jaws):
    show_clearance(estimate, jaw, number)
