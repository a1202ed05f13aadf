"""Quote: every line of an option with its total."""

import streamlit as st

from estimator.ui.quote.section import show_quote
from estimator.ui.shell import session
from estimator.ui.shell.start import ask_for_case

st.title("Quote")
estimate = session.get_estimate()
if estimate is None:
    ask_for_case("A quote needs a case.")
    st.stop()
show_quote(estimate)
