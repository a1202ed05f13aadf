"""A case estimate as plain JSON values: money and lengths are text, chances are numbers."""

from decimal import Decimal
from typing import Any

from estimator.base.evidence import Figure
from estimator.base.money import round_money
from estimator.estimate.both_jaws import BothJaws, list_together
from estimator.estimate.clearance.further.next_measurement import find_next_measurement
from estimator.estimate.clearance.further.reserve_check import Reserve, check_reserve
from estimator.estimate.clearance.snapshot import clearance_to_dict
from estimator.estimate.clearance.verdict import Clearance
from estimator.estimate.cost.charges import Fees, trace_line
from estimator.estimate.cost.practice_cost import PracticeCost
from estimator.estimate.look_ahead import make_rate
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate, NotApplicable, Pair
from estimator.estimate.sanity import SanityCheck, check_sanity
from estimator.estimate.upkeep.rates import gamma_shape, implied_range
from estimator.estimate.upkeep.years import Upkeep
from estimator.estimate.visits.snapshot import Dates, visits_to_dict
from estimator.estimate.visits.upkeep_trips import UpkeepVisits
from estimator.inputs.fees.schedule import FeeKind, FeeSchedule
from estimator.inputs.practice_bundle import Practice

Json = dict[str, Any]


def show_money(amount: Decimal | None) -> str | None:
    """An amount in full."""
    return None if amount is None else f"{amount:f}"


def take_snapshot(estimate: CaseEstimate, *, dates: Dates | None = None) -> Json:
    """The whole estimate, its visits with days where `dates` are given; keys may be added later, never renamed."""
    fees = estimate.practice.fees
    return {
        "reference": estimate.case.reference,
        "currency": fees.currency,
        "price_date": fees.price_date.isoformat(),
        "effective_from": fees.effective_from.isoformat() if fees.effective_from else None,
        "fee_schedule": fees.file,
        "invented_prices": fees.invented,
        "jaws": [_show_jaw(jaw, estimate, dates) for jaw in estimate.jaws],
        "together": [_show_together(two) for two in list_together(estimate)],
        "basis": [_show_figure(figure, estimate) for figure in estimate.basis],
    }


def _show_jaw(jaw: JawEstimate, estimate: CaseEstimate, dates: Dates | None) -> Json:
    return {
        "arch": jaw.jaw.arch.value,
        "implants": jaw.jaw.implants,
        "options": [_show_option(option, jaw, estimate.practice, dates) for option in jaw.options],
        "pairs": [_show_pair(pair) for pair in jaw.pairs],
        "reserve": _show_reserve(check_reserve(estimate.case, jaw.jaw, estimate.practice, years=estimate.years)),
        "no_treatment": {
            "key": jaw.no_treatment.key,
            "upkeep": None,
            "not_estimated": jaw.no_treatment.reason,
            "needed": list(jaw.no_treatment.needed),
        },
    }


def _show_reserve(reserve: Reserve | None) -> Json | None:
    """Each implant lost in turn; null where not every implant has a site."""
    if reserve is None:
        return None
    return {
        "holds": reserve.holds,
        "chance_needed": None if reserve.chance_needed is None else round(reserve.chance_needed, 4),
        "losses": [
            {
                "lost": loss.lost.tooth,
                "bar": loss.lost.bar.value,
                "options": [
                    {"key": left.key, "state": left.state.value, "headline": left.headline.value, "text": left.text}
                    for left in loss.options
                ],
            }
            for loss in reserve.losses
        ],
    }


def _show_pair(pair: Pair) -> Json:
    return {
        "first": pair.first,
        "second": pair.second,
        "chance_first_costs_more": round(pair.chance, 4),
        "crossing_year": pair.crossing_year,
    }


def _show_together(two: BothJaws) -> Json:
    first, second = two.options
    return {
        "first": first.key,
        "second": second.key,
        "apart": [show_money(first.fees.total), show_money(second.fees.total)],
        "shared_lines": [line.key for line in two.shared],
        "shared": show_money(two.shared_total),
        "total": show_money(two.total),
        "total_over_years": show_money(two.expected),
    }


def _show_option(option: Estimate | NotApplicable, jaw: JawEstimate, practice: Practice, dates: Dates | None) -> Json:
    if isinstance(option, NotApplicable):
        return {"key": option.key, "not_applicable": option.reason}
    source = next(o for o in practice.options if o.key == option.key)
    return {
        "key": option.key,
        "variants": [variant.key for variant in option.variants],
        "clearance": _show_clearance(option.clearance, jaw, practice),
        "fees": _show_fees(option.fees, practice.fees),
        "practice": _show_practice_cost(option.practice_cost),
        "visits": visits_to_dict(jaw.jaw, source, option.visits, practice, dates),
        "upkeep": {
            **_show_upkeep(option.upkeep, practice.fees.quantum),
            **_show_upkeep_visits(option.upkeep_visits),
            "note": option.upkeep_note or None,
        },
        "sanity": [_show_sanity(check, practice) for check in check_sanity(jaw.jaw, source, practice)],
        "total_over_years": show_money(option.total_over_years),
        "equivalent_annual_cost": show_money(option.equivalent_annual_cost),
    }


def _show_clearance(clearance: Clearance, jaw: JawEstimate, practice: Practice) -> Json:
    """The check, and what to measure next where that may change its verdict."""
    offer = find_next_measurement(clearance, jaw.jaw, practice.evidence)
    shown = None
    if offer is not None:
        shown = {
            "quantity": offer.quantity, "site": offer.site, "chance_to_settle": round(offer.chance, 3),
            "minutes": offer.minutes,
        }  # fmt: skip
    return {**clearance_to_dict(clearance), "next_measurement": shown}


def _show_practice_cost(cost: PracticeCost) -> Json:
    """For the office; nothing of it goes into what a patient is given."""
    return {
        "cost_total": show_money(cost.cost_total),
        "margin": show_money(cost.margin),
        "chair_time_min": cost.chair_time_min,
        "margin_per_chair_hour": show_money(cost.margin_per_chair_hour),
        "under_cost": [
            {"key": line.key, "amount": show_money(line.amount), "cost": show_money(line.cost)}
            for line in cost.under_cost
        ],
    }


def _show_fees(fees: Fees, schedule: FeeSchedule) -> Json:
    kinds = {f"{kind}_total": show_money(total) for kind, total in fees.by_kind if kind is not FeeKind.AFTERCARE}
    lines = [
        {
            "key": line.key, "label": line.label, "kind": line.kind.value, "provider": line.provider,
            "charged_per": line.charged_per.value, "quantity": line.quantity, "unit_fee": show_money(line.unit_fee),
            "amount": show_money(line.amount), "row": line.row, "quantity_rule": line.rule,
            "trace": trace_line(line, schedule), "amount_range": _show_range(line.amount_range),
        }
        for line in fees.lines
    ]  # fmt: skip
    providers = {provider: show_money(total) for provider, total in fees.by_provider}
    return {
        "lines": lines, **kinds, "by_provider": providers, "tax_total": show_money(fees.tax_total),
        "tax_exemption": schedule.tax.reason or None, "total": show_money(fees.total),
        "total_range": _show_range(fees.total_range),
    }  # fmt: skip


def _show_range(ends: tuple[Decimal, Decimal] | None) -> list[str | None] | None:
    return None if ends is None else [show_money(end) for end in ends]


def _show_upkeep(upkeep: Upkeep, quantum: Decimal) -> Json:
    """Every amount with the decimals of its currency, the mean cost of one event too."""
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
            {
                "key": e.key,
                "label": e.label,
                "count": round(e.count, 4),
                "cost": show_money(round_money(e.cost, quantum)),
            }
            for e in upkeep.events
        ],
    }


def _show_upkeep_visits(visits: UpkeepVisits) -> Json:
    return {"trips": round(visits.trips, 2), "chair_time_min": round(visits.chair_time_min, 1)}


def _show_sanity(check: SanityCheck, practice: Practice) -> Json:
    return {
        "figure": check.figure.key,
        "years": check.years,
        "share": round(check.share, 4),
        "published": float(check.figure.value),
        "low": round(check.low, 4),
        "high": round(check.high, 4),
        "finding": check.finding.value,
        "source": practice.evidence.cite(check.figure),
        "how_sure": check.figure.how_sure.value,
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
