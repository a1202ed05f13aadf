"""Published, own and blended rates side by side, and the blended ones as figures of the basis."""

from collections.abc import Iterable
from dataclasses import dataclass

from estimator.base.evidence import Figure, HowSure
from estimator.estimate.look_ahead import count_seen, find_rates, make_rate, show_rate
from estimator.estimate.upkeep.rates import Rate
from estimator.inputs.case.model import Jaw
from estimator.inputs.options.model import Option, Seen, UpkeepItem
from estimator.inputs.practice.experience import Period

OWN_SOURCE = "This practice's own count"


@dataclass(frozen=True, slots=True, kw_only=True)
class RateRow:
    """One rate of an option in one period: published, own (None where nothing was at risk) and blended [1/year].

    Both periods of an item share one weight of the own data, from 0 to 1.
    """

    option: Option
    item: UpkeepItem
    period: Period
    figure: Figure
    seen: Seen
    published: Rate
    own: float | None
    blended: Rate
    own_weight: float


def list_own_rates(options: Iterable[Option]) -> tuple[RateRow, ...]:
    """A row for each rate of each item that the practice has counted; both periods, for both move."""
    return tuple(row for option in options for item in option.upkeep for row in _list_periods(option, item))


def _list_periods(option: Option, item: UpkeepItem) -> tuple[RateRow, ...]:
    if item.own is None:
        return ()
    blend = find_rates(item)
    periods = (
        (Period.FIRST_YEAR, item.first_year, item.own.first_year, blend.first_year),
        (Period.LATER, item.later, item.own.later, blend.later),
    )
    return tuple(
        RateRow(
            option=option, item=item, period=period, figure=figure, seen=seen, published=make_rate(figure),
            own=count_seen(seen).rate, blended=blended, own_weight=blend.own_weight,
        )
        for period, figure, seen, blended in periods
    )  # fmt: skip


def list_blended_figures(jaw: Jaw, option: Option) -> tuple[Figure, ...]:
    """What the estimate of an option really uses where the practice has counted itself, marked as its own."""
    return tuple(_make_figure(row) for row in list_own_rates((option,)) if row.item.applies_to(jaw))


def _make_figure(row: RateRow) -> Figure:
    years = f"{row.seen.years_at_risk.normalize():f}"
    return Figure(
        key=f"own_{row.option.key}_{row.item.key}_{row.period}",
        name=f"{row.item.label}, {row.period.replace('_', ' ')}, with our own count",
        low=show_rate(row.blended.low),
        value=show_rate(row.blended.value),
        high=show_rate(row.blended.high),
        unit=row.figure.unit,
        source=OWN_SOURCE,
        place=f"{row.seen.events} in {years} years at risk, weight of the own count {100 * row.own_weight:.0f} %",
        how_sure=HowSure.OWN,
        own=True,
    )
