"""The web app. `estimator app` runs this script; never put `pages/` beside it, or Streamlit finds pages of its own."""

import streamlit as st

from estimator.ui import session
from estimator.ui.navigation import ICON, IMPRINT, make_pages
from estimator.ui.warm import load_later_pages

st.set_page_config(page_title="Overdenture Options", page_icon=str(ICON), layout="wide")
st.logo(str(IMPRINT), size="large")
page = st.navigation(make_pages(), position="top")
session.start_run()
try:
    page.run()
finally:
    session.finish_run()
    load_later_pages()
