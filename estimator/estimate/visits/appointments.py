"""Appointments of an option in a jaw: what, which week, how many minutes, what must be known and done at each."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.base.evidence import Evidence
from estimator.estimate.cost.charges import count_quantities
from estimator.estimate.visits.charged import ChargedLine, list_charged
from estimator.inputs.case.model import Jaw
from estimator.inputs.fees.schedule import FeeSchedule
from estimator.inputs.options.model import Charge, Option, Teeth, VisitStep

PHYSICIAN = "The physician's answer"


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One appointment; `week` counts from the first visit. `charged_min` are the minutes of the lines it charges.

    `needs` must be known before it, `must` be done at it before the next step; `laboratory` works after it.
    """

    key: str
    what: str
    patient_what: str
    week: Decimal
    minutes: int
    charged_min: int
    surgical: bool
    operation: bool
    teeth: Teeth
    needs: tuple[str, ...] = ()
    must: tuple[str, ...] = ()
    laboratory: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitPlan:
    """All appointments in order, and which of them does each line that is charged.

    Weeks until the final teeth, until the last visit, and without teeth.
    """

    visits: tuple[Visit, ...]
    chair_time_min: int
    weeks_to_teeth: Decimal
    weeks_to_last: Decimal
    weeks_without_teeth: Decimal
    charged: tuple[ChargedLine, ...] = ()

    @property
    def count(self) -> int:
        """Number of trips."""
        return len(self.visits)

    @property
    def denture_min(self) -> int:
        """Chair time of the visits that are not surgical. [minutes]"""
        return sum(visit.minutes for visit in self.visits if not visit.surgical)


def plan_visits(
    jaw: Jaw, option: Option, evidence: Evidence, fees: FeeSchedule, *, ask_physician: bool = False
) -> VisitPlan:
    """The visits of an option on its route through that jaw, in the order of their weeks.

    With `ask_physician` a physician's answer is waited for before an operation, or before the second visit.
    """
    route, wait = option.find_route(jaw), _find_wait(jaw, option, evidence)
    steps = [step for step in option.visits if route in step.weeks]
    made = (_make_visit(step, jaw, option, fees, wait) for step in steps)
    visits = sorted(made, key=lambda visit: visit.week)
    if not visits:
        zero = Decimal(0)
        return VisitPlan(visits=(), chair_time_min=0, weeks_to_teeth=zero, weeks_to_last=zero, weeks_without_teeth=zero)
    return VisitPlan(
        visits=tuple(_ask_physician(visits) if ask_physician else visits),
        chair_time_min=sum(v.minutes for v in visits),
        weeks_to_teeth=max((v.week for v in visits if v.teeth is Teeth.FINAL), default=visits[-1].week),
        weeks_to_last=visits[-1].week,
        weeks_without_teeth=count_without_teeth([(visit.teeth, visit.week) for visit in visits]),
        charged=list_charged(jaw, option, fees),
    )


def heals_first(jaw: Jaw, option: Option) -> bool:
    """Whether implants still to be placed must heal in this option before its denture is made."""
    route = option.find_route(jaw)
    return not jaw.implants_present and any(step.healed and route in step.weeks for step in option.visits)


def _find_wait(jaw: Jaw, option: Option, evidence: Evidence) -> Decimal:
    """How much later healed visits are than the option's weeks say: its healing gives way to that of the arch."""
    if not heals_first(jaw, option):
        return Decimal(0)
    usual = evidence.get("healing_mandible").value if option.healing_weeks is None else option.healing_weeks
    return evidence.get(f"healing_{jaw.arch}").value - usual


def _make_visit(step: VisitStep, jaw: Jaw, option: Option, fees: FeeSchedule, wait: Decimal) -> Visit:
    charged, added = _count_minutes(step, jaw, option, fees)
    own = charged if step.minutes is None else step.minutes + step.minutes_per_implant * jaw.implants
    return Visit(
        key=step.key,
        what=step.what,
        patient_what=step.patient_what,
        week=step.weeks[option.find_route(jaw)] + (wait if step.healed else 0),
        minutes=own + added,
        charged_min=charged + added,
        surgical=step.surgical,
        operation=step.operation,
        teeth=step.teeth,
        needs=step.needs,
        must=step.must,
        laboratory=step.laboratory,
    )


def _count_minutes(step: VisitStep, jaw: Jaw, option: Option, fees: FeeSchedule) -> tuple[int, int]:
    """Minutes of the lines that a visit charges of itself, and of those that variants add to it."""
    route, quantities = option.find_route(jaw), count_quantities(jaw, option)

    def add_up(charges: Sequence[Charge]) -> int:
        lines = ((fees.get(charge.fee), charge.count) for charge in charges if charge.applies_to(route))
        return sum(line.minutes * count * quantities.count(line.charged_per) for line, count in lines)

    return add_up(step.charges), add_up(step.added)


def _ask_physician(visits: list[Visit]) -> list[Visit]:
    """The answer stands before the first operation, or where there is none before the second visit."""
    second = visits[1] if len(visits) > 1 else visits[0]
    at = next((visit for visit in visits if visit.operation), second)
    return [replace(v, needs=(PHYSICIAN, *v.needs)) if v is at else v for v in visits]


def count_without_teeth(visits: Sequence[tuple[Teeth, Decimal]]) -> Decimal:
    """Time between a visit that takes the teeth away and the next that gives some back, in the unit of the times."""
    whole, out_since = Decimal(0), None
    for teeth, when in visits:
        if teeth is Teeth.OUT and out_since is None:
            out_since = when
        elif teeth in (Teeth.BACK, Teeth.FINAL) and out_since is not None:
            whole, out_since = whole + when - out_since, None
    return whole
