"""Visits and charges of an option or of a variant, read from a TOML table each."""

from collections.abc import Mapping
from decimal import Decimal

from estimator.base.fields import Fields
from estimator.inputs.case.model import Route
from estimator.inputs.options.model import Charge, Teeth, VisitStep

_NAME = "line.name"
ROUTES: dict[str, tuple[Route, ...]] = {
    "new": (Route.NEW_PLANNED, Route.NEW_PRESENT),
    "convert": (Route.CONVERT_PLANNED, Route.CONVERT_PRESENT),
    "planned": (Route.NEW_PLANNED, Route.CONVERT_PLANNED),
    "present": (Route.NEW_PRESENT, Route.CONVERT_PRESENT),
    **{route.value: (route,) for route in Route},
}
"""Words for the routes that a week or a charge may name."""


def read_visit(table: Fields) -> VisitStep:
    """A visit with its weeks by route."""
    return read_step(table, _read_weeks(table))


def read_step(table: Fields, weeks: Mapping[Route, Decimal]) -> VisitStep:
    """A visit whose weeks are known."""
    what = table.read_line("what", code=_NAME, required=True, longest=60)
    step = VisitStep(
        key=table.read_key("key"),
        what=what,
        patient_what=table.read_line("patient_what", code=_NAME, longest=60) or what,
        weeks=weeks,
        minutes=table.read_whole("minutes", 0, 600) if "minutes" in table else None,
        minutes_per_implant=table.read_whole("minutes_per_implant", 0, 120, default=0),
        healed=table.read_flag("healed", default=False),
        surgical=table.read_flag("surgical", default=False),
        operation=table.read_flag("operation", default=False),
        teeth=table.read_choice("teeth", Teeth, default=Teeth.UNCHANGED),
        charges=read_charges(table),
        needs=table.read_texts("needs"),
        must=table.read_texts("must"),
        laboratory=table.read_line("laboratory", code="options.laboratory"),
    )
    if step.minutes is None and step.minutes_per_implant:
        table.add_problem("minutes", "options.minutes")
    table.refuse_others()
    return step


def _read_weeks(table: Fields) -> Mapping[Route, Decimal]:
    """A week for every route, or a table of weeks by route; a route without a week has no such visit."""
    if not isinstance(table.get_raw("week"), dict):
        week = table.read_decimal("week", 0, 200, code="number.week", example="15")
        if week is None and "week" not in table:
            table.add_problem("week", "options.week")
        return dict.fromkeys(Route, week or Decimal(0))
    by_route = table.read_table("week")
    weeks: dict[Route, Decimal] = {}
    for word, routes in ROUTES.items() if by_route else ():
        week = by_route.read_decimal(word, 0, 200, code="number.week", example="15") if by_route else None
        if week is not None:
            weeks.update(dict.fromkeys(routes, week))
    if by_route:
        by_route.refuse_others()
    return weeks


def read_charges(fields: Fields) -> tuple[Charge, ...]:
    """The charges of a table: keys of fee lines, or tables."""
    charges = []
    listed = fields.get_raw("charges") or []
    if not isinstance(listed, list):
        fields.add_problem("charges", "options.charges")
        return ()
    for i, value in enumerate(listed, 1):
        if isinstance(value, str):
            charges.append(Charge(fee=value))
        elif isinstance(value, dict):
            path = (*fields.locate("charges"), i)
            charges.append(_read_charge(Fields(value, file=fields.file, path=path, problems=fields.problems)))
        else:
            fields.add_problem("charges", "options.charge")
    return tuple(charges)


def _read_charge(table: Fields) -> Charge:
    words = table.read_texts("routes", ROUTES)
    charge = Charge(
        fee=table.read_key("fee"),
        count=table.read_whole("count", 1, 99, default=1),
        routes=tuple(dict.fromkeys(route for word in words for route in ROUTES[word])),
        no_visit=table.read_line("no_visit", code="options.no_visit", longest=60),
    )
    table.refuse_others()
    return charge
