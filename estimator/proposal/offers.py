"""One option in one jaw as it is told: its room, its visits, what it is expected to cost over the years."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal

from estimator.base.told import Name
from estimator.estimate.clearance.cautions import sort_by_gravity
from estimator.estimate.clearance.layers import say_finding
from estimator.estimate.clearance.verdict import Verdict
from estimator.estimate.compare import ComparisonRow
from estimator.estimate.result import Estimate, JawEstimate, NotApplicable, find_annual_cost
from estimator.estimate.visits.calendar import date_visits
from estimator.inputs.practice.working_days import ClosedDays
from estimator.inputs.practice_bundle import Practice
from estimator.inputs.reference.layers import LayerKey
from estimator.proposal.statement import DatedTrip, JawStatement, Later, Offer, OfferRoom, OfferTime, Outlook, Price


def name_option(made: Estimate | NotApplicable) -> Name:
    """An option in the patient's words."""
    return Name(key=f"option.{made.key}.patient_name", label=made.patient_name)


def state_offer(
    made: Estimate, practice: Practice, price: Price, step: Decimal, *, start_on: date | None, closed: ClosedDays
) -> Offer:
    """All that is told of an option in a jaw, at its price there; `step` is what estimates are rounded to."""
    option = next(option for option in practice.options if option.key == made.key)
    return Offer(
        option=name_option(made),
        key=made.key,
        kind=option.attachments,
        set_back=made.clearance.verdict is Verdict.DOES_NOT_FIT,
        room=_state_room(made),
        time=_state_time(made, start_on, closed),
        price=price,
        later=_state_later(made, practice, price, step),
    )


def find_dearest(jaw: JawEstimate, prices: dict[str, Price]) -> Decimal:
    """The most that is expected in a jaw: what the step of its estimates follows from."""
    return max((prices[made.key].total + made.upkeep.p90 for made in jaw.estimates), default=Decimal(0))


def _state_room(made: Estimate) -> OfferRoom:
    clearance = made.clearance
    return OfferRoom(
        verdict=clearance.verdict,
        finding=say_finding(clearance.layers, patient=True),
        office=say_finding(clearance.layers, patient=False),
        layers=clearance.layers,
        short_mm=clearance.short_mm,
        along=clearance.headline.key is LayerKey.ALONG and bool(clearance.short_mm),
        least_mm=clearance.least_mm,
        usual_mm=clearance.required_mm,
        margin_mm=clearance.margin_mm,
        provisional=clearance.provisional,
        cautions=sort_by_gravity(clearance.cautions),
    )


def _state_time(made: Estimate, start_on: date | None, closed: ClosedDays) -> OfferTime:
    plan = made.visits
    dated = date_visits(plan, start_on, closed) if start_on and plan.visits else None
    days = [(one.day, one.put_off_by) for one in dated.visits] if dated else [(None, ())] * len(plan.visits)
    return OfferTime(
        trips=plan.count,
        weeks_to_teeth=plan.weeks_to_teeth,
        weeks_without_teeth=plan.weeks_without_teeth,
        visits=tuple(
            DatedTrip(
                what=Name(key=f"option.{made.key}.visits.{visit.key}.patient_what", label=visit.patient_what),
                week=visit.week,
                minutes=visit.minutes,
                day=day,
                put_off_by=put_off_by,
            )
            for visit, (day, put_off_by) in zip(plan.visits, days, strict=True)
        ),
        teeth_on=dated.teeth_on if dated else None,
        days_without_teeth=dated.days_without_teeth if dated else None,
    )


def _state_later(made: Estimate, practice: Practice, price: Price, step: Decimal) -> Later:
    """From what is charged first on, before a plan's help."""
    ahead = made.upkeep
    upkeep = Outlook(low=ahead.p10, expected=ahead.expected, high=ahead.p90)
    total = upkeep.shift(price.total)
    return Later(
        years=ahead.years,
        trips=round(made.upkeep_visits.trips),
        upkeep=upkeep,
        total=total,
        upkeep_shown=upkeep.round_to(step),
        total_shown=total.round_to(step),
        a_year=find_annual_cost(price.total, ahead, practice),
    )


def state_rows(rows: Iterable[ComparisonRow], jaw: JawStatement) -> tuple[ComparisonRow, ...]:
    """Rows of a comparison with the prices that are told; those of no offer stay as they are."""
    offers = {offer.key: offer for offer in jaw.offers}
    return tuple(_state_row(row, offers[row.key]) if row.key in offers else row for row in rows)


def _state_row(row: ComparisonRow, offer: Offer) -> ComparisonRow:
    total = offer.later.total
    return replace(row, first_cost=offer.price.total, total=(total.low, total.expected, total.high))
