"""Case: all that is asked about the patient and the jaws."""

import streamlit as st

from estimator.ui.case import form
from estimator.ui.shell import session
from estimator.ui.shell.render import show_problems
from estimator.ui.shell.start import show_case_file, show_case_upload, show_start

draft = session.get_draft()
if draft is None:
    st.title("No case open")
    st.markdown("Begin a new case, open the demo case or a case file, or take one from Records.")
    show_start()
    show_case_upload()
    st.stop()

head = st.container(horizontal=True, vertical_alignment="bottom")
edited = form.edit_case(draft)
problems = session.put_draft(edited)
if form.has_moved_measurement(draft, edited):
    st.rerun()
with head:
    st.title("Case")
    show_start()
if problems:
    show_problems("This case is not complete yet", problems)
else:
    st.page_link(session.find_page("options"), label="This case can be estimated: go to the options")
    show_case_file()
