"""The option sheet's score as a decision aid, item by item, for the office."""

import streamlit as st

from estimator.inputs.practice_bundle import Practice
from estimator.inputs.reference.wording import Wording
from estimator.ui.shell.markup import show_plain


def show_score(practice: Practice, wording: Wording) -> None:
    """How many items are met, and each with how, or what is missing."""
    items = practice.decision_aid
    must, more = ([item for item in items if item.mandatory is wanted] for wanted in (True, False))
    with st.expander("The option sheet as a decision aid (IPDAS v4.0), by our own count"):
        st.markdown(
            f"Meets **{sum(item.done for item in must)} of {len(must)}** items that are mandatory, and "
            f"**{sum(item.done for item in more)} of {len(more)}** further ones."
        )
        columns = {
            "Item": [show_plain(wording.get(f"decision_aid.items.{item.id}")) for item in items],
            "Group": [item.group.value for item in items],
            "State": ["done" if item.done else "not done" for item in items],
            "How": [show_plain(item.how) for item in items],
        }
        st.table(columns, border="horizontal", hide_index=True)
