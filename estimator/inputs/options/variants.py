"""Variants of a case: what it may ask for beside an option, as data; each changes visits, waits and charges."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from estimator.base.fields import Fields
from estimator.base.problems import InputError, Problem
from estimator.inputs.case.model import GRAFT, Jaw, Route
from estimator.inputs.options.model import Attachments, Charge, Option, PlacedVisit
from estimator.inputs.options.steps import ROUTES, read_step


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedCharge:
    """A charge at the first of these visits that the route has; with `each`, at every one of them."""

    charge: Charge
    at: tuple[str, ...]
    each: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class VariantRule:
    """What a variant means for options with these attachments on these routes.

    From the first visit in `wait_from` that there is, all come `wait_weeks` later. With `keeps_teeth` the patient is
    never without teeth after surgery; with `removes_teeth` remaining teeth are removed at its visits and no other.
    """

    attachments: tuple[Attachments, ...]
    routes: tuple[Route, ...]
    charges: tuple[PlacedCharge, ...] = ()
    visits: tuple[PlacedVisit, ...] = ()
    wait_from: tuple[str, ...] = ()
    wait_weeks: Decimal = Decimal(0)
    keeps_teeth: bool = False
    removes_teeth: bool = False

    def list_fees(self) -> tuple[str, ...]:
        """The fee lines it charges."""
        added = (charge.fee for visit in self.visits for charge in visit.step.charges)
        return (*(placed.charge.fee for placed in self.charges), *added)


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """Something a case may ask for, unless it asks for one of `excludes` too. Names: the trade's, and the patient's."""

    key: str
    name: str
    patient_name: str
    rules: tuple[VariantRule, ...]
    needs_extractions: bool = False
    excludes: tuple[str, ...] = ()

    def find_rule(self, option: Option, jaw: Jaw) -> VariantRule | None:
        """Its rule for an option in a jaw; None where it changes nothing there."""
        route = option.find_route(jaw)
        return next((r for r in self.rules if option.attachments in r.attachments and route in r.routes), None)


def list_switched_on(jaw: Jaw) -> tuple[str, ...]:
    """Keys of the variants that a jaw asks for."""
    return (*jaw.variants, *([GRAFT] if jaw.graft_sites else []))


def read_variants(document: Mapping[str, Any], *, file: str) -> dict[str, Variant]:
    """Variants by key from a parsed TOML document. Raises InputError with every problem."""
    problems: list[Problem] = []
    fields = Fields(document, file=file, problems=problems)
    variants = [_read_variant(table) for table in fields.read_tables("variants")]
    fields.refuse_others()
    if problems:
        raise InputError(problems)
    return {variant.key: variant for variant in variants}


def _read_variant(table: Fields) -> Variant:
    variant = Variant(
        key=table.read_key("key"),
        name=table.read_line("name", code="line.name", required=True, longest=60),
        patient_name=table.read_line("patient_name", code="line.name", required=True, longest=60),
        rules=tuple(_read_rule(rule) for rule in table.read_tables("rules")),
        needs_extractions=table.read_flag("needs_extractions", default=False),
        excludes=table.read_texts("excludes"),
    )
    if not variant.rules:
        table.add_problem("rules", "options.no_rule")
    table.refuse_others()
    return variant


def _read_rule(table: Fields) -> VariantRule:
    words = table.read_texts("attachments", [a.value for a in Attachments]) or tuple(a.value for a in Attachments)
    routes = table.read_texts("routes", ROUTES) or tuple(route.value for route in Route)
    rule = VariantRule(
        attachments=tuple(Attachments(word) for word in words),
        routes=tuple(dict.fromkeys(route for word in routes for route in ROUTES[word])),
        charges=tuple(_read_charge(charge) for charge in table.read_tables("charges")),
        visits=tuple(_read_visit(visit) for visit in table.read_tables("visits")),
        wait_from=table.read_texts("wait_from"),
        wait_weeks=_read_weeks(table, "wait_weeks"),
        keeps_teeth=table.read_flag("keeps_teeth", default=False),
        removes_teeth=table.read_flag("removes_teeth", default=False),
    )
    table.refuse_others()
    return rule


def _read_charge(table: Fields) -> PlacedCharge:
    placed = PlacedCharge(
        charge=Charge(fee=table.read_key("fee"), count=table.read_whole("count", 1, 99, default=1)),
        at=table.read_texts("at"),
        each=table.read_flag("each", default=False),
    )
    if not placed.at:
        table.add_problem("at", "options.charged_at")
    table.refuse_others()
    return placed


def _read_visit(table: Fields) -> PlacedVisit:
    start, weeks = table.read_texts("start"), _read_weeks(table, "weeks")
    if not start:
        table.add_problem("start", "options.counted_from")
    step = read_step(table, {})
    return PlacedVisit(step=step, start=start, weeks=weeks)


def _read_weeks(table: Fields, name: str) -> Decimal:
    return table.read_decimal(name, -104, 104, code="number.weeks", example="3") or Decimal(0)
