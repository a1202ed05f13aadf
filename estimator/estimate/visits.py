"""Appointments of an option in a jaw: what, which week, how many minutes."""

from dataclasses import dataclass
from decimal import Decimal

from estimator.base.evidence import Evidence
from estimator.inputs.case import Arch, Jaw
from estimator.inputs.options import Option, Teeth, VisitStep


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One appointment; `week` counts from the first visit."""

    what: str
    patient_what: str
    week: Decimal
    minutes: int
    teeth: Teeth


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitPlan:
    """All appointments in order. Weeks until the final teeth, until the last visit, and without teeth."""

    visits: tuple[Visit, ...]
    chair_time_min: int
    weeks_to_teeth: Decimal
    weeks_to_last: Decimal
    weeks_without_teeth: Decimal

    @property
    def count(self) -> int:
        """Number of trips."""
        return len(self.visits)


def plan_visits(jaw: Jaw, option: Option, evidence: Evidence) -> VisitPlan:
    """The visits of an option on its route through that jaw, in the order of their weeks."""
    route, wait = option.find_route(jaw), _find_wait(jaw, evidence)
    steps = [step for step in option.visits if route in step.weeks]
    visits = sorted((_make_visit(step, step.weeks[route], jaw, wait) for step in steps), key=lambda v: v.week)
    if not visits:
        zero = Decimal(0)
        return VisitPlan(visits=(), chair_time_min=0, weeks_to_teeth=zero, weeks_to_last=zero, weeks_without_teeth=zero)
    return VisitPlan(
        visits=tuple(visits),
        chair_time_min=sum(v.minutes for v in visits),
        weeks_to_teeth=max((v.week for v in visits if v.teeth is Teeth.FINAL), default=visits[-1].week),
        weeks_to_last=visits[-1].week,
        weeks_without_teeth=_count_without_teeth(visits),
    )


def waits_longer(jaw: Jaw) -> bool:
    """Whether the upper jaw's longer healing applies: implants still to be placed there."""
    return jaw.arch is Arch.MAXILLA and not jaw.implants_present


def _find_wait(jaw: Jaw, evidence: Evidence) -> Decimal:
    return evidence.get("maxilla_extra_weeks").value if waits_longer(jaw) else Decimal(0)


def _make_visit(step: VisitStep, week: Decimal, jaw: Jaw, wait: Decimal) -> Visit:
    return Visit(
        what=step.what,
        patient_what=step.patient_what,
        week=week + (wait if step.healed else 0),
        minutes=step.minutes + step.minutes_per_implant * jaw.implants,
        teeth=step.teeth,
    )


def _count_without_teeth(visits: list[Visit]) -> Decimal:
    """Weeks between a visit that takes the teeth away and the next that gives some back."""
    weeks, out_since = Decimal(0), None
    for visit in visits:
        if visit.teeth is Teeth.OUT and out_since is None:
            out_since = visit.week
        elif visit.teeth in (Teeth.BACK, Teeth.FINAL) and out_since is not None:
            weeks, out_since = weeks + visit.week - out_since, None
    return weeks
