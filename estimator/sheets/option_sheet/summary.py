"""The option sheet of one jaw: a summary of two pages, then every line, what comes later, and the sources."""

from dataclasses import replace
from decimal import Decimal
from functools import partial

from estimator.base.formats import format_count, format_day, format_mm, name_currency
from estimator.estimate.clearance.layers import has_room_everywhere
from estimator.estimate.clearance.verdict import Clearance, Verdict
from estimator.estimate.compare import ComparisonRow
from estimator.pictures.base.rows import Picture
from estimator.pictures.base.ruler import paper_scale
from estimator.pictures.options.money import draw_money
from estimator.pictures.options.option_rows import find_measured
from estimator.pictures.options.room import draw_room
from estimator.sheets.base.blocks import Block, Heading, KeepTogether, NameLine, PageBreak, Sheet, TableBlock, Text
from estimator.sheets.base.content_hash import mark_sheet
from estimator.sheets.base.context import SheetJob
from estimator.sheets.base.figures import make_figures
from estimator.sheets.base.layout import write_footer
from estimator.sheets.base.letterhead import write_letterhead
from estimator.sheets.base.prose import list_words, make_paragraph, mark_up
from estimator.sheets.base.stated import list_moments, tell_excluded_in_jaw
from estimator.sheets.option_sheet.choices import list_families
from estimator.sheets.option_sheet.decision_aid import check_aid, check_equal_detail, write_reading_level
from estimator.sheets.option_sheet.details import write_details

_POINTS_PER_MM = 72 / 25.4


def write_option_sheet(job: SheetJob) -> Sheet:
    """The whole sheet as blocks."""
    title = job.say("opening.title", jaw=job.jaw_name)
    settings, items = job.estimate.practice.settings, job.estimate.practice.decision_aid
    check_equal_detail(job.wording, [family for _, family in list_families(job)])
    turn = () if job.runs_on else (PageBreak(),)
    blocks = (*_write_opening(job, title), *_write_room(job), *turn, *_write_time(job), *_write_cost(job),
              *_write_terms(job), *turn, *write_details(job))  # fmt: skip
    sheet = Sheet(
        title=title,
        number=job.number,
        author=settings.practice_name or "Overdenture Options",
        language=job.locale.replace("_", "-"),
        created=job.day,
        footer="  ·  ".join(write_footer(job, job.say("sheet", number=job.number))),
        of_word=job.say("of"),
        blocks=(*blocks, *write_reading_level(job, blocks)),
    )
    check_aid(sheet.blocks, items, job.wording)
    mark = mark_sheet(sheet)
    told = make_paragraph(mark_up(job.wording.get("decision_aid.mark"), mark=mark), small=True)
    return replace(sheet, mark=mark, blocks=(*sheet.blocks[:-1], KeepTogether(blocks=(sheet.blocks[-1], told))))


def _write_opening(job: SheetJob, title: str) -> list[Block]:
    patient = job.estimate.case.patient
    blocks: list[Block] = [write_letterhead(job)]
    if patient.name:
        blocks.append(NameLine(label=job.say("for"), name=patient.name))
    start = "opening.last_teeth" if job.jaw.jaw.extractions else "opening.no_teeth"
    choices = job.mark_count("opening.choices", len(job.rows))
    told = [make_paragraph(job.mark(start, jaw=job.jaw_name), choices), *_tell_gravest(job)]
    return [*blocks, Heading(text=title, level=1), *told]


def _tell_gravest(job: SheetJob) -> list[Block]:
    """The gravest cautions of these choices, before anything else is said of them."""
    found = [caution for caution in job.stated.list_gravest() if caution.patient_text]
    marks = [job.mark("opening.gravest", text=one.patient_text, source=one.source) for one in found]
    return [make_paragraph(*marks, small=True)] if marks else []


def _write_room(job: SheetJob) -> list[Block]:
    measured = find_measured(job.rows)
    why = [] if job.stated.list_gravest() else [job.mark("room.why")]  # what is grave has the first page's lines
    sentences = [*why, *(_tell_room(job, measured) if measured else _tell_not_measured(job))]
    picture, scale = _draw_room(job, measured)
    width = (picture.span[1] - picture.span[0]) * scale
    note = job.mark(f"room.scale_{scale:g}".replace(".5", "_5"))
    return [
        Heading(text=job.say("room.title"), level=2),
        make_paragraph(*sentences),
        KeepTogether(
            blocks=(
                *make_figures(job, picture, _describe_room(job, measured), width_mm=width),
                make_paragraph(note, small=True),
            )
        ),
    ]


def _draw_room(job: SheetJob, measured: Clearance | None) -> tuple[Picture, float]:
    """The picture and how many times life size it is; drawn twice, because its width follows from its span."""
    draw = partial(
        draw_room,
        [job.writer.room_row(row) for row in job.rows],
        job.sizes,
        room_mm=measured.space_mm if measured else None,
        error_mm=(measured.error_mm if measured else None) or Decimal(0),
        words=job.writer.key_words(),
    )
    start, end = draw().span
    scale = paper_scale((start, end), job.text_width_mm)
    return draw(drawn_width=(end - start) * scale * _POINTS_PER_MM), scale


def _tell_room(job: SheetJob, measured: Clearance) -> list[Text]:
    measurement = job.jaw.jaw.measurement
    if measurement is None or measured.space_mm is None or measured.error_mm is None:
        return []
    words = {Decimal("0.5"): "room.half", Decimal(1): "room.one"}
    known = words.get(measured.error_mm.normalize())
    error = job.say(known) if known else format_mm(measured.error_mm, job.locale, short=True)
    space = format_mm(measured.space_mm, job.locale, short=True)
    told = [job.mark(f"room.method_{measurement.method}"), job.mark("room.have", mm=space, error=error)]
    told += _tell_verdicts(job)
    return [*told, job.mark("room.provisional")] if measured.provisional else told


def _tell_not_measured(job: SheetJob) -> list[Text]:
    """Without a height other layers can still rule an option out."""
    ruled_out = _list_names(job, Verdict.DOES_NOT_FIT)
    if not ruled_out:
        return [job.mark("room.not_yet")]
    return [job.mark("room.not_yet_height"), job.mark("room.does_not_fit", names=list_words(ruled_out))]


def _tell_verdicts(job: SheetJob) -> list[Text]:
    """Which fit, which are close, which do not fit, which are not measured; the picture says why of each."""
    rows = [(row, row.clearance) for row in job.rows if row.clearance]
    if len(rows) > 1 and all(has_room_everywhere(clearance.layers) for _, clearance in rows):
        tightest = min(rows, key=lambda row: row[1].margin_mm or Decimal(0))[0]
        return [job.mark_count("room.all_fit", len(rows)), job.mark("room.least_room", name=tightest.patient_name)]
    order = (Verdict.FITS, Verdict.TIGHT, Verdict.DOES_NOT_FIT, Verdict.NOT_MEASURED)
    told = [(verdict, _list_names(job, verdict)) for verdict in order]
    said = [job.mark(f"room.{verdict}", names=list_words(names)) for verdict, names in told if names]
    return [*said, job.mark("room.make_room")] if _list_names(job, Verdict.DOES_NOT_FIT) else said


def _list_names(job: SheetJob, verdict: Verdict) -> tuple[str, ...]:
    return tuple(row.patient_name for row in job.rows if row.clearance and row.clearance.verdict is verdict)


def _describe_room(job: SheetJob, measured: Clearance | None) -> str:
    """The picture of the room in words: its finding and every number."""
    if measured is None or measured.space_mm is None:
        parts = [job.say("room.alt_not_measured", jaw=job.jaw_name)]
    else:
        parts = [
            job.say("room.alt_measured", jaw=job.jaw_name, mm=format_mm(measured.space_mm, job.locale, short=True))
        ]
    for row in job.rows:
        finding = job.writer.find_room(row).rstrip(".")
        name = job.writer.name(row)
        if row.clearance is None:
            parts.append(job.say("room.alt_none", name=name, finding=finding))
        else:
            least, usual = (job.writer.length(v) for v in (row.clearance.least_mm, row.clearance.required_mm))
            parts.append(job.say("room.alt_row", name=name, least=least, usual=usual, finding=finding))
    return " ".join(parts)


def _write_time(job: SheetJob) -> list[Block]:
    head = tuple(job.say(f"time.head_{column}") for column in ("choice", "trips", "teeth", "without"))
    table = TableBlock(
        head=head, rows=tuple(_write_time_row(job, row) for row in job.rows), widths=(53.5, 10, 19.5, 17)
    )
    return [Heading(text=job.say("time.title"), level=2), table]


def _write_time_row(job: SheetJob, row: ComparisonRow) -> tuple[str, ...]:
    nothing = job.say("time.nothing")
    if row.weeks_to_teeth is None or row.weeks_without_teeth is None:
        return (row.patient_name, nothing if row.reason else job.say("time.no_trips"), nothing, nothing)
    weeks = row.weeks_without_teeth
    without = job.say_count("time.weeks", weeks.normalize(), weeks=format_count(weeks, job.locale))
    final = job.say("time.teeth_week", week=format_count(row.weeks_to_teeth, job.locale))
    return (row.patient_name, str(row.trips), final, without)


def _write_cost(job: SheetJob) -> list[Block]:
    currency = name_currency(job.estimate.practice.fees.currency, job.locale)
    rows = [job.writer.money_row(row) for row in job.rows]
    picture = draw_money(
        rows, replace(job.sizes, bar=job.body * 0.8), axis=currency, words=job.writer.key_words(), alone=True
    )
    told = [job.say("cost.alt_row", name=r.name, finding=r.finding, foot=r.foot or "–") for r in rows]
    alt = job.say("cost.alt", currency=currency, years=job.estimate.years, rows=" ".join(told))
    intro = [job.mark("cost.range")] + ([job.mark("cost.set_back")] if any(r.set_aside for r in rows) else [])
    title = job.say_count("cost.title", job.estimate.years, years=job.estimate.years)
    return [Heading(text=title, level=2), make_paragraph(*intro), *make_figures(job, picture, alt)]


def _write_terms(job: SheetJob) -> list[Block]:
    fees, parts = job.estimate.practice.fees, list_moments(job)
    pay = job.mark_count("terms.pay_at", len(parts), parts=list_words(parts)) if parts else job.mark("terms.pay_ask")
    day = format_day(fees.price_date, job.locale)
    prices = job.mark("terms.prices_invented" if fees.invented else "terms.prices", day=day)
    ranged = any(offer.price.middle or offer.price.ends for offer in job.stated.offers)
    ranges = [job.mark("terms.ranges")] if ranged else []
    return [
        make_paragraph(pay, tell_excluded_in_jaw(job), *ranges, prices),
        make_paragraph(job.mark("terms.sources"), small=True),
    ]
