"""Ways to pay side by side for the office: what at signing, what then, what each adds, and what has to be disclosed."""

import pandas as pd
import streamlit as st

from estimator import files
from estimator.inputs.payment.model import Lender
from estimator.quote.payment.plans import CreditDisclosure, PlannedWay, Series
from estimator.quote.quote import Quote
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.render import show_table


def show_payment_ways(quote: Quote) -> None:
    """Every way of a quote with its payments, notices for the office and terms of credit, then the practice's texts."""
    if not quote.ways:
        st.markdown("No way to pay is chosen yet.")
        return
    show_table(pd.DataFrame([sum_up_way(planned) for planned in quote.ways]))
    for planned in quote.ways:
        _show_notices(planned)
        if planned.payments:
            with st.expander(f"Every payment: {show_plain(planned.way.label)}"):
                show_payments(planned)
        if planned.box is not None:
            with st.expander(f"Terms of credit: {show_plain(planned.way.label)}", expanded=True):
                show_box(planned.box, quote.currency)
    for own in quote.texts:
        st.markdown(f":small[{show_plain(own.text)}]")


def _show_notices(planned: PlannedWay) -> None:
    wording = files.load_wording()
    for notice in planned.notices:
        text = wording.say(f"quote.notices.{notice.key}", **dict(notice.values))
        st.markdown(f"Before you print ({show_plain(planned.way.label)})\\: {show_plain(text)}")


def sum_up_way(planned: PlannedWay) -> dict[str, str]:
    """A way as one row of texts; for a lender only what is said of it."""
    if isinstance(planned.way, Lender):
        return {
            "Way": planned.way.label,
            "At signing": "",
            "Then": planned.way.text,
            "It adds": "",
            "In all": "",
            "APR": "",
        }
    payments = planned.payments
    then = "nothing more"
    if payments:
        last = f", last on {planned.last_due.isoformat()}" if planned.last_due else ""
        then = f"{len(payments)} payments, {payments[0].amount:,} first{last}"
    return {
        "Way": planned.way.label,
        "At signing": f"{planned.at_signing:,}",
        "Then": then,
        "It adds": f"{planned.charge - planned.discount:,}",
        "In all": f"{planned.total:,}",
        "APR": "" if planned.apr is None else f"{planned.apr:.2f} %",
    }


def show_payments(planned: PlannedWay) -> None:
    """Every payment with its day or milestone, its interest and what is still owed after it."""
    show_table(
        pd.DataFrame(
            {
                "Payment": str(payment.number),
                "When": payment.due.isoformat() if payment.due else payment.what,
                "Amount": f"{payment.amount:,}",
                "Interest in it": f"{payment.interest:,}",
                "Still owed": f"{payment.balance:,}",
            }
            for payment in planned.payments
        )
    )


def show_box(box: CreditDisclosure, currency: str) -> None:
    """The terms of credit for the office, with what is not said yet."""
    apr = "not known" if box.apr is None else f"{box.apr:.2f} %"
    rows = {
        "Creditor": box.creditor,
        "Annual percentage rate": apr,
        "Finance charge": f"{box.finance_charge:,} {currency}",
        "Amount financed": f"{box.amount_financed:,} {currency}",
        "Total of payments": f"{box.total_of_payments:,} {currency}",
        "Total sale price": f"{box.total_sale_price:,} {currency}, with {box.down_payment:,} at the start",
        "Payments": "; ".join(_say_series(series) for series in box.schedule),
        "If a payment is late": box.late_payment,
        "If you pay early": box.paying_early,
    }
    said = [text or "not said yet" for text in rows.values()]
    show_table(pd.DataFrame({"What": list(rows), "Terms": said}))


def _say_series(series: Series) -> str:
    return f"{series.number} of {series.amount:,}" + (f" from {series.first.isoformat()}" if series.first else "")
