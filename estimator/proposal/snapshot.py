"""A statement as plain JSON values: what every paper tells, so that any of them can be held against it."""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Any

from estimator.base.problems import Problem
from estimator.base.told import Name
from estimator.estimate.clearance.layers import find_headline
from estimator.inputs.payment.model import WAY_KINDS
from estimator.proposal.statement import Chosen, JawStatement, Offer, OfferRoom, Price, Statement
from estimator.quote.payment.plans import PlannedWay, list_series

Json = dict[str, Any]
_HEADING = (
    "reference", "made_on", "valid_until", "price_date", "currency", "invented", "years", "start_on", "profile", "step",
)  # fmt: skip
_WAY_SUMS = (
    "price", "discount", "deposit", "set_up_fee", "interest", "charge", "at_signing", "total", "apr",
)  # fmt: skip


def statement_to_dict(statement: Statement) -> Json:
    """A statement: money, lengths and weeks as text, days as ISO dates; keys may be added later, never renamed."""
    return {
        **{name: _show(getattr(statement, name)) for name in _HEADING},
        "jaws": [_show_jaw(jaw) for jaw in statement.jaws],
        "together": [
            _show(one) | {"options": [_show_chosen(place) for place in one.options]} for one in statement.together
        ],
        "decided": [_show_chosen(place) for place in statement.decided],
        "chosen": None if statement.chosen is None else _show_price(statement.chosen),
        "exclusions": [
            _show(one) | {"charged_in": [_show_chosen(place) for place in one.charged_in]}
            for one in statement.exclusions
        ],
        "limits": _show(statement.limits),
        "problems": [_show_problem(one) for one in statement.problems],
    }


def _show_jaw(jaw: JawStatement) -> Json:
    return {
        "arch": jaw.arch.value,
        "chosen": jaw.chosen or None,
        "offers": [_show_offer(offer) for offer in jaw.offers],
        "not_offered": _show(jaw.not_offered),
        "pairs": [
            {
                "first": pair.first,
                "second": pair.second,
                "chance_first_costs_more": round(pair.chance, 4),
                "crossing_year": pair.crossing_year,
            }
            for pair in jaw.pairs
        ],
    }


def _show_offer(offer: Offer) -> Json:
    return _show_fields(offer, but=("price", "room")) | {
        "room": _show_room(offer.room),
        "price": _show_price(offer.price),
    }


def _show_room(room: OfferRoom) -> Json:
    """The finding with each layer's state and chances; what else there is of layers stands in the estimate."""
    told = ("key", "state", "may_rule_out", "chance_usual", "chance_least", "short_mm", "site", "text", "patient_text")
    return _show_fields(room, but=("layers", "cautions")) | {
        "headline": find_headline(room.layers)[0].key.value,
        "layers": [{name: _show(getattr(layer, name)) for name in told} for layer in room.layers],
        "cautions": [caution.key for caution in room.cautions],
    }


def _show_price(price: Price) -> Json:
    """Each line flat with all its amounts; `discounts` are the adjustments in their order."""
    adjusted = price.adjusted
    return _show_fields(price, but=("adjusted",)) | {
        "lines": [_show(one.line) | _show_fields(one, but=("line",)) for one in price.lines],
        "by_kind": [{"kind": kind.value, "amount": _show(amount)} for kind, amount in price.by_kind],
        "before_discounts": _show(adjusted.total_before),
        "after_discounts": _show(adjusted.total),
        "discounts": [
            {"reason": one.adjustment.reason, "percent": _show(one.adjustment.portion.percent),
             "worked_out_on": _show(one.worked_out_on), "change": _show(one.change)}
            for one in adjusted.applied
        ],
        "ways": [_show_way(one) for one in price.ways],
    }  # fmt: skip


def _show_way(planned: PlannedWay) -> Json:
    return {
        "key": planned.way.key,
        "label": planned.way.label,
        "kind": next(name for name, made in WAY_KINDS.items() if isinstance(planned.way, made)),
        **{name: _show(getattr(planned, name)) for name in _WAY_SUMS},
        "payments": _show(planned.payments),
        "series": _show(list_series(planned.payments)),
        "disclosure": None if planned.box is None else _show(planned.box),
    }


def _show_chosen(place: Chosen) -> Json:
    arch, key = place
    return {"arch": arch.value, "option": key}


def _show_problem(problem: Problem) -> Json:
    shown = _show_fields(problem)
    return {name: value for name, value in shown.items() if value not in (None, "", [], {})}


def _show_fields(made: Any, *, but: tuple[str, ...] = ()) -> Json:
    """The fields of a dataclass by name; values that fill a text become a table."""
    shown = {field.name: _show(getattr(made, field.name)) for field in fields(made) if field.name not in but}
    if "values" in shown:
        shown["values"] = {name: _show(value) for name, value in made.values}
        if isinstance(made, Name) and not made.values:
            del shown["values"]
    return shown


def _show(value: Any) -> Any:
    if is_dataclass(value):
        return _show_fields(value)
    if isinstance(value, Mapping):
        return {str(name): _show(one) for name, one in value.items()}
    if isinstance(value, tuple | list | set | frozenset):
        return [_show(one) for one in value]
    if isinstance(value, Decimal):
        return f"{value:f}"
    return value.isoformat() if isinstance(value, date) else value.value if isinstance(value, StrEnum) else value
