"""The comparison of one jaw in a few sentences, for the office: numbers first, no opinion, no winner."""

from decimal import Decimal

from estimator.base.formats import format_amount, format_mm
from estimator.estimate.clearance.verdict import Clearance, Verdict
from estimator.estimate.compare import ComparisonRow
from estimator.estimate.result import JawEstimate
from estimator.inputs.reference.wording import Wording
from estimator.pictures.options.option_rows import find_measured


def summarise_rows(
    rows: tuple[ComparisonRow, ...], wording: Wording, *, years: int, locale: str = "en_US"
) -> tuple[str, ...]:
    """Sentences on room, first cost and upkeep, generated from the rows that the pictures show."""
    return (*_tell_room(rows, wording, locale), *_tell_cost(rows, wording, locale, years))


def describe_jaw(jaw: JawEstimate, rows: tuple[ComparisonRow, ...]) -> tuple[str, str]:
    """Two sentences: the jaw and its implants; the room with its landmark, site, method and error."""
    state = "in place" if jaw.jaw.implants_present else "planned"
    plural = "s" if jaw.jaw.implants > 1 else ""
    arch, implants = jaw.jaw.arch.value.capitalize(), jaw.jaw.implants
    what = f"{arch}, {implants} implant{plural} {state}." if implants else f"{arch}, no implants planned."
    measured = find_measured(rows)
    if measured is None or measured.space_mm is None or jaw.jaw.measurement is None:
        return what, "Restorative space: not measured yet. Usual stacks are read from the soft tissue crest."
    method = jaw.jaw.measurement.method.value.replace("_", " ")
    provisional = ", provisional" if measured.provisional else ""
    where = f"{measured.space_mm:.2f} mm from the soft tissue crest at the tightest site ({measured.limiting_site})"
    return what, f"Restorative space {where}, {method}, ± {measured.error_mm:.2f} mm{provisional}."


def show_chance(chance: float) -> str:
    """A chance in percent; never quite sure, never quite hopeless."""
    if chance > 0.99:
        return "over 99 %"
    return "under 1 %" if chance < 0.01 else f"{round(100 * chance)} %"


_ORDER: tuple[Verdict, ...] = (Verdict.DOES_NOT_FIT, Verdict.TIGHT, Verdict.FITS, Verdict.NOT_MEASURED)


def _tell_room(rows: tuple[ComparisonRow, ...], wording: Wording, locale: str) -> list[str]:
    checked = [(row, row.clearance) for row in rows if row.clearance is not None]
    told, order = [], _ORDER
    if find_measured(rows) is None:
        told, order = [wording.say("summary.not_measured")], _ORDER[:1]
    for verdict in order:
        group = [(row, clearance) for row, clearance in checked if clearance.verdict is verdict]
        told += [wording.say(_find_text(clearance), **_name_values(row, clearance, locale)) for row, clearance in group]
    return told


def _find_text(clearance: Clearance) -> str:
    if clearance.short_along:
        return "summary.does_not_fit_along"
    return "summary.not_measured_yet" if clearance.verdict is Verdict.NOT_MEASURED else f"summary.{clearance.verdict}"


def _name_values(row: ComparisonRow, clearance: Clearance, locale: str) -> dict[str, str]:
    margin = clearance.margin_mm or Decimal(0)
    return {
        "name": row.name,
        "short": format_mm(clearance.lacking_mm, locale),
        "margin": format_mm(abs(margin), locale),
        "side": "over" if margin >= 0 else "under",
        "site": clearance.limiting_site or "",
        "chance": "not known" if clearance.chance_of_fit is None else show_chance(clearance.chance_of_fit),
    }


def _tell_cost(rows: tuple[ComparisonRow, ...], wording: Wording, locale: str, years: int) -> list[str]:
    """First costs as they differ; upkeep only as ranges, which part or overlap."""
    priced = [row for row in rows if row.upkeep is not None and row.first_cost is not None]
    if len(priced) < 2:
        return []
    by_cost = sorted(priced, key=lambda row: row.first_cost or Decimal(0))
    low, high = by_cost[0], by_cost[-1]
    difference = format_amount((high.first_cost or Decimal(0)) - (low.first_cost or Decimal(0)), locale)
    first = wording.say("summary.first_cost", high=high.name, low=low.name, difference=difference)
    overlap = max(row.upkeep[0] for row in priced if row.upkeep) <= min(row.upkeep[2] for row in priced if row.upkeep)
    return [first, wording.say("summary.overlap" if overlap else "summary.apart", years=years)]
