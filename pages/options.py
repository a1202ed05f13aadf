"""Options: what fits, how long it takes, what it costs. One row an option, the same order everywhere."""

from datetime import date

import streamlit as st

from estimator import files
from estimator.estimate.result import estimate_case
from estimator.ui.comparison import show_comparison

st.title("Options")
case, practice = files.load_demo(today=date.today())  # noqa: DTZ011 - an age is counted in local days
estimate = estimate_case(case, practice)
for jaw in estimate.jaws:
    show_comparison(estimate, jaw, files.load_wording())
