"""Cost by year on the Options page: all options on one axis, the finding above it, the same as a table."""

from collections.abc import Sequence
from decimal import Decimal

import pandas as pd
import streamlit as st

from estimator import files
from estimator.base.formats import name_currency
from estimator.charts.over_years import YearWords, draw_over_years, list_overlaps
from estimator.charts.shapes import Spec
from estimator.estimate.bands import CostSoFar
from estimator.estimate.clearance.verdict import Verdict
from estimator.estimate.result import CaseEstimate, JawEstimate, NotApplicable
from estimator.pictures.options.option_rows import RowWriter
from estimator.ui.options.drawn import draw_once
from estimator.ui.shell.markup import show_plain
from estimator.ui.shell.render import current_colours, show_chart, show_table


def show_years(estimate: CaseEstimate, jaw: JawEstimate, costs: tuple[CostSoFar, ...], step: Decimal) -> None:
    """The cost so far of one jaw by year with its range, as a chart and as a table, rounded to `step`."""
    locale, currency = estimate.practice.settings.locale, estimate.practice.fees.currency
    writer = RowWriter(files.load_wording(), patient=False, locale=locale, step=step)
    st.header("Cost so far, year by year")
    if not costs:
        st.markdown("No option applies in this jaw.")
        return
    finding, money = tell_overlaps(costs, estimate.years), name_currency(currency, locale)
    st.markdown(
        f"**{show_plain(finding)}** {show_plain(money)} spent so far, by years from delivery; thick line\\: about; "
        "pale\\: 8 chances in 10. Point at a year for its amounts."
    )
    spec = draw_once(
        estimate,
        ("years", jaw.jaw.arch, costs, current_colours()["paper"]),
        lambda: _draw(estimate, jaw, costs, writer),
    )
    show_chart(spec, alt=" ".join((finding, *tell_costs(jaw, costs, writer, estimate.years))))
    with st.expander("The same as a table"):
        show_table(pd.DataFrame([_make_cells(costs, year, writer) for year in range(estimate.years)]))


def _draw(estimate: CaseEstimate, jaw: JawEstimate, costs: tuple[CostSoFar, ...], writer: RowWriter) -> Spec:
    untreated = writer.wording.get("words.no_treatment.office")
    words = YearWords(
        start="delivery", end=_say_years(estimate.years), year="after {year} years", untreated=untreated,
        untreated_note=writer.say("money.none_foot"),
    )  # fmt: skip
    short = frozenset(made.key for made in jaw.estimates if made.clearance.verdict is Verdict.DOES_NOT_FIT)
    return draw_over_years(costs, current_colours(), show=writer.about, words=words, set_back=short)


def _say_years(years: int) -> str:
    return "1 year" if years == 1 else f"{years} years"


def tell_overlaps(costs: Sequence[CostSoFar], years: int) -> str:
    """The finding of the chart: which ranges meet at the end, so that nobody relies on a difference."""
    pairs, after = list_overlaps(costs), f"After {_say_years(years)}"
    if len(costs) == 1:
        return f"{after} one option has been counted."
    if not pairs:
        return f"{after} no two ranges overlap."
    if len(costs) > 2 and len(pairs) == len(costs) * (len(costs) - 1) // 2:
        return f"{after} the ranges of all options overlap."
    named = [f"of {one.name} and {other.name}" for one, other in pairs]
    return f"{after} the ranges {', and '.join(named)} overlap."


def tell_costs(jaw: JawEstimate, costs: Sequence[CostSoFar], writer: RowWriter, years: int) -> tuple[str, ...]:
    """A sentence an option in the order of the page, with those that do not apply and no treatment now."""
    found = {cost.key: cost for cost in costs}
    told = [
        f"{option.name}: {option.reason}."
        if isinstance(option, NotApplicable)
        else _tell(found[option.key], writer, years)
        for option in jaw.options
    ]
    none = writer.wording.get("words.no_treatment.office")
    return (*told, f"{none}: {writer.say('money.none')}; {writer.say('money.none_foot')}.")


def _tell(cost: CostSoFar, writer: RowWriter, years: int) -> str:
    last = cost.years[-1]
    low, expected, high = (writer.about(amount) for amount in (last.low, last.expected, last.high))
    return (
        f"{cost.name}: {writer.money(cost.first_cost)} first, about {expected} after {_say_years(years)}, "
        f"8 chances in 10 from {low} to {high}."
    )


def _make_cells(costs: tuple[CostSoFar, ...], year: int, writer: RowWriter) -> dict[str, str]:
    cells = {"After year": str(costs[0].years[year].year)}
    for cost in costs:
        band = cost.years[year]
        low, expected, high = (writer.about(amount) for amount in (band.low, band.expected, band.high))
        cells[cost.name] = f"{expected} ({low} to {high})"
    return cells
