"""Every fee line of the first cost beside the visits that do it; what no visit does says why."""

from dataclasses import dataclass

from estimator.estimate.cost.charges import count_quantities
from estimator.inputs.case.model import Jaw
from estimator.inputs.fees.schedule import FeeKind, FeeSchedule
from estimator.inputs.options.model import Charge, Option, VisitStep

UNNAMED = "the option names no visit for it"
_WHY_BY_KIND = {FeeKind.LABORATORY: "laboratory work between visits"}


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargedLine:
    """A fee line, the keys of the visits that do it in their order, and without any the reason."""

    fee: str
    label: str
    visits: tuple[str, ...] = ()
    no_visit: str = ""


def list_charged(jaw: Jaw, option: Option, fees: FeeSchedule) -> tuple[ChargedLine, ...]:
    """Each line that an option, its variants in it, charges in a jaw: once, in the order of the visits."""
    route, quantities = option.find_route(jaw), count_quantities(jaw, option)
    steps: list[tuple[VisitStep | None, Charge]] = [
        (step, charge)
        for step in sorted(option.visits, key=lambda step: step.weeks.get(route, 0))
        if route in step.weeks
        for charge in (*step.charges, *step.added)
    ]
    steps += [(None, charge) for charge in option.charges]
    visits: dict[str, list[str]] = {}
    reasons: dict[str, str] = {}
    for step, charge in steps:
        if charge.applies_to(route) and quantities.count(fees.get(charge.fee).charged_per):
            done = visits.setdefault(charge.fee, [])
            done += [step.key] if step and step.key not in done else []
            reasons[charge.fee] = reasons.get(charge.fee) or charge.no_visit
    return tuple(_describe(fees, key, done, reasons[key]) for key, done in visits.items())


def _describe(fees: FeeSchedule, key: str, done: list[str], reason: str) -> ChargedLine:
    line = fees.get(key)
    why = "" if done else reason or _WHY_BY_KIND.get(line.kind, UNNAMED)
    return ChargedLine(fee=key, label=line.label, visits=tuple(done), no_visit=why)
