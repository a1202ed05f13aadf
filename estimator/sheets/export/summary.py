"""The comparison of one jaw in a few sentences, for the office: numbers first, no opinion, no winner."""

from decimal import Decimal

from estimator.base.formats import format_amount
from estimator.estimate.clearance.layers import list_deciding_texts, say_finding
from estimator.estimate.clearance.verdict import Clearance, Verdict
from estimator.estimate.compare import ComparisonRow
from estimator.estimate.result import JawEstimate
from estimator.inputs.reference.wording import Wording
from estimator.pictures.options.option_rows import find_measured


def summarise_rows(
    rows: tuple[ComparisonRow, ...], wording: Wording, *, years: int, locale: str = "en_US"
) -> tuple[str, ...]:
    """Sentences on room, first cost and upkeep, generated from the rows that the pictures show."""
    return (*_tell_room(rows, wording), *_tell_cost(rows, wording, locale, years))


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


_ORDER: tuple[Verdict, ...] = (Verdict.DOES_NOT_FIT, Verdict.TIGHT, Verdict.FITS, Verdict.NOT_MEASURED)


def _tell_room(rows: tuple[ComparisonRow, ...], wording: Wording) -> list[str]:
    """Each option's finding with what the layers that decide it say; what is not measured at all is said once."""
    checked = [(row.name, row.clearance) for row in rows if row.clearance is not None]
    told, order = [], _ORDER
    if find_measured(rows) is None:
        told, order = [wording.say("summary.not_measured")], _ORDER[:1]
    for verdict in order:
        group = [(name, clearance) for name, clearance in checked if clearance.verdict is verdict]
        told += [_tell_option(name, clearance, wording) for name, clearance in group]
    return told


def _tell_option(name: str, clearance: Clearance, wording: Wording) -> str:
    finding = say_finding(clearance.layers, patient=False)
    texts = " ".join(list_deciding_texts(clearance.layers))
    said = wording.say("summary.room", name=name, finding=finding, texts=texts)
    return f"{said} {wording.say('summary.set_back')}" if clearance.verdict is Verdict.DOES_NOT_FIT else said


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
