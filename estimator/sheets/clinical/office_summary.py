"""The office summary: room, fees and what they cost the practice, visits, cautions. Not for patients."""

from decimal import Decimal

from estimator.base.formats import format_amount, name_currency, show_chance
from estimator.estimate.clearance.cautions import Caution
from estimator.estimate.clearance.layers import say_finding
from estimator.estimate.compare import list_rows
from estimator.estimate.result import Estimate
from estimator.sheets.base.blocks import Block, Bullets, Heading, KeepTogether, Sheet, TableBlock, Text
from estimator.sheets.base.layout import FamilyWords, make_office_sheet
from estimator.sheets.base.prose import make_paragraph, mark_up
from estimator.sheets.export.summary import describe_jaw


def make_office_summary(words: FamilyWords) -> Sheet:
    """The whole sheet."""
    job = words.job
    title = words.say("title", jaw=job.wording.get(f"words.arch.office_{job.jaw.jaw.arch}"))
    blocks = [
        make_paragraph(words.mark("warning")),
        *_write_jaw(words),
        *_write_room(words),
        *_write_money(words),
        *_write_visits(words),
        *_write_points(words),
    ]
    return make_office_sheet(job, title=title, name=words.say("sheet", number=job.number), blocks=blocks)


def _write_jaw(words: FamilyWords) -> list[Block]:
    names = ("words.no_treatment.office", "words.no_treatment.patient")
    office, patient = (words.job.wording.get(name) for name in names)
    told = describe_jaw(words.job.jaw, list_rows(words.job.jaw, no_treatment=(office, patient)))
    refused = [f"{o.name}: {o.reason}." for o in words.job.jaw.options if not isinstance(o, Estimate)]
    return [make_paragraph(*(mark_up("{text}", text=text) for text in (*told, *refused)))]


def _write_room(words: FamilyWords) -> list[Block]:
    head = tuple(words.say(f"room.head_{column}") for column in ("option", "verdict", "margin", "chance", "site"))
    rows = tuple(_write_room_row(words, made) for made in words.job.jaw.estimates)
    table = TableBlock(head=head, rows=rows, widths=(25, 37, 12, 16, 10), left=(0, 1), small=True)
    return [KeepTogether(blocks=(words.head("room.title"), table))]


def _write_room_row(words: FamilyWords, made: Estimate) -> tuple[str, ...]:
    """The verdict of the layer that decides, with its own margin, chances and site."""
    headline, unknown = made.clearance.headline, words.say("not_known")
    shown = -headline.short_mm if headline.short_mm else headline.margin_mm
    margin = unknown if shown is None else f"{shown:+.2f}".replace("-", "\N{MINUS SIGN}")
    chances = [show_chance(one) for one in (headline.chance_usual, headline.chance_least) if one is not None]
    finding = say_finding(made.clearance.layers, patient=False)
    return (made.name, finding, margin, " / ".join(chances) or unknown, headline.site or unknown)


def _write_money(words: FamilyWords) -> list[Block]:
    job = words.job
    head = tuple(
        words.say(f"money.head_{column}", years=job.estimate.years)
        for column in ("option", "fees", "cost", "margin", "upkeep")
    )
    rows = tuple(_write_money_row(words, made) for made in job.jaw.estimates)
    currency = name_currency(job.estimate.practice.fees.currency, job.locale)
    title = words.head("money.title", currency=currency)
    table = TableBlock(head=head, rows=rows, widths=(30, 17, 16, 17, 20), small=True)
    unknown = job.estimate.practice.settings.chair_cost_per_hour is None
    note = [words.tell("money.no_chair_cost")] if unknown else []
    return [KeepTogether(blocks=(title, table)), *note]


def _write_money_row(words: FamilyWords, made: Estimate) -> tuple[str, ...]:
    price = words.job.find_offer(made.key).price
    cost = made.practice_cost.leave_of(price.adjusted.total, words.job.estimate.practice.fees.quantum)
    amounts = (price.total, cost.cost_total, cost.margin)
    upkeep = format_amount(made.upkeep.expected, words.job.locale)
    return (made.name, *(_show(words, amount) for amount in amounts), upkeep)


def _show(words: FamilyWords, amount: Decimal | None) -> str:
    return words.say("not_known") if amount is None else words.job.money(amount, exact=True)


def _write_visits(words: FamilyWords) -> list[Block]:
    head = tuple(words.say(f"visits.head_{column}") for column in ("option", "trips", "minutes", "weeks"))
    rows = tuple(
        (m.name, str(m.visits.count), str(m.visits.chair_time_min), f"{m.visits.weeks_to_last.normalize():f}")
        for m in words.job.jaw.estimates
    )
    table = TableBlock(head=head, rows=rows, widths=(40, 20, 20, 20), small=True)
    return [KeepTogether(blocks=(words.head("visits.title"), table)), *_tell_no_visit(words)]


def _tell_no_visit(words: FamilyWords) -> list[Block]:
    """What is charged and no visit does, by the reason, each line once."""
    labels: dict[str, dict[str, None]] = {}
    for line in (line for made in words.job.jaw.estimates for line in made.visits.charged if line.no_visit):
        labels.setdefault(line.no_visit, {})[line.label] = None
    told = [words.mark("visits.no_visit", lines=", ".join(lines), reason=reason) for reason, lines in labels.items()]
    return [make_paragraph(one, small=True) for one in told]


def _write_points(words: FamilyWords) -> list[Block]:
    """Cautions and ways to make room of each option, each said once with the option it was first raised for."""
    blocks: list[Block] = [words.head("points.cautions")]
    said: set[str] = set()
    for made in words.job.jaw.estimates:
        new = [caution for caution in made.clearance.cautions if caution.text not in said]
        said |= {caution.text for caution in new}
        blocks += _list_up(words, made.name, new)
    if not said:
        blocks.append(words.tell("points.none"))
    if any(made.clearance.ways for made in words.job.jaw.estimates):
        blocks.append(words.head("points.ways"))
    for made in words.job.jaw.estimates:
        blocks += _list_up(words, made.name, list(made.clearance.ways))
    return blocks


def _list_up(words: FamilyWords, title: str, points: list[Caution]) -> list[Block]:
    if not points:
        return []
    return [Heading(text=title, level=3), Bullets(items=tuple(_cite(words, point) for point in points))]


def _cite(words: FamilyWords, point: Caution) -> Text:
    """What is said, with who says so and how sure that is; once where both are one word."""
    said = point.source if point.source == point.how_sure else f"{point.source}; {point.how_sure}"
    return words.mark("points.caution", text=point.text.rstrip("."), source=said)
