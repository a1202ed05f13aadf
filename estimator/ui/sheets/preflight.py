"""What is missing before sheets are printed, each with a link to the page that mends it."""

from collections.abc import Iterable

import streamlit as st

from estimator.sheets.preflight import Missing, Severity
from estimator.ui.shell import session
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.navigation import PAGES

_TITLES = {page.key: page.title for page in PAGES}
_HERE = "sheets"


def show_missing(missing: tuple[Missing, ...]) -> None:
    """What matters most stands open; the rest is one click away. Nothing keeps anybody from printing."""
    st.header("Before you print")
    if not missing:
        st.markdown("Nothing is missing.")
        return
    first = [one for one in missing if one.severity is Severity.MUST]
    rest = [one for one in missing if one.severity is Severity.BETTER]
    _list(first)
    if rest:
        count = "1 more thing" if len(rest) == 1 else f"{len(rest)} more things"
        with st.expander(f"{count} to look at"):
            _list(rest)


def _list(missing: Iterable[Missing]) -> None:
    for one in missing:
        with st.container(horizontal=True, vertical_alignment="center", gap="small"):
            here = " :small[(on this page)]" if one.page == _HERE else ""
            st.markdown(f"{show_plain(one.text)}{here}", width="content")
            if not here:
                st.page_link(session.find_page(one.page), label=f"Go to the {_TITLES[one.page]} page", width="content")
