"""Both jaws on the Options page: each pair of options apart and together."""

from decimal import Decimal

import pandas as pd
import streamlit as st

from estimator.base.formats import TRUE_MINUS, format_amount
from estimator.base.money import round_money
from estimator.estimate.both_jaws import BothJaws, list_together
from estimator.estimate.compare import round_to_fourth_digit
from estimator.estimate.result import CaseEstimate
from estimator.ui.shell.render import show_table


def show_together(estimate: CaseEstimate) -> None:
    """A row a pair of options; nothing for a case of one jaw."""
    pairs = list_together(estimate)
    if not pairs:
        return
    st.header("Both jaws together")
    jaws = tuple(jaw.jaw.arch.value.capitalize() for jaw in estimate.jaws)
    step = round_to_fourth_digit(max(two.expected for two in pairs))
    rows = [_make_row(two, jaws, step, estimate) for two in pairs]
    exact = (*(f"{jaw}, alone" for jaw in jaws), "Together")
    show_table(pd.DataFrame(rows), {**dict.fromkeys(exact, "{:,.2f}"), "Paid once": _show_off})
    labels = ", ".join(dict.fromkeys(line.label for two in pairs for line in two.shared))
    st.markdown(
        f":small[Charged once a case, and so taken off once where both jaws have it: {labels or 'nothing'}. Upkeep is "
        "the sum of both jaws, although one trip may serve both.]"
    )


def _show_off(amount: float) -> str:
    return f"{TRUE_MINUS}{amount:,.2f}" if amount else "0.00"


def _make_row(two: BothJaws, jaws: tuple[str, ...], step: Decimal, estimate: CaseEstimate) -> dict[str, str | float]:
    names = {jaw: option.name for jaw, option in zip(jaws, two.options, strict=True)}
    alone = {f"{jaw}, alone": float(option.fees.total) for jaw, option in zip(jaws, two.options, strict=True)}
    about = format_amount(round_money(two.expected / step, Decimal(1)) * step, estimate.practice.settings.locale)
    years = "1 year" if estimate.years == 1 else f"{estimate.years} years"
    return {
        **names,
        **alone,
        "Paid once": float(two.shared_total),
        "Together": float(two.total),
        f"With upkeep, {years}": f"about {about}",
    }
