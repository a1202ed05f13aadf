"""Options: what fits, how long it takes, what it costs. One row an option, the same order everywhere."""

import streamlit as st

from estimator.estimate.bands import list_costs_so_far
from estimator.ui.options.both_jaws import show_together
from estimator.ui.options.comparison import show_comparison
from estimator.ui.options.cost_by_year import show_years
from estimator.ui.options.upkeep_outlook import show_later
from estimator.ui.options.what_if import try_assumptions
from estimator.ui.shell import session
from estimator.ui.shell.offer import settle_shown
from estimator.ui.shell.start import ask_for_case
from estimator.ui.shell.working_copy import hold

with st.container(horizontal=True, vertical_alignment="bottom"):
    st.title("Options")
    held = hold("years", session.DEFAULT_YEARS, place=("proposal", "years"))
    st.slider("Years to look ahead", 1, 30, width=280, **held)
values = try_assumptions(session.get_practice()) if session.get_case() else None
estimate = session.get_estimate(values)
if estimate is None:
    ask_for_case("The options are estimated from a case.")
    st.stop()
statement = settle_shown(estimate).statement
for number, jaw in enumerate(estimate.jaws):
    stated = statement.find_jaw(jaw.jaw.arch)
    show_comparison(estimate, jaw, stated, statement.step)
    costs = list_costs_so_far(estimate, jaw, first_costs=stated.list_first_costs())
    show_years(estimate, jaw, costs, statement.step)
    show_later(estimate, jaw, stated, number)
show_together(estimate, statement)
