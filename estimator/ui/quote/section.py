"""The Quote page: lines, totals by kind and provider. What an option costs the practice is never here."""

from decimal import Decimal

import pandas as pd
import streamlit as st

from estimator.estimate.both_jaws import add_together
from estimator.estimate.cost.charges import CostLine, Fees
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate
from estimator.inputs.fees.schedule import FeeSchedule
from estimator.inputs.payment.jurisdiction import DocumentKind
from estimator.ui.quote.documents import offer_papers
from estimator.ui.quote.payment import find_profile, show_paying
from estimator.ui.quote.self_pay.section import show_self_pay
from estimator.ui.quote.unfinished import forget_unfinished
from estimator.ui.quote.version_history import show_quote_versions
from estimator.ui.shell.ask import hold_option
from estimator.ui.shell.markup import say_word, show_plain
from estimator.ui.shell.render import Format, money_format, show_table
from estimator.ui.table.patient_view import AT_THE_TABLE, put_on_table, show_at_table


def show_quote(estimate: CaseEstimate) -> None:
    """For the office one option a jaw, chosen here, and all that follows; for the patient only what is said of it."""
    if st.toggle("At the table", key=AT_THE_TABLE):
        show_at_table(estimate)
        return
    forget_unfinished()
    chosen = _show_lines(estimate)
    made = show_paying(estimate, chosen)
    quote = made.quote if made else None
    put_on_table(estimate, quote)
    if chosen:
        profile = find_profile(estimate)
        papers = st.container()
        show_quote_versions(estimate, quote, profile)
        self_pay = show_self_pay(estimate, quote, profile)
        if made is not None:
            title = profile.name_document(DocumentKind.BENEFIT)
            with papers:
                offer_papers(estimate, made.quote, made.benefits, self_pay, benefit_title=title)


def _show_lines(estimate: CaseEstimate) -> list[tuple[JawEstimate, Estimate]]:
    fees = estimate.practice.fees
    invented = " Invented demo prices: not a real quote." if fees.invented else ""
    st.markdown(f"Prices of {fees.price_date.isoformat()} in {fees.currency}, from {show_plain(fees.file)}.{invented}")
    chosen = [_show_jaw(jaw, number, fees) for number, jaw in enumerate(estimate.jaws)]
    if len(chosen) > 1:
        _show_together([option for option in chosen if option is not None], fees)
    if fees.tax.reason:
        st.markdown(f"No tax where none is shown: {show_plain(fees.tax.reason)}.")
    st.markdown(":small[A total is the sum of its printed lines, before what a benefit plan pays.]")
    return [(jaw, made) for jaw, made in zip(estimate.jaws, chosen, strict=True) if made is not None]


def _show_jaw(jaw: JawEstimate, number: int, schedule: FeeSchedule) -> Estimate | None:
    st.header(say_word(jaw.jaw.arch).capitalize())
    options = {option.key: option for option in jaw.estimates}
    if not options:
        return None
    held = hold_option(f"quote_{number}", jaw.jaw.arch, list(options), next(iter(options)))
    key = st.selectbox("Option", list(options), format_func=lambda k: options[k].name, **held)
    fees = options[key].fees
    money = money_format(schedule.decimals)
    formats: dict[str, Format] = {"Fee": money, "Amount": lambda amount: money.format(amount) if amount else "included"}
    show_table(pd.DataFrame([_make_row(line) for line in fees.lines]), formats)
    st.markdown(f"**Total {fees.total:,}**{_say_about(fees)}  \n{show_plain(_list_totals(fees))}")
    return options[key]


def _make_row(line: CostLine) -> dict[str, str | float]:
    return {
        "Line": line.label,
        "Quantity": line.quantity,
        "Fee": float(line.unit_fee),
        "Amount": float(line.amount),
        **({} if line.amount_range is None else {"If it is a range": _say_range(line.amount_range)}),
        "Kind": line.kind.value,
        "Provider": line.provider,
        "From": f"row {line.row}, {line.rule}",
    }


def _say_range(ends: tuple[Decimal, Decimal] | None) -> str:
    return "" if ends is None else f"{ends[0]:,} to {ends[1]:,}"


def _say_about(fees: Fees) -> str:
    return "" if fees.total_range is None else f", ranges counted with their middle ({_say_range(fees.total_range)})"


def _list_totals(fees: Fees) -> str:
    kinds = ", ".join(f"{kind} {total:,}" for kind, total in fees.by_kind if total)
    providers = ", ".join(f"{provider} {total:,}" for provider, total in fees.by_provider)
    kinds += f", tax {fees.tax_total:,}" if fees.tax_total else ""
    return f"By kind: {kinds}.  \nBy provider: {providers}."


def _show_together(options: list[Estimate], schedule: FeeSchedule) -> None:
    """Both jaws: what is charged once a case stands in both totals and is paid once."""
    st.header("Both jaws")
    two = add_together(options[0], options[1], schedule)
    st.markdown(
        f"**Together {two.total:,}**, after {two.shared_total:,} that is charged once a case and stands in both totals."
    )
