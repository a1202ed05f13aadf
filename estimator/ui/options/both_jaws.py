"""Both jaws on the Options page: each pair of options apart and together, as the statement has them."""

import pandas as pd
import streamlit as st

from estimator.base.formats import TRUE_MINUS, format_amount
from estimator.estimate.result import CaseEstimate
from estimator.inputs.case.model import Arch
from estimator.proposal.statement import Statement, Together
from estimator.ui.shell.render import show_table


def show_together(estimate: CaseEstimate, statement: Statement) -> None:
    """A row a pair of options; nothing for a case of one jaw."""
    pairs = statement.together
    if not pairs:
        return
    st.header("Both jaws together")
    rows = []
    for two in pairs:
        about = format_amount(two.expected_shown, estimate.practice.settings.locale)
        years = "1 year" if statement.years == 1 else f"{statement.years} years"
        rows.append(_make_row(two, estimate, statement) | {f"With upkeep, {years}": f"about {about}"})
    exact = [*(_name_alone(jaw.arch) for jaw in statement.jaws), "Together"]
    show_table(pd.DataFrame(rows), {**dict.fromkeys(exact, "{:,.2f}"), "Paid once": _show_off})
    labels = ", ".join(dict.fromkeys(name.label for two in pairs for name in two.shared))
    st.markdown(
        f":small[Charged once a case, and so taken off once where both jaws have it: {labels or 'nothing'}. Upkeep is "
        "the sum of both jaws, although one trip may serve both.]"
    )


def _show_off(amount: float) -> str:
    return f"{TRUE_MINUS}{amount:,.2f}" if amount else "0.00"


def _make_row(two: Together, estimate: CaseEstimate, statement: Statement) -> dict[str, str | float]:
    names, alone = {}, {}
    for arch, key in two.options:
        offer = statement.find_jaw(arch).find_offer(key)
        names[_name_jaw(arch)] = next(option.name for option in estimate.practice.options if option.key == key)
        alone[_name_alone(arch)] = float(offer.price.total) if offer else 0.0
    return {**names, **alone, "Paid once": float(two.shared_total), "Together": float(two.total)}


def _name_jaw(arch: Arch) -> str:
    return arch.value.capitalize()


def _name_alone(arch: Arch) -> str:
    return f"{_name_jaw(arch)}, alone"
