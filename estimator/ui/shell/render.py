"""Pictures and problems on a page, in the colours of the theme that is on."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import streamlit as st

from estimator import files
from estimator.base.problems import Problem
from estimator.charts.shapes import Spec, draw_chart
from estimator.pictures.base.look import DARK, LIGHT, Colours
from estimator.pictures.base.rows import Picture
from estimator.sheets.export.problem_lines import Labels, name_place, say_expected, say_found
from estimator.ui.shell.markup import show_plain

if TYPE_CHECKING:
    import pandas as pd

    from estimator.estimate.clearance.cautions import Caution

Format = str | Callable[[Any], str]


def current_colours() -> Colours:
    """Colours of the theme the reader has chosen; light until the browser has told."""
    return DARK if st.context.theme.type == "dark" else LIGHT


def show_picture(picture: Picture, *, alt: str) -> None:
    """A picture as wide as its column; `alt` says the finding and holds every number of the picture."""
    show_chart(draw_chart(picture, current_colours()), alt=alt)


def show_chart(spec: Spec, *, alt: str) -> None:
    """A chart as wide as its column; `alt` says its finding, then every option in a sentence."""
    st.vega_lite_chart(spec=spec, theme=None, alt=alt)


def show_problems(
    title: str, problems: Sequence[Problem], *, note: str = "", labels: Labels | None = None, typed: bool = False
) -> None:
    """All problems at once, as where, found, expected; `labels` are those of the form in which it was typed."""
    wording = files.load_wording()
    count = "1 problem" if len(problems) == 1 else f"{len(problems)} problems"
    st.error(f"**{show_plain(title)}\\: {count}.** {show_plain(note)}".strip())
    columns = {
        "Where": [show_plain(name_place(p, wording, labels) or p.file) for p in problems],
        "Found": [show_plain(say_found(p, wording)) for p in problems],
        "Expected": [show_plain(say_expected(p, wording, typed=typed)) for p in problems],
    }
    st.table(columns, border="horizontal", hide_index=True)


def show_gravest(cautions: "Iterable[Caution]") -> None:
    """Cautions where the choice is made, with source and how sure; whom they inform decides."""
    for caution in cautions:
        source = show_plain(f"{caution.source} ({caution.how_sure.value})")
        st.markdown(f"**{show_plain(caution.text)}** :small[{source}. For the clinician to judge.]")


def show_table(table: "pd.DataFrame", formats: Mapping[str, Format] | None = None) -> None:
    """A table with hairlines between rows; numbers right aligned, with the format of their column; texts as written."""
    table = table.map(lambda cell: show_plain(cell) if isinstance(cell, str) else cell).rename(columns=show_plain)
    wanted: dict[Any, Format | None] = {**(formats or {})}
    data = table.style.format(wanted, na_rep="\N{EN DASH}") if formats else table
    st.table(data, border="horizontal", hide_index=True)


def money_format(decimals: int, *, sign: bool = False) -> str:
    """How a table writes an amount of a currency with so many decimals: 2,250.00; with its sign where asked for."""
    return f"{{:{'+' if sign else ''},.{decimals}f}}"


def sign_length(length: float) -> str:
    """+0.75 or −0.75, with a true minus."""
    return f"{length:+.2f}".replace("-", "\N{MINUS SIGN}")
