"""Trips and chair time that upkeep takes, beside its money: patients care about trips."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from estimator.base.evidence import Figure
from estimator.estimate.cost.charges import Quantities, count_event_quantities
from estimator.estimate.look_ahead import find_rates
from estimator.estimate.upkeep.years import RECALL_KEY, RENEWAL_KEY, ExpectedEvent
from estimator.inputs.case.model import Jaw
from estimator.inputs.fees.schedule import FeeKind, FeeLine, FeeSchedule, Unit
from estimator.inputs.options.model import Charge, Option, Per, UpkeepItem


@dataclass(frozen=True, slots=True, kw_only=True)
class EventVisits:
    """Expected trips of one kind of event within the horizon, and their chair time [minutes]."""

    key: str
    trips: float
    chair_time_min: float


@dataclass(frozen=True, slots=True, kw_only=True)
class UpkeepVisits:
    """Expected trips and chair time [minutes] within the horizon, after the visits of the treatment itself.

    Each event is a trip of its own, though some will be dealt with at a recall: so this is the most, not the least.
    """

    trips: float
    chair_time_min: float
    events: tuple[EventVisits, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Burden:
    """What one event takes."""

    trips: float
    minutes: float

    def add(self, other: "_Burden", times: float) -> "_Burden":
        return _Burden(trips=self.trips + times * other.trips, minutes=self.minutes + times * other.minutes)


def expect_visits(jaw: Jaw, option: Option, fees: FeeSchedule, events: Iterable[ExpectedEvent]) -> UpkeepVisits:
    """Trips and chair time of the expected events of an option in a jaw, from the fee lines that each charges."""
    burdens = _list_burdens(jaw, option, fees)
    found = tuple(
        EventVisits(key=e.key, trips=e.count * burdens[e.key].trips, chair_time_min=e.count * burdens[e.key].minutes)
        for e in events
    )
    return UpkeepVisits(
        trips=math.fsum(e.trips for e in found), chair_time_min=math.fsum(e.chair_time_min for e in found), events=found
    )


def _list_burdens(jaw: Jaw, option: Option, fees: FeeSchedule) -> dict[str, _Burden]:
    items = {item.key: item for item in option.upkeep if item.applies_to(jaw)}
    burdens = {key: _measure_item(item, jaw, option, fees) for key, item in items.items()}
    burdens[RECALL_KEY] = _Burden(trips=0, minutes=0)
    if option.recall_fee:
        burdens[RECALL_KEY] = _measure((Charge(fee=option.recall_fee),), None, _count_whole(jaw, option), fees)
    if option.renewal:
        renewal = option.renewal
        whole = _measure(renewal.charges, renewal.trips, _count_whole(jaw, option), fees)
        settling = next((item for item in option.upkeep if item.key == renewal.settles_like), None)
        if settling is not None:
            whole = whole.add(_measure_item(settling, jaw, option, fees), find_rates(settling).first_year.value)
        burdens[RENEWAL_KEY] = whole
    return burdens


def _count_whole(jaw: Jaw, option: Option) -> Quantities:
    return count_event_quantities(jaw, option, Per.JAW)


def _measure_item(item: UpkeepItem, jaw: Jaw, option: Option, fees: FeeSchedule) -> _Burden:
    return _measure(item.charges, item.trips, count_event_quantities(jaw, option, item.per), fees)


def _measure(charges: tuple[Charge, ...], trips: Figure | None, quantities: Quantities, fees: FeeSchedule) -> _Burden:
    """One trip for each charge that is work at the chair, at least one, unless the option says how many."""
    lines = [(fees.get(charge.fee), charge.count) for charge in charges]
    minutes = sum(line.minutes * count * quantities.count(line.charged_per) for line, count in lines)
    counted = max(1, sum(count for line, count in lines if _is_trip(line)))
    return _Burden(trips=counted if trips is None else float(trips.value), minutes=minutes)


def _is_trip(line: FeeLine) -> bool:
    """Whether a line stands for a visit; parts, laboratory work and what is charged beside a visit do not."""
    return line.kind in (FeeKind.VISIT, FeeKind.SURGERY) or (
        line.kind is FeeKind.AFTERCARE and line.charged_per is Unit.EVENT
    )
