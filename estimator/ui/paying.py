"""What is left to pay, and the ways to pay it side by side, under the lines of the Quote page."""

from collections.abc import Sequence
from dataclasses import replace

import pandas as pd
import streamlit as st

from estimator import files
from estimator.base.problems import InputError
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate
from estimator.files import user
from estimator.inputs.payment import Lender
from estimator.inputs.payment_file import read_payment_terms
from estimator.quote.lines import list_quote_lines
from estimator.quote.paying import Box, PlannedWay, Series
from estimator.quote.quote import Heading, Quote, make_quote
from estimator.ui import session
from estimator.ui.benefits import ask_help, show_help
from estimator.ui.pay_form import edit_terms
from estimator.ui.show import show_problems, show_table
from estimator.ui.words import show_plain


def show_paying(estimate: CaseEstimate, chosen: Sequence[tuple[JawEstimate, Estimate]]) -> None:
    """Discounts and ways as typed, then what comes of them; problems are listed and nothing else is lost."""
    if not chosen:
        return
    fees, today = estimate.practice.fees, session.get_today()
    lines = list_quote_lines([(jaw.jaw.arch, made.fees) for jaw, made in chosen], fees)
    help_ = ask_help(estimate, chosen, lines)
    st.header("Paying")
    document = edit_terms(estimate.practice.settings.pay_at, today, f"pay_{session.get_generation()}")
    try:
        terms = read_payment_terms(
            document, file="ways to pay", currency=fees.currency, signed_on=today, lines=[one.key for one in lines]
        )
        profile = files.load_profile(user.find_practice_folder()).settle_fees(fees)
        # Where a place wants one amount, the middle of a range is quoted; the lines above say so.
        quoted = lines if profile.ranges else tuple(replace(line, amount_to=None) for line in lines)
        helped = show_help(help_, estimate, quoted, terms, profile)
        quote = make_quote(_head(estimate, chosen), quoted, terms, profile, benefits=helped)
    except InputError as error:
        show_problems("These ways to pay do not work out yet", error.problems)
        return
    _show_total(quote)
    _show_ways(quote)
    _show_text(quote)


def _head(estimate: CaseEstimate, chosen: Sequence[tuple[JawEstimate, Estimate]]) -> Heading:
    return Heading(
        number=estimate.case.reference,
        reference=estimate.case.reference,
        made_by="",
        made_on=session.get_today(),
        price_date=estimate.practice.fees.price_date,
        creditor=estimate.practice.settings.practice_name,
        options=tuple((jaw.jaw.arch.value, made.name) for jaw, made in chosen),
    )


def _show_total(quote: Quote) -> None:
    wording = files.load_wording()
    for applied in quote.adjusted.applied:
        reason, change = show_plain(applied.adjustment.reason), f"{applied.change:,}"
        st.markdown(f"{reason}\\: **{change}** :small[{wording.get(f'quote.rules.{applied.rounding}')}]")
    tax = f", tax {quote.tax:,} in it" if quote.tax else ""
    if quote.plan_pays or quote.write_off:
        off = f", written off {quote.write_off:,}" if quote.write_off else ""
        st.markdown(f"Charged {quote.total:,}. Plans are expected to pay {quote.plan_pays:,}{off}. "
                    f"{wording.get('benefits.not_a_guarantee')}")  # fmt: skip
    st.markdown(
        f"**To pay {quote.left:,} {quote.currency}**{tax}. Valid until {quote.valid_until.isoformat()}. "
        f":small[{wording.get('quote.rules.total')}]"
    )


def _show_ways(quote: Quote) -> None:
    wording = files.load_wording()
    if not quote.ways:
        st.markdown("No way to pay is chosen yet.")
        return
    show_table(pd.DataFrame([_make_row(planned) for planned in quote.ways]))
    for planned in quote.ways:
        for notice in planned.notices:
            text = wording.say(f"quote.notices.{notice.key}", **dict(notice.values))
            st.markdown(f"Before you print ({show_plain(planned.way.label)})\\: {show_plain(text)}")
        if planned.payments:
            with st.expander(f"Every payment: {show_plain(planned.way.label)}"):
                show_table(pd.DataFrame(_list_payments(planned)))
        if planned.box is not None:
            _show_box(planned.box, planned.way.label, quote.currency)
    for own in quote.texts:
        st.markdown(f":small[{show_plain(own.text)}]")


def _make_row(planned: PlannedWay) -> dict[str, str]:
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


def _list_payments(planned: PlannedWay) -> list[dict[str, str]]:
    return [
        {
            "Payment": str(payment.number),
            "When": payment.due.isoformat() if payment.due else payment.what,
            "Amount": f"{payment.amount:,}",
            "Interest in it": f"{payment.interest:,}",
            "Still owed": f"{payment.balance:,}",
        }
        for payment in planned.payments
    ]


def _show_box(box: Box, label: str, currency: str) -> None:
    """The terms of credit, for the patient to read before signing."""
    apr = "not known" if box.apr is None else f"{box.apr:.2f} %"
    rows = {
        "Creditor": box.creditor or "(name of the practice)",
        "Annual percentage rate": apr,
        "Finance charge": f"{box.finance_charge:,} {currency}",
        "Amount financed": f"{box.amount_financed:,} {currency}",
        "Total of payments": f"{box.total_of_payments:,} {currency}",
        "Total sale price": f"{box.total_sale_price:,} {currency}, with {box.down_payment:,} at the start",
        "Payments": "; ".join(_say_series(series) for series in box.schedule),
        "If a payment is late": box.late_payment or "not said yet",
        "If you pay early": box.paying_early or "not said yet",
    }
    with st.expander(f"Terms of credit: {show_plain(label)}", expanded=True):
        show_table(pd.DataFrame({"": list(rows), "Terms": list(rows.values())}))


def _say_series(series: Series) -> str:
    return f"{series.number} of {series.amount:,}" + (f" from {series.first.isoformat()}" if series.first else "")


def _show_text(quote: Quote) -> None:
    """The quote as plain text for an e-mail; it names no patient."""
    lines = [f"{quote.title} {quote.reference}, prices of {quote.price_date.isoformat()}, valid until "
             f"{quote.valid_until.isoformat()}"]  # fmt: skip
    lines += [f"{name} ({arch})" for arch, name in quote.options]
    lines += [
        f"  {one.line.label}: {one.line.quantity} × {one.line.unit_fee:,} = {one.line.amount:,}" for one in quote.lines
    ]
    lines += [f"  {applied.adjustment.reason}: {applied.change:,}" for applied in quote.adjusted.applied]
    if quote.plan_pays or quote.write_off:
        wording = files.load_wording()
        lines.append(f"Expected from benefit plans: -{quote.plan_pays:,} ({wording.get('benefits.not_a_guarantee')})")
        lines += [f"Written off: -{quote.write_off:,}"] if quote.write_off else []
    lines.append(f"To pay: {quote.left:,} {quote.currency}")
    lines += [
        f"  {row['Way']}: at signing {row['At signing']}, then {row['Then']}, in all {row['In all']}"
        for row in map(_make_row, quote.ways)
        if row["In all"]
    ]
    lines.append("This is an estimate by your dental practice. The licensed clinician decides; local law applies.")
    with st.expander("As text, for an e-mail"):
        st.code("\n".join(lines), language=None, wrap_lines=True)
