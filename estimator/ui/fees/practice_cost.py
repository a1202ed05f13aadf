"""Office only, on the Fees page and only when asked for: what options cost the practice, and fees under their cost."""

import pandas as pd
import streamlit as st

from estimator.estimate.cost.practice_cost import LineCost, find_lines_under_cost
from estimator.estimate.result import CaseEstimate, Estimate
from estimator.inputs.practice_bundle import Practice
from estimator.ui.shell import session
from estimator.ui.shell.markup import say_word, to_float
from estimator.ui.shell.render import money_format, show_table


def show_practice_cost(practice: Practice) -> None:
    """Margin by option of the open case and by chair hour; nothing at all until somebody turns it on."""
    if not st.session_state.get("fees_cost"):
        return
    st.header("Office only: what it costs the practice")
    chair = practice.settings.chair_cost_per_hour
    if chair is None:
        st.markdown("Not known yet: put chair_hour, or overhead_per_year and its hours, into [cost] of settings.toml.")
        return
    remakes = practice.settings.laboratory_remakes
    amount = money_format(practice.fees.decimals).format(chair)
    st.markdown(
        f"A chair hour costs {amount} {practice.fees.currency}; {remakes:.1%} of laboratory work is made again."
    )
    estimate = session.get_estimate()
    if estimate is not None:
        _show_margins(estimate)
    _show_under_cost(find_lines_under_cost(practice.fees, practice.settings), practice)


def _show_margins(estimate: CaseEstimate) -> None:
    money = money_format(estimate.practice.fees.decimals)
    rows = [_make_row(option, say_word(jaw.jaw.arch)) for jaw in estimate.jaws for option in jaw.estimates]
    columns = ("Fees", "Cost", "Margin", "Per chair hour")
    show_table(pd.DataFrame(rows), {**dict.fromkeys(columns, money), "Chair hours": "{:.1f}"})


def _make_row(option: Estimate, jaw: str) -> dict[str, str | float | None]:
    cost = option.practice_cost
    return {
        "Jaw": jaw,
        "Option": option.name,
        "Fees": float(option.fees.before_tax),
        "Cost": to_float(cost.cost_total),
        "Margin": to_float(cost.margin),
        "Chair hours": cost.chair_time_min / 60,
        "Per chair hour": to_float(cost.margin_per_chair_hour),
    }


def _show_under_cost(lines: tuple[LineCost, ...], practice: Practice) -> None:
    if not lines:
        st.markdown("No fee of the schedule in force is under its cost.")
        return
    count = (
        "1 fee of the schedule in force is" if len(lines) == 1 else f"{len(lines)} fees of the schedule in force are"
    )
    st.markdown(f"**{count} under cost:**")
    rows = [{"Line": line.label, "Fee": float(line.amount), "Cost": float(line.cost)} for line in lines]
    show_table(pd.DataFrame(rows), dict.fromkeys(("Fee", "Cost"), money_format(practice.fees.decimals)))
