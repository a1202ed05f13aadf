"""Public holidays of a country and a practice's own closed days, from the `holidays` library and the settings."""

from datetime import date

from estimator.base.problems import Problem, offer_names
from estimator.inputs.practice.working_days import CalendarSettings, ClosedDays

_YEARS_AHEAD = 6
"""Longer than the longest course of visits: 200 weeks and the waits of a case."""


def load_closed_days(calendar: CalendarSettings, *, start: date) -> ClosedDays:
    """When the practice is closed in the years from the start of a treatment."""
    days: dict[date, str] = {}
    if calendar.country:
        import holidays  # half a start of the tool: only where a calendar is asked for

        years = range(start.year, start.year + _YEARS_AHEAD)
        found = holidays.country_holidays(calendar.country, subdiv=calendar.subdivision or None, years=years)
        days |= dict(found.items())
    for closing in calendar.closings:
        days |= dict.fromkeys(closing.list_days(), closing.name)
    return ClosedDays(weekdays=calendar.closed_weekdays, days=days)


def find_unknown_country(calendar: CalendarSettings, *, file: str) -> list[Problem]:
    """A problem where no holidays are known for the country or its subdivision."""
    if not calendar.country:
        return []
    import holidays

    try:
        holidays.country_holidays(calendar.country, subdiv=calendar.subdivision or None)
    except NotImplementedError:  # which of the two is unknown; the list of all takes long to make
        known = holidays.list_supported_countries()
        if calendar.country not in known:
            return [_blame("country", "calendar.unknown_country", calendar.country, file)]
        regions = known[calendar.country]
        code = "known" if regions else "calendar.no_regions"
        return [_blame("subdivision", code, calendar.subdivision, file, **offer_names(calendar.subdivision, regions))]
    return []


def _blame(field: str, code: str, found: str, file: str, **expected: object) -> Problem:
    return Problem(file=file, path=("calendar", field), code=code, found=found, expected=expected)
