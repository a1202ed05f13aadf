"""What comes later: the cost so far as lines; for each choice what usually needs doing, as a calendar and a table."""

from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

from estimator.base.formats import format_amount, name_currency
from estimator.estimate.bands import CostSoFar, list_costs_so_far
from estimator.estimate.result import Estimate
from estimator.pictures.options.years import YearsRow, draw_years
from estimator.pictures.upkeep.calendar import draw_calendar
from estimator.pictures.upkeep.upkeep_calendar import list_calendar_rows
from estimator.sheets.base.blocks import Block, Heading, KeepTogether, TableBlock
from estimator.sheets.base.figures import make_figures
from estimator.sheets.base.prose import make_paragraph

if TYPE_CHECKING:
    from estimator.sheets.base.context import SheetJob

_TALL = 62.0


def write_later(job: "SheetJob") -> list[Block]:
    """Everything after delivery; equal for all choices."""
    years = job.estimate.years
    blocks: list[Block] = [
        Heading(text=job.say("later.title"), level=2),
        make_paragraph(
            job.mark_count("later.intro", years, years=years), job.mark("later.again"), job.mark("later.none")
        ),
        *_write_lines(job),
        make_paragraph(job.mark("later.calendar")),
    ]
    for option in job.jaw.estimates:
        blocks += _write_option(job, option)
    return blocks


def _write_lines(job: "SheetJob") -> list[Block]:
    """The cost so far, year by year, with its range."""
    so_far = list_costs_so_far(job.estimate, job.jaw, first_costs=job.stated.list_first_costs())
    costs = {cost.key: cost for cost in so_far}
    rows = [_make_row(job, made, costs[made.key]) for made in job.jaw.estimates]
    if not rows:
        return []
    axis = job.say("later.years_axis", currency=name_currency(job.estimate.practice.fees.currency, job.locale))
    sizes = replace(job.sizes, bar=_TALL)
    picture = draw_years(rows, sizes, axis=axis, expected=job.say("later.expected"), words=job.writer.key_words())
    alt = " ".join(job.say("later.alt_line", name=row.name, finding=row.finding) for row in rows)
    return [KeepTogether(blocks=(make_paragraph(job.mark("later.lines")), *make_figures(job, picture, alt)))]


def _make_row(job: "SheetJob", made: Estimate, cost: CostSoFar) -> YearsRow:
    last = cost.years[-1]
    low, high = (job.writer.about(amount) for amount in (last.low, last.high))
    return YearsRow(
        name=made.patient_name,
        finding=job.say("later.line", first=job.money(cost.first_cost), low=low, high=high),
        first=cost.first_cost,
        so_far=tuple((band.low, band.expected, band.high) for band in cost.years),
    )


def _write_option(job: "SheetJob", option: Estimate) -> list[Block]:
    labels = dict(option.upkeep_labels) | {"recall": job.say("later.recall")}
    count = round(option.upkeep_visits.trips)
    trips = job.mark_count("later.trips", count, trips=count)
    head = tuple(job.say(f"later.{column}") for column in ("what", "count", "cost"))
    table_rows = tuple(
        (labels.get(event.key, event.label), show_times(event.count, job.locale), job.money(event.cost))
        for event in option.upkeep.events
    )
    total = (job.say("later.total"), "", job.writer.about(option.upkeep.expected))
    table = TableBlock(head=head, rows=(*table_rows, total), widths=(62, 14, 24), bold_last=True, small=True)
    rows = list_calendar_rows(
        option.upkeep,
        name=lambda event: labels.get(event.key, event.label),
        note=lambda event: _tell_times(job, event.count),
    )
    title = Heading(text=option.patient_name, level=3)
    if not rows:
        return [KeepTogether(blocks=(title, make_paragraph(trips), table))]
    words = {key: job.say(f"later.calendar_{key}") for key in ("axis", "dot", "many")}
    picture = draw_calendar(rows, option.upkeep.years, job.sizes, **words)
    alt = job.say("later.alt_calendar", things="; ".join(f"{row.name}, {row.note}" for row in rows))
    return [KeepTogether(blocks=(title, make_paragraph(trips), *make_figures(job, picture, alt))), table]


def _tell_times(job: "SheetJob", count: float) -> str:
    return job.say_count("later.about_times", Decimal(f"{count:.1f}"), times=show_times(count, job.locale))


def show_times(count: float, locale: str = "en_US") -> str:
    """An expected number: with one decimal, and never as a bare 0 where it is more."""
    least = format_amount(Decimal("0.1"), locale, decimals=1)
    return "0" if count == 0 else f"< {least}" if count < 0.05 else format_amount(Decimal(count), locale, decimals=1)
