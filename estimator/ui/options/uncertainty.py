"""How sure the upkeep is, for the clinician on the Options page: the spread of each total, and what matters most."""

from collections.abc import Mapping
from decimal import Decimal

import streamlit as st

from estimator.base.formats import format_amount, name_currency
from estimator.charts.frame import ShowMoney
from estimator.charts.shapes import Spec
from estimator.charts.spread import ChanceWords, TotalChances, draw_spread, find_total_chances
from estimator.charts.swings import SwingWords, draw_swings
from estimator.estimate.on_demand import list_swings
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate
from estimator.estimate.upkeep.sensitivity import Swing, Worth
from estimator.proposal.statement import JawStatement
from estimator.ui.options.drawn import draw_once
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.render import current_colours, show_chart

_MOST_SWINGS = 10
_WORTH = {"in today's money": Worth.TODAYS_MONEY, "as worth at delivery": Worth.AT_DELIVERY}


def show_spread(estimate: CaseEstimate, jaw: JawEstimate, stated: JawStatement) -> None:
    """A row an option of one jaw: how likely each total is."""
    if not jaw.estimates:
        return
    st.subheader("How likely each total is", anchor=False)
    charged, show = stated.list_first_costs(), _choose_format(estimate)
    rows = [find_total_chances(made, charged[made.key]) for made in jaw.estimates]
    finding = tell_widest(rows, show)
    st.markdown(
        f"**{show_plain(finding)}** First cost and upkeep of {_say_years(estimate.years)}, "
        f"{show_plain(_name_currency(estimate))}; line with ends\\: 8 chances in 10; thick tick\\: half of the chances "
        "lie under it. Point at a column for its chance."
    )
    words = ChanceWords(option="Option", total="In all", chance="Chance", more="Chance of more")
    key = ("spread", jaw.jaw.arch, tuple(charged.items()), current_colours()["paper"])
    spec = draw_once(estimate, key, lambda: draw_spread(rows, current_colours(), show=show, words=words))
    show_chart(spec, alt=" ".join((finding, *(_tell_chances(row, show) for row in rows))))


def _choose_format(estimate: CaseEstimate) -> ShowMoney:
    return lambda amount: format_amount(amount, estimate.practice.settings.locale)


def _name_currency(estimate: CaseEstimate) -> str:
    return name_currency(estimate.practice.fees.currency, estimate.practice.settings.locale)


def _say_years(years: int) -> str:
    return "1 year" if years == 1 else f"{years} years"


def tell_widest(rows: list[TotalChances], show: ShowMoney) -> str:
    """The finding of the spread: whose total is least sure, and by how much."""
    widest = max(rows, key=lambda row: row.high - row.low)
    return f"{widest.name} is the least sure: 8 chances in 10 span {show(widest.high - widest.low)}."


def _tell_chances(row: TotalChances, show: ShowMoney) -> str:
    return f"{row.name}: half under {show(row.middle)}, 8 chances in 10 from {show(row.low)} to {show(row.high)}."


def show_swings(estimate: CaseEstimate, jaw: JawEstimate, stated: JawStatement, key: str) -> None:
    """Which assumptions move the difference of two options of one jaw the most."""
    if not jaw.pairs:
        return
    st.subheader("What matters most to the difference of two options", anchor=False)
    made = {option.key: option for option in jaw.estimates}
    pairs = {f"{made[p.second].name} less {made[p.first].name}": p for p in jaw.pairs}
    which, how = st.columns(2, gap="large")
    name = which.selectbox("Difference", list(pairs), len(pairs) - 1, key=f"{key}_pair")
    worth = _WORTH[how.selectbox("Counted", list(_WORTH), key=f"{key}_worth")]
    a, b = made[pairs[name].second], made[pairs[name].first]
    charged = stated.list_first_costs()
    found = list_swings(estimate, jaw, a.key, b.key, first_costs=charged, worth=worth)
    swings = [swing for swing in found if swing.size > 0][:_MOST_SWINGS]
    if not swings:
        st.markdown("No assumption moves this difference.")
        return
    central, show = _find_total(a, charged, worth) - _find_total(b, charged, worth), _choose_format(estimate)
    finding = f"{swings[0].name} matters most: from {show(swings[0].at_low)} to {show(swings[0].at_high)}."
    st.markdown(
        f"**{show_plain(finding)}** {show_plain(_name_currency(estimate))}; dark\\: towards its low; pale\\: towards "
        "its high. One assumption at a time, all others as they stand; studies disagree."
    )
    drawn = draw_once(
        estimate,
        ("swings", jaw.jaw.arch, name, worth, tuple(charged.items()), current_colours()["paper"]),
        lambda: _draw(swings, central, show),
    )
    told = (f"{s.name} ({s.low:.4g} to {s.high:.4g}): {show(s.at_low)} to {show(s.at_high)}." for s in swings)
    show_chart(drawn, alt=" ".join((finding, f"{name}: now {show(central)}.", *told)))


def _find_total(made: Estimate, charged: Mapping[str, Decimal], worth: Worth) -> Decimal:
    ahead = made.upkeep.discounted if worth is Worth.AT_DELIVERY else made.upkeep.expected
    return charged[made.key] + ahead


def _draw(swings: list[Swing], central: Decimal, show: ShowMoney) -> Spec:
    words = SwingWords(
        now=f"now {show(central)}", assumption="Assumption", range="Range", low="At its low", high="At its high"
    )
    return draw_swings(swings, central, current_colours(), show=show, words=words)
