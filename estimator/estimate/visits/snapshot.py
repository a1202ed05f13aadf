"""Visits as plain JSON values, with their days where a start is given."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from estimator.estimate.visits.appointments import Visit, VisitPlan
from estimator.estimate.visits.calendar import DatedVisit, date_visits
from estimator.estimate.visits.chair_time import check_chair_time
from estimator.inputs.case.model import Jaw
from estimator.inputs.options.model import Option
from estimator.inputs.practice.working_days import ClosedDays
from estimator.inputs.practice_bundle import Practice

Json = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Dates:
    """The day of the first visit, and when the practice is closed."""

    start: date
    closed: ClosedDays


def visits_to_dict(jaw: Jaw, option: Option, plan: VisitPlan, practice: Practice, dates: Dates | None) -> Json:
    """All appointments of an option, and its chair time beside published ones."""
    shown = {
        "count": plan.count,
        "chair_time_min": plan.chair_time_min,
        "weeks": float(plan.weeks_to_teeth),
        "weeks_to_last_visit": float(plan.weeks_to_last),
        "weeks_without_teeth": float(plan.weeks_without_teeth),
        "appointments": [_show_visit(visit) for visit in plan.visits],
        "charges": [
            {"fee": line.fee, "visits": list(line.visits), "no_visit": line.no_visit or None} for line in plan.charged
        ],
        "chair_time_check": _show_check(jaw, option, plan, practice),
    }
    return shown | (_show_dates(plan, dates) if dates and plan.visits else {})


def _show_visit(visit: Visit) -> Json:
    return {
        "key": visit.key,
        "what": visit.what,
        "week": float(visit.week),
        "minutes": visit.minutes,
        "charged_min": visit.charged_min,
        "needs": list(visit.needs),
        "must": list(visit.must),
        "laboratory": visit.laboratory or None,
    }


def _show_check(jaw: Jaw, option: Option, plan: VisitPlan, practice: Practice) -> Json | None:
    check = check_chair_time(jaw, option, plan, practice.evidence)
    if check is None:
        return None
    figures = [
        {
            "figure": f.key,
            "minutes": float(f.value),
            "source": practice.evidence.cite(f),
            "how_sure": f.how_sure.value,
        }
        for f in check.published
    ]
    return {"denture_min": check.minutes, "finding": check.finding.value, "published": figures}


def _show_dates(plan: VisitPlan, dates: Dates) -> Json:
    dated = date_visits(plan, dates.start, dates.closed)
    return {
        "start": dates.start.isoformat(),
        "teeth_on": dated.teeth_on.isoformat(),
        "days_without_teeth": dated.days_without_teeth,
        "days": [_show_day(visit) for visit in dated.visits],
    }


def _show_day(dated: DatedVisit) -> Json:
    return {"key": dated.visit.key, "day": dated.day.isoformat(), "put_off_by": list(dated.put_off_by)}
