"""The web app. `estimator app` runs this script; never put `pages/` beside it, or Streamlit finds pages of its own."""

import streamlit as st

from estimator.ui.navigation import ICON, IMPRINT, make_pages

st.set_page_config(page_title="Overdenture Options", page_icon=str(ICON), layout="wide")
st.logo(str(IMPRINT), size="large")
st.navigation(make_pages(), position="top").run()
