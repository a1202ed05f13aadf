"""The web app. `estimator app` runs this script; never put `pages/` beside it, or Streamlit finds pages of its own."""

import streamlit as st

from estimator.base.problems import InputError
from estimator.files.user import data_folder
from estimator.ui.shell import run
from estimator.ui.shell.navigation import ICON, IMPRINT, make_pages
from estimator.ui.shell.preload import load_later_pages
from estimator.ui.shell.render import show_problems
from estimator.ui.shell.start import show_notices

st.set_page_config(page_title="Overdenture Options", page_icon=str(ICON), layout="wide")
st.logo(str(IMPRINT), size="large")
run.start_run()
page = st.navigation(make_pages(), position="top")
show_notices()
try:
    page.run()
except InputError as error:
    note = f"Mend it in {data_folder.find_practice_folder()} and load the page anew."
    show_problems("The practice folder cannot be used", error.problems, note=note)
finally:
    again = run.finish_run()
    load_later_pages()
    if again:
        st.rerun()
