"""A case estimate as plain JSON values: money and lengths are text, chances are numbers."""

from decimal import Decimal
from typing import Any

from estimator.base.evidence import Figure
from estimator.estimate.clearance.verdict import Clearance
from estimator.estimate.cost import Fees
from estimator.estimate.look_ahead import make_rate
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate, NotApplicable
from estimator.estimate.upkeep.rates import gamma_shape, implied_range
from estimator.estimate.upkeep.years import Upkeep
from estimator.estimate.visits import VisitPlan
from estimator.inputs.fees import FeeKind

Json = dict[str, Any]


def show_mm(length: Decimal | None) -> str | None:
    """A length with two decimals."""
    return None if length is None else f"{length:.2f}"


def show_money(amount: Decimal | None) -> str | None:
    """An amount in full."""
    return None if amount is None else f"{amount:f}"


def take_snapshot(estimate: CaseEstimate) -> Json:
    """The whole estimate; keys may be added later, never renamed."""
    fees = estimate.practice.fees
    return {
        "reference": estimate.case.reference,
        "currency": fees.currency,
        "price_date": fees.price_date.isoformat(),
        "invented_prices": fees.invented,
        "jaws": [_show_jaw(jaw) for jaw in estimate.jaws],
        "basis": [_show_figure(figure, estimate) for figure in estimate.basis],
    }


def _show_jaw(jaw: JawEstimate) -> Json:
    return {"arch": jaw.jaw.arch.value, "implants": jaw.jaw.implants, "options": [_show_option(o) for o in jaw.options]}


def _show_option(option: Estimate | NotApplicable) -> Json:
    if isinstance(option, NotApplicable):
        return {"key": option.key, "not_applicable": option.reason}
    return {
        "key": option.key,
        "clearance": _show_clearance(option.clearance),
        "fees": _show_fees(option.fees),
        "practice": {
            "cost_total": show_money(option.practice_cost.cost_total),
            "margin": show_money(option.practice_cost.margin),
        },
        "visits": _show_visits(option.visits),
        "upkeep": _show_upkeep(option.upkeep),
        "total_over_years": show_money(option.total_over_years),
        "equivalent_annual_cost": show_money(option.equivalent_annual_cost),
    }


def _show_clearance(clearance: Clearance) -> Json:
    chance = clearance.chance_of_fit
    return {
        "verdict": clearance.verdict.value,
        "least_mm": show_mm(clearance.least_mm),
        "required_mm": show_mm(clearance.required_mm),
        "most_mm": show_mm(clearance.most_mm),
        "space_mm": show_mm(clearance.space_mm),
        "margin_mm": show_mm(clearance.margin_mm),
        "shortage_mm": show_mm(clearance.shortage_mm),
        "limiting_site": clearance.limiting_site,
        "chance_of_fit": None if chance is None else round(chance, 4),
        "chance_of_fit_range": [round(c, 4) for c in clearance.chance_range or ()] or None,
        "within_error": clearance.within_error,
        "provisional": clearance.provisional,
        "sites": [{"tooth": room.tooth, "space_mm": show_mm(room.room_mm)} for room in clearance.rooms],
        "cautions": [
            {"key": c.key, "text": c.text, "source": c.source, "how_sure": c.how_sure.value} for c in clearance.cautions
        ],
    }


def _show_fees(fees: Fees) -> Json:
    kinds = {f"{kind}_total": show_money(total) for kind, total in fees.by_kind if kind is not FeeKind.AFTERCARE}
    lines = [
        {
            "key": line.key, "label": line.label, "kind": line.kind.value, "provider": line.provider,
            "charged_per": line.charged_per.value, "quantity": line.quantity, "unit_fee": show_money(line.unit_fee),
            "amount": show_money(line.amount), "row": line.row,
        }
        for line in fees.lines
    ]  # fmt: skip
    providers = {provider: show_money(total) for provider, total in fees.by_provider}
    return {"lines": lines, **kinds, "by_provider": providers, "total": show_money(fees.total)}


def _show_visits(visits: VisitPlan) -> Json:
    return {
        "count": visits.count,
        "chair_time_min": visits.chair_time_min,
        "weeks": float(visits.weeks_to_teeth),
        "weeks_to_last_visit": float(visits.weeks_to_last),
        "weeks_without_teeth": float(visits.weeks_without_teeth),
        "appointments": [{"what": v.what, "week": float(v.week), "minutes": v.minutes} for v in visits.visits],
    }


def _show_upkeep(upkeep: Upkeep) -> Json:
    return {
        "years": upkeep.years,
        "expected": show_money(upkeep.expected),
        "p10": show_money(upkeep.p10),
        "p50": show_money(upkeep.p50),
        "p90": show_money(upkeep.p90),
        "first_year_expected": show_money(upkeep.first_year_expected),
        "discounted": show_money(upkeep.discounted),
        "by_year": [show_money(amount) for amount in upkeep.by_year],
        "events": [
            {"key": e.key, "label": e.label, "count": round(e.count, 4), "cost": show_money(e.cost)}
            for e in upkeep.events
        ],
    }


def _show_figure(figure: Figure, estimate: CaseEstimate) -> Json:
    return {
        **_show_implied_range(figure),
        "figure": figure.key,
        "name": figure.name,
        "value": f"{figure.value:f}",
        "low": f"{figure.low:f}",
        "high": f"{figure.high:f}",
        "unit": figure.unit,
        "source": estimate.practice.evidence.cite(figure),
        "how_sure": figure.how_sure.value,
        "assumption": figure.assumption,
        "confirmed_by": figure.confirmed_by,
        "confirmed_on": figure.confirmed_on.isoformat() if figure.confirmed_on else None,
        "lapsed": figure.lapsed,
        "own": figure.own,
    }


def _show_implied_range(figure: Figure) -> Json:
    """For a rate, the 10 and 90 % points that the model really has, which differ a little from low and high."""
    if not figure.unit.startswith("per ") or figure.unit == "per year" or figure.low == figure.high:
        return {}
    low, high = implied_range(float(figure.value), gamma_shape(make_rate(figure)))
    return {"implied_low": round(low, 4), "implied_high": round(high, 4)}
