"""Discounts and ways to pay become the document they could have been read from."""

from typing import Any

from estimator.inputs.payment.model import (
    Adjustment,
    Direction,
    Instalments,
    Interval,
    Lender,
    Milestone,
    Milestones,
    PayInFull,
    Portion,
    Spread,
    Way,
)

Document = dict[str, Any]


def make_terms_document(adjustments: tuple[Adjustment, ...], ways: tuple[Way, ...] | None) -> Document:
    """The two lists of `read_payment_terms` as plain TOML values; neither stands there where nothing was said of it."""
    document: Document = {"adjustments": [_show_adjustment(one) for one in adjustments]} if adjustments else {}
    return document if ways is None else document | {"ways": [_show_way(way) for way in ways]}


def _show_adjustment(one: Adjustment) -> Document:
    shown: Document = {"reason": one.reason, **_show_portion(one.portion, "")}
    shown |= {} if one.direction is Direction.DISCOUNT else {"direction": one.direction.value}
    shown |= {} if one.spread is Spread.TOTAL else {"spread": one.spread.value}
    return shown | ({"lines": list(one.lines)} if one.lines else {})


def _show_portion(portion: Portion | None, stem: str) -> Document:
    if portion is None:
        return {}
    if portion.percent is not None:
        return {f"{stem}percent": portion.percent}
    return {f"{stem}amount": portion.amount}


def _show_way(way: Way) -> Document:
    named: Document = {"key": way.key, "label": way.label}
    match way:
        case PayInFull():
            shown: Document = {"when": way.when} if way.when else {}
            shown |= {} if way.in_advance else {"in_advance": False}
            return {"kind": "in_full", **named, **shown, **_show_portion(way.discount, "discount_")}
        case Milestones():
            stages = [_show_stage(stage) for stage in way.stages]
            return {"kind": "milestones", **named, "stages": stages, **_show_portion(way.deposit, "deposit_")}
        case Instalments():
            return {"kind": "instalments", **named, **_show_instalments(way)}
        case Lender():
            return {"kind": "lender", **named, **({"text": way.text} if way.text else {})}


def _show_stage(stage: Milestone) -> Document:
    shown: Document = {"what": stage.what} | ({} if stage.percent is None else {"percent": stage.percent})
    return shown | ({} if stage.due is None else {"due": stage.due})


def _show_instalments(way: Instalments) -> Document:
    shown: Document = {"number": way.number, "first": way.first}
    shown |= {} if way.interval is Interval.MONTH else {"interval": way.interval.value}
    shown |= {} if way.anchor_day in (None, way.first.day) else {"anchor_day": way.anchor_day}
    charges = {"rate_percent": way.rate_percent, "set_up_fee": way.set_up_fee}
    return shown | {name: value for name, value in charges.items() if value} | _show_portion(way.deposit, "deposit_")
