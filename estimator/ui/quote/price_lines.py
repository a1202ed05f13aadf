"""What an option costs line by line on the Quote page: amounts as they are told, rules and rows for the office."""

from decimal import Decimal

import pandas as pd
import streamlit as st

from estimator.estimate.cost.charges import CostLine
from estimator.estimate.result import Estimate
from estimator.inputs.fees.schedule import FeeSchedule
from estimator.proposal.statement import Chosen, JawStatement, Price, Statement
from estimator.quote.lines import QuoteLine
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.render import Format, money_format, show_gravest, show_table


def show_prices(fees: FeeSchedule) -> None:
    """Which prices these are."""
    invented = " Invented demo prices: not a real quote." if fees.invented else ""
    st.markdown(f"Prices of {fees.price_date.isoformat()} in {fees.currency}, from {show_plain(fees.file)}.{invented}")


def show_jaw_lines(made: Estimate, jaw: JawStatement) -> None:
    """Every line of an option, as if its jaw alone were treated, then its total by kind and by provider."""
    offer = jaw.find_offer(made.key)
    if offer is None:
        return
    st.markdown(f"Room\\: **{show_plain(offer.room.office)}**")
    show_gravest(offer.room.gravest)
    price, charged = offer.price, {line.key: line for line in made.fees.lines}
    decimals = -int(price.total.as_tuple().exponent)
    money = money_format(decimals)
    formats: dict[str, Format] = {"Fee": money, "Amount": lambda amount: money.format(amount) if amount else "included"}
    rows = [_make_row(one.line, charged[one.line.fee_key]) for one in price.lines]
    show_table(pd.DataFrame(rows), formats)
    providers = ", ".join(f"{provider} {total:,}" for provider, total in made.fees.by_provider)
    st.markdown(
        f"**Total {price.total:,}**{_say_about(price, made)}  \n"
        f"By kind: {show_plain(_list_kinds(price))}.  \nBy provider: {show_plain(providers)}."
    )


def _make_row(line: QuoteLine, charged: CostLine) -> dict[str, str | float]:
    return {
        "Line": line.label,
        "Quantity": line.quantity,
        "Fee": float(line.unit_fee),
        "Amount": float(line.amount),
        **({} if charged.amount_range is None else {"If it is a range": _say_range(charged.amount_range)}),
        "Kind": line.kind.value,
        "Provider": line.provider,
        "From": f"row {charged.row}, {charged.rule}",
    }


def _say_range(ends: tuple[Decimal, Decimal]) -> str:
    return f"{ends[0]:,} to {ends[1]:,}"


def _say_about(price: Price, made: Estimate) -> str:
    """That ranges are counted with their middle, and the ends of the total; where one amount is told, of the list."""
    ends = price.ends or made.fees.total_range
    return "" if ends is None else f", ranges counted with their middle ({_say_range(ends)})"


def _list_kinds(price: Price) -> str:
    """From the sums of the kinds to the total."""
    parts = [(kind.value, amount) for kind, amount in price.by_kind]
    parts += [("discounts", price.adjusted.total - price.adjusted.total_before), ("tax", price.tax)]
    return ", ".join(f"{name} {amount:,}" for name, amount in parts if amount)


def show_pair(statement: Statement, chosen: tuple[Chosen, ...]) -> None:
    """Both jaws, where both are treated, and why there is no tax where none is shown."""
    both = statement.find_together(chosen)
    if both is not None:
        st.header("Both jaws")
        once = show_plain(", ".join(name.label for name in both.shared))
        shared = f" {both.shared_total:,} of it stands in both totals and is charged once a case\\: {once}."
        st.markdown(f"**Together {both.total:,}**.{shared if once else ''}")
    for reason in statement.chosen.tax_reasons if statement.chosen else ():
        st.markdown(f"No tax where none is shown: {show_plain(reason)}.")
    st.markdown(":small[A total is the sum of its printed lines, before what a benefit plan pays.]")
