"""The appointments of an option as days: no interval shorter than planned, no appointment on a closed day."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal

from estimator.base.evidence import Evidence, Figure
from estimator.estimate.visits.appointments import Visit, VisitPlan, count_without_teeth
from estimator.inputs.case.model import Arch
from estimator.inputs.options.model import Teeth
from estimator.inputs.practice.working_days import ClosedDays


@dataclass(frozen=True, slots=True, kw_only=True)
class DatedVisit:
    """An appointment on its day, and the names of closed days that put it off."""

    visit: Visit
    day: date
    put_off_by: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class DatedPlan:
    """All appointments of an option as days, in order."""

    visits: tuple[DatedVisit, ...]

    @property
    def teeth_on(self) -> date:
        """The day of the final teeth."""
        final = [dated.day for dated in self.visits if dated.visit.teeth is Teeth.FINAL]
        return max(final, default=self.visits[-1].day)

    @property
    def days_without_teeth(self) -> int:
        """Days between the visit that takes the teeth away and the one that gives some back."""
        return int(count_without_teeth([(d.visit.teeth, Decimal(d.day.toordinal())) for d in self.visits]))


def date_visits(plan: VisitPlan, start: date, closed: ClosedDays) -> DatedPlan:
    """Each appointment on the first open day that keeps the planned interval since the one before.

    An interval is healing or work of the laboratory, so that a closed day puts off everything after it. Raises
    ValueError where a plan has no visits.
    """
    if not plan.visits:
        raise ValueError("'plan' must have at least one visit (got none)")
    dated: list[DatedVisit] = []
    earliest, week = start, plan.visits[0].week
    for visit in plan.visits:
        earliest += timedelta(days=count_days(visit.week - week))
        day, names = _find_open_day(earliest, closed)
        dated.append(DatedVisit(visit=visit, day=day, put_off_by=names))
        earliest, week = day, visit.week
    return DatedPlan(visits=tuple(dated))


def count_days(weeks: Decimal) -> int:
    """Whole days of an interval in weeks, half up."""
    return int((weeks * 7).to_integral_value(rounding=ROUND_HALF_UP))


def _find_open_day(day: date, closed: ClosedDays) -> tuple[date, tuple[str, ...]]:
    names: dict[str, None] = {}
    while not closed.is_open(day):
        if day in closed.days:
            names[closed.days[day]] = None
        day += timedelta(days=1)
    return day, tuple(names)


@dataclass(frozen=True, slots=True, kw_only=True)
class HealingWindow:
    """The healing time in use in an arch, and what the literature says."""

    healing: Figure
    literature: tuple[Figure, ...]

    @property
    def early(self) -> bool:
        """Whether it is shorter than what is called conventional loading."""
        return self.healing.value < min(figure.low for figure in self.literature)

    @property
    def late(self) -> bool:
        """Whether it is longer than anything the literature here asks for."""
        return self.healing.value > max(figure.high for figure in self.literature)


def find_healing(arch: Arch, evidence: Evidence) -> HealingWindow:
    """Healing between surgery and abutments in an arch."""
    keys = ("loading_conventional", f"loading_older_{arch}")
    return HealingWindow(healing=evidence.get(f"healing_{arch}"), literature=tuple(evidence.get(key) for key in keys))


def list_months(first: date, last: date) -> Iterable[date]:
    """The first day of each month after one day and up to another."""
    year, month = first.year, first.month
    while True:
        year, month = (year + 1, 1) if month == 12 else (year, month + 1)
        day = date(year, month, 1)
        if day > last:
            return
        yield day
