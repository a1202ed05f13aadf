"""Options and fees become upkeep plans; the upkeep package turns those into expectation and distribution."""

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal

from estimator.base.evidence import Figure
from estimator.estimate.cost.charges import Quantities, count_event_quantities
from estimator.estimate.upkeep.distribution import Severity, severity_of
from estimator.estimate.upkeep.experience import Blend, CountedEvents, blend_rates
from estimator.estimate.upkeep.plan import Lifetime, MeanLife, Settling, UpkeepEvent, UpkeepPlan
from estimator.estimate.upkeep.rates import Rate
from estimator.inputs.case.model import Jaw
from estimator.inputs.fees.schedule import FeeSchedule
from estimator.inputs.options.model import Charge, Option, Per, Renewal, Seen, UpkeepItem


def plan_upkeep(jaw: Jaw, option: Option, fees: FeeSchedule) -> UpkeepPlan:
    """What is expected of an option in a jaw, with the practice's own fees."""
    items = [item for item in option.upkeep if item.applies_to(jaw)]
    return UpkeepPlan(
        events=tuple(_make_event(item, jaw, option, fees) for item in items),
        lifetime=_make_lifetime(option.renewal, jaw, option, fees) if option.renewal else None,
        recall_fee=_find_recall_fee(option, fees),
    )


def _find_recall_fee(option: Option, fees: FeeSchedule) -> Decimal:
    if not option.recall_fee:
        return Decimal(0)
    line = fees.get(option.recall_fee)
    return fees.tax.add_to(line.fee, line.kind)


def make_rate(figure: Figure) -> Rate:
    """A figure as a rate: low, value and high are the 10, 50 and 90 % points."""
    low, value, high = _find_points(figure)
    return Rate(low=low, value=value, high=high, figure=figure.key, name=figure.name)


def _find_points(figure: Figure) -> tuple[float, float, float]:
    return float(figure.low), float(figure.value), float(figure.high)


def show_rate(rate: float) -> Decimal:
    """A rate as a reader takes it in, with four digits [1/year]."""
    return Decimal(f"{rate:.4g}")


def find_rates(item: UpkeepItem) -> Blend:
    """The rates of an item: as published, or blended with what the practice has counted itself."""
    first_year, later = make_rate(item.first_year), make_rate(item.later)
    if item.own is None:
        return Blend(first_year=first_year, later=later, own_weight=0.0)
    blend = blend_rates(first_year, later, count_seen(item.own.first_year), count_seen(item.own.later))
    return replace(
        blend,
        first_year=replace(blend.first_year, figure=item.first_year.key, name=item.first_year.name),
        later=replace(blend.later, figure=item.later.key, name=item.later.name),
    )


def count_seen(seen: Seen) -> CountedEvents:
    """A practice's own count for the model."""
    return CountedEvents(events=seen.events, unit_years=float(seen.years_at_risk))


def _make_event(item: UpkeepItem, jaw: Jaw, option: Option, fees: FeeSchedule) -> UpkeepEvent:
    rates = find_rates(item)
    low, high = add_charges(item.charges, count_event_quantities(jaw, option, item.per), fees)
    return UpkeepEvent(
        key=item.key,
        label=item.label,
        units=jaw.implants if item.per is Per.IMPLANT else 1,
        first_year=rates.first_year,
        later=rates.later,
        severity=severity_of(low, high),
    )


def _make_lifetime(renewal: Renewal, jaw: Jaw, option: Option, fees: FeeSchedule) -> Lifetime:
    life = renewal.mean_life
    low, value, high = _find_points(life)
    return Lifetime(
        mean_years=MeanLife(low=low, value=value, high=high, figure=life.key, name=life.name),
        shape=float(renewal.shape.value),
        severity=find_renewal_severity(renewal, jaw, option, fees),
        label=renewal.label,
        settling=_find_settling(renewal, jaw, option, fees),
    )


def _find_settling(renewal: Renewal, jaw: Jaw, option: Option, fees: FeeSchedule) -> Settling | None:
    whole = count_event_quantities(jaw, option, Per.JAW)
    for item in option.upkeep:
        if item.key == renewal.settles_like:
            return Settling(
                number=find_rates(item).first_year, severity=severity_of(*add_charges(item.charges, whole, fees))
            )
    return None


def find_renewal_severity(renewal: Renewal, jaw: Jaw, option: Option, fees: FeeSchedule) -> Severity:
    """A new denture charges its lines in full, and the sore spots that any new denture brings."""
    whole = count_event_quantities(jaw, option, Per.JAW)
    low, high = add_charges(renewal.charges, whole, fees)
    for item in option.upkeep:
        if item.key == renewal.settles_like:
            from_fee, to_fee = add_charges(item.charges, whole, fees)
            count = item.first_year.value if item.own is None else show_rate(find_rates(item).first_year.value)
            low, high = low + count * from_fee, high + count * to_fee
    return severity_of(low, high)


def add_charges(charges: Iterable[Charge], quantities: Quantities, fees: FeeSchedule) -> tuple[Decimal, Decimal]:
    """Sum of charges with their tax from their lower to their upper fees; equal where no fee is a range."""
    low = high = Decimal(0)
    for charge in charges:
        line = fees.get(charge.fee)
        n = charge.count * quantities.count(line.charged_per)
        low += fees.tax.add_to(n * line.fee, line.kind)
        high += fees.tax.add_to(n * (line.fee_to or line.fee), line.kind)
    return low, high
