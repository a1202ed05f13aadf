"""Options: what fits, how long it takes, what it costs. One row an option, the same order everywhere."""

import streamlit as st

from estimator import files
from estimator.ui.options.both_jaws import show_together
from estimator.ui.options.comparison import show_comparison
from estimator.ui.options.cost_by_year import show_years
from estimator.ui.options.upkeep_outlook import show_later
from estimator.ui.options.what_if import try_assumptions
from estimator.ui.shell import session
from estimator.ui.shell.start import ask_for_case

with st.container(horizontal=True, vertical_alignment="bottom"):
    st.title("Options")
    years = st.slider("Years to look ahead", 1, 30, session.DEFAULT_YEARS, key="years", width=280)
values = try_assumptions(session.get_practice()) if session.get_case() else None
estimate = session.get_estimate(years, values)
if estimate is None:
    ask_for_case("The options are estimated from a case.")
    st.stop()
for number, jaw in enumerate(estimate.jaws):
    show_comparison(estimate, jaw, files.load_wording())
    show_years(estimate, jaw, session.get_costs_so_far(estimate, number))
    show_later(estimate, jaw, number)
show_together(estimate)
