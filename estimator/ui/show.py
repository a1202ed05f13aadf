"""Pictures on a page, in the colours of the theme that is on."""

import streamlit as st

from estimator.charts import draw_chart
from estimator.pictures.look import DARK, LIGHT, Colours
from estimator.pictures.rows import Picture


def current_colours() -> Colours:
    """Colours of the theme the reader has chosen; light until the browser has told."""
    return DARK if st.context.theme.type == "dark" else LIGHT


def show_picture(picture: Picture, *, alt: str) -> None:
    """A picture as wide as its column; `alt` says the finding and holds every number of the picture."""
    st.altair_chart(draw_chart(picture, current_colours()), theme=None, alt=alt)
