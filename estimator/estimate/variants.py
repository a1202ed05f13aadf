"""A case's variants put into an option: the option that is then priced, planned and dated like any other."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from estimator.base.problems import Problem
from estimator.inputs.case.model import Case, Jaw, Route
from estimator.inputs.options.model import Option, PlacedVisit, Teeth, VisitStep
from estimator.inputs.options.variants import PlacedCharge, Variant, VariantRule, list_switched_on
from estimator.inputs.practice_bundle import Practice


def apply_variants(option: Option, jaw: Jaw, variants: Mapping[str, Variant]) -> Option:
    """The option as this jaw needs it and asks for it: teeth removed, and each variant that has a rule for its route.

    All waits come first, then further visits, counted from where the others now are, then charges at any of them.
    """
    route, visits = (
        option.find_route(jaw),
        _place_removal(option, jaw, _add_all_visits(option, jaw, variants), variants),
    )
    for variant in list_applied(option, jaw, variants):
        rule = variant.find_rule(option, jaw)
        if rule is not None:
            visits = _add_charges(visits, route, rule.charges)
            visits = _keep_teeth(visits) if rule.keeps_teeth else visits
    return replace(option, visits=visits, removal=None)


def list_applied(option: Option, jaw: Jaw, variants: Mapping[str, Variant]) -> tuple[Variant, ...]:
    """The variants of a jaw that change an option there: they have a rule for it, and a visit that it concerns."""
    route, visits = option.find_route(jaw), _add_all_visits(option, jaw, variants)
    asked = ((variants[key], variants[key].find_rule(option, jaw)) for key in list_switched_on(jaw))
    return tuple(variant for variant, rule in asked if rule and _concerns(rule, visits, route))


def _concerns(rule: VariantRule, visits: tuple[VisitStep, ...], route: Route) -> bool:
    places = (*(charge.at for charge in rule.charges), *(visit.start for visit in rule.visits), rule.wait_from)
    return any(_find_step(visits, route, keys) for keys in places)


def find_unpriced_variants(case: Case, practice: Practice) -> list[Problem]:
    """A problem for each fee line that the case asks for in an option, and the practice's schedule does not have."""
    fees = practice.fees
    problems = []
    for number, jaw in enumerate(case.jaws, 1):
        for option in practice.options:
            for key in _list_asked_fees(option, jaw, practice.variants):
                if key not in fees.lines:
                    path, asked = ("jaws", number, "variants"), {"key": key, "option": option.key}
                    problems.append(Problem(file=fees.file, path=path, code="case.unpriced", expected=asked))
    return problems


def _list_asked_fees(option: Option, jaw: Jaw, variants: Mapping[str, Variant]) -> tuple[str, ...]:
    """Fee lines of what a jaw asks for beside an option, each once."""
    own = {step.key for step in option.visits}
    steps = apply_variants(option, jaw, variants).visits
    charges = (charge for step in steps for charge in (*step.added, *(() if step.key in own else step.charges)))
    return tuple(dict.fromkeys(charge.fee for charge in charges))


def _add_all_visits(option: Option, jaw: Jaw, variants: Mapping[str, Variant]) -> tuple[VisitStep, ...]:
    """The visits of an option with the waits and further visits of all that a jaw asks for."""
    route, visits = option.find_route(jaw), option.visits
    found = (variants[key].find_rule(option, jaw) for key in list_switched_on(jaw))
    rules = [rule for rule in found if rule is not None]
    for rule in rules:
        visits = _wait(visits, route, rule)
    for rule in rules:
        visits = _add_visits(visits, route, rule.visits)
    return visits


def _place_removal(
    option: Option, jaw: Jaw, visits: tuple[VisitStep, ...], variants: Mapping[str, Variant]
) -> tuple[VisitStep, ...]:
    """The visits with the one that removes remaining teeth, and the healing after it; unless a variant removes them."""
    removal, route = option.removal, option.find_route(jaw)
    rules = (variant.find_rule(option, jaw) for variant in list_applied(option, jaw, variants))
    if removal is None or not jaw.extractions or route not in removal.routes:
        return visits
    if any(rule and rule.removes_teeth for rule in rules):
        return visits
    waits = VariantRule(attachments=(), routes=(), wait_from=removal.before, wait_weeks=removal.heals_weeks)
    visits = _wait(visits, route, waits)
    placed = PlacedVisit(step=removal.step, start=removal.before, weeks=-removal.heals_weeks)
    return _add_visits(visits, route, (placed,))


def _find_step(visits: Iterable[VisitStep], route: Route, keys: tuple[str, ...]) -> VisitStep | None:
    """The first visit on a route of those that are named, in the order they are named."""
    by_key = {step.key: step for step in visits if route in step.weeks}
    return next((by_key[key] for key in keys if key in by_key), None)


def _wait(visits: tuple[VisitStep, ...], route: Route, rule: VariantRule) -> tuple[VisitStep, ...]:
    first = _find_step(visits, route, rule.wait_from)
    if first is None:
        return visits
    start = first.weeks[route]
    return tuple(
        replace(step, weeks={**step.weeks, route: step.weeks[route] + rule.wait_weeks})
        if route in step.weeks and step.weeks[route] >= start
        else step
        for step in visits
    )


def _add_visits(visits: tuple[VisitStep, ...], route: Route, placed: tuple[PlacedVisit, ...]) -> tuple[VisitStep, ...]:
    """Each before or after the visit it is counted from, so that lines are printed in the order of work."""
    for new in placed:
        start = _find_step(visits, route, new.start)
        if start is not None:
            step = replace(new.step, weeks={route: start.weeks[route] + new.weeks}, healed=start.healed)
            at = visits.index(start) + (new.weeks > 0)
            visits = (*visits[:at], step, *visits[at:])
    return visits


def _add_charges(
    visits: tuple[VisitStep, ...], route: Route, placed: tuple[PlacedCharge, ...]
) -> tuple[VisitStep, ...]:
    for new in placed:
        first = _find_step(visits, route, new.at)
        visits = tuple(
            replace(step, added=(*step.added, new.charge))
            if step is first or (new.each and step.key in new.at and route in step.weeks)
            else step
            for step in visits
        )
    return visits


def _keep_teeth(visits: tuple[VisitStep, ...]) -> tuple[VisitStep, ...]:
    return tuple(replace(step, teeth=Teeth.UNCHANGED) if step.teeth is Teeth.OUT else step for step in visits)
