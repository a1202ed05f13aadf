"""The Quote page: lines, totals by kind and provider. What an option costs the practice is never here."""

from decimal import Decimal

import pandas as pd
import streamlit as st

from estimator.estimate.cost import CostLine, Fees
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate
from estimator.estimate.together import add_together
from estimator.ui.show import show_table
from estimator.ui.words import say_word, show_plain


def show_quote(estimate: CaseEstimate) -> None:
    """One option a jaw, chosen here."""
    fees = estimate.practice.fees
    invented = " Invented demo prices: not a real quote." if fees.invented else ""
    st.markdown(f"Prices of {fees.price_date.isoformat()} in {fees.currency}, from {show_plain(fees.file)}.{invented}")
    chosen = [_show_jaw(jaw, number) for number, jaw in enumerate(estimate.jaws)]
    if len(chosen) > 1:
        _show_together([option for option in chosen if option is not None], fees.quantum)
    st.markdown(":small[A total is the sum of its printed lines. Benefit plans and ways to pay are not in it yet.]")


def _show_jaw(jaw: JawEstimate, number: int) -> Estimate | None:
    st.header(say_word(jaw.jaw.arch).capitalize())
    options = {option.key: option for option in jaw.estimates}
    key = st.selectbox("Option", list(options), key=f"quote_{number}", format_func=lambda k: options[k].name)
    if key is None:
        return None
    fees = options[key].fees
    show_table(pd.DataFrame([_make_row(line) for line in fees.lines]), {"Fee": "{:,.2f}", "Amount": _show_amount})
    st.markdown(f"**Total {fees.total:,}**  \n{show_plain(_list_totals(fees))}")
    return options[key]


def _make_row(line: CostLine) -> dict[str, str | float]:
    return {
        "Line": line.label,
        "Quantity": line.quantity,
        "Fee": float(line.unit_fee),
        "Amount": float(line.amount),
        "Kind": line.kind.value,
        "Provider": line.provider,
    }


def _show_amount(amount: float) -> str:
    return "included" if amount == 0 else f"{amount:,.2f}"


def _list_totals(fees: Fees) -> str:
    kinds = ", ".join(f"{kind} {total:,}" for kind, total in fees.by_kind if total)
    providers = ", ".join(f"{provider} {total:,}" for provider, total in fees.by_provider)
    return f"By kind: {kinds}.  \nBy provider: {providers}."


def _show_together(options: list[Estimate], quantum: Decimal) -> None:
    """Both jaws: what is charged once a case stands in both totals and is paid once."""
    st.header("Both jaws")
    two = add_together(options[0], options[1], quantum)
    st.markdown(
        f"**Together {two.total:,}**, after {two.shared_total:,} that is charged once a case and stands in both totals."
    )
