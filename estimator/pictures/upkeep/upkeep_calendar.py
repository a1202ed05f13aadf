"""Expected upkeep becomes rows of the calendar, in the words of either reader."""

from collections.abc import Callable

from estimator.estimate.upkeep.years import RECALL_KEY, ExpectedEvent, Upkeep
from estimator.pictures.upkeep.calendar import CalendarRow, list_times


def list_calendar_rows(
    upkeep: Upkeep, *, name: Callable[[ExpectedEvent], str], note: Callable[[ExpectedEvent], str]
) -> tuple[CalendarRow, ...]:
    """A row for each thing expected at least half a time, most frequent first; a recall is due at each year's end."""
    events = sorted(upkeep.events, key=lambda event: -event.count)
    rows = (CalendarRow(name=name(event), note=note(event), years=_list_due(event)) for event in events)
    return tuple(row for row in rows if row.years)


def _list_due(event: ExpectedEvent) -> tuple[float, ...]:
    if event.key == RECALL_KEY:
        return tuple(float(year) for year, count in enumerate(event.by_year, 1) if count)
    return list_times(event.by_year)
