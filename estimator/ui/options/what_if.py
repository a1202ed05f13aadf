"""Other assumptions tried on the Options page: sliders for the figures that matter most, and nothing of them kept."""

from decimal import Decimal

import streamlit as st

from estimator.base.evidence import Figure
from estimator.inputs.practice_bundle import Practice
from estimator.ui.shell import session
from estimator.ui.shell.markup import show_plain

_TRIED = (
    "retention_service_first_year", "retention_service_later", "reline_overdenture", "life_denture", "life_overdenture",
    "discount_rate", "inflation",
)  # fmt: skip
_WIDEST = {"inflation": (Decimal("0.00"), Decimal("0.10")), "discount_rate": (Decimal("0.00"), Decimal("0.10"))}
_STEPS = 40


def try_assumptions(practice: Practice) -> dict[str, Decimal]:
    """The figures that were moved, with the value each was moved to."""
    moved: dict[str, Decimal] = {}
    with st.expander("Try other assumptions"):
        st.markdown(
            ":small[Each starts at the figure in use and moves within its low and high. Discount rate and rise of "
            "prices act on the worth at delivery only; the headline is in today's money. Nothing of this is kept.]"
        )
        columns = st.columns(3, gap="large")
        for index, key in enumerate(key for key in _TRIED if key in practice.evidence.figures):
            figure = practice.evidence.get(key)
            with columns[index % 3]:
                value = _slide(figure)
            if value != figure.value:
                moved[key] = value
    if moved:
        st.info("What if: other assumptions than those in use. Everything below follows them.", icon=None)
    return moved


def _slide(figure: Figure) -> Decimal:
    low, high = _WIDEST.get(figure.key, (figure.low, figure.high))
    low, high = min(low, figure.value), max(high, figure.value)
    if low == high:
        return figure.value
    step = Decimal(f"{(high - low) / _STEPS:.1g}")
    value = st.slider(
        f"{show_plain(figure.name)}, {show_plain(figure.unit)}", float(low), float(high), float(figure.value),
        float(step), format="%.4g", key=f"try_{session.get_generation()}_{figure.key}",
    )  # fmt: skip
    return figure.value if abs(value - float(figure.value)) < float(step) / 2 else Decimal(str(round(value, 6)))
