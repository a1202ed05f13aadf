"""A quote as it was kept, read only: nothing of it is worked out again."""

import pandas as pd
import streamlit as st

from estimator import files
from estimator.quote.benefits.explanations import say_promise
from estimator.quote.change_words import name_arch
from estimator.quote.quote import PricedLine, Quote
from estimator.ui.quote.payment_plans import show_payment_ways
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.render import show_table


def show_kept_quote(quote: Quote, locale: str) -> None:
    """Heading, lines with what was taken off each, totals, ways to pay."""
    wording = files.load_wording()
    options = "; ".join(f"{name} ({name_arch(arch, wording)})" for arch, name in quote.options)
    st.markdown(
        show_plain(
            f"{quote.title} for {quote.reference}: {options}. Made by {quote.made_by} on {quote.made_on.isoformat()}, "
            f"prices of {quote.price_date.isoformat()} in {quote.currency}, until {quote.valid_until.isoformat()}."
        )
    )
    rows = pd.DataFrame([_make_row(line) for line in quote.lines])
    show_table(rows.loc[:, (rows != "").any()])
    for applied in quote.adjusted.applied:
        st.markdown(f"{show_plain(applied.adjustment.reason)}\\: **{applied.change:,}**")
    tax = f", tax {quote.tax:,} in it" if quote.tax else ""
    help_ = (
        f" Written off {quote.write_off:,}, the plan pays {quote.plan_pays:,}."
        if quote.plan_pays or quote.write_off
        else ""
    )
    answered = f" {show_plain(say_promise(quote.answered, wording, locale=locale))}" if quote.answered else ""
    st.markdown(f"Price {quote.total:,}{tax}.{help_}{answered} **To pay {quote.left:,} {quote.currency}.**")
    show_payment_ways(quote)


def _make_row(one: PricedLine) -> dict[str, str]:
    line = one.line
    return {
        "Line": line.label,
        "Jaw": name_arch(line.arch, files.load_wording()),
        "Quantity": f"{line.quantity}",
        "Fee": f"{line.unit_fee:,}",
        "Amount": f"{line.amount:,}" if line.amount else "included",
        "At most": "" if line.amount_to is None else f"{line.amount_to:,}",
        "Discount": f"{one.change:,}" if one.change else "",
        "Tax": f"{one.tax:,}" if one.tax else "",
        "Written off": f"{one.write_off:,}" if one.write_off else "",
        "The plan pays": f"{one.plan_pays:,}" if one.plan_pays else "",
        "To pay": f"{one.left:,}",
    }
