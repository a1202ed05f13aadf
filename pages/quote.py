"""Quote: every line of an option with its total."""

import streamlit as st

from estimator.ui import session
from estimator.ui.quote import show_quote
from estimator.ui.start import ask_for_case

st.title("Quote")
estimate = session.get_estimate()
if estimate is None:
    ask_for_case("A quote needs a case.")
    st.stop()
show_quote(estimate)
