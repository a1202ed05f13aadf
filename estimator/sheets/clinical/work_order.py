"""The laboratory work order: an option a page, what is known filled in, what is not known left blank."""

from decimal import Decimal

from estimator.base.formats import format_day
from estimator.estimate.clearance.layers import say_finding
from estimator.estimate.clearance.sites import SiteCheck
from estimator.estimate.clearance.verdict import Verdict
from estimator.estimate.result import Estimate
from estimator.inputs.case.model import Site
from estimator.inputs.options.model import Attachments, Option
from estimator.sheets.base.blocks import Block, Heading, KeepTogether, PageBreak, Sheet, SignLine, TableBlock, WriteLine
from estimator.sheets.base.layout import FamilyWords, list_made, make_office_sheet
from estimator.sheets.base.prose import make_paragraph

_FILL = ("system", "shade", "material", "bite", "enclosed", "due", "price")


def make_work_order(words: FamilyWords) -> Sheet:
    """The whole sheet."""
    job = words.job
    jaw = job.wording.get(f"words.arch.office_{job.jaw.jaw.arch}")
    case = words.mark("case", number=job.number, jaw=jaw, day=format_day(job.day, job.locale))
    blocks: list[Block] = [make_paragraph(case, small=True)]
    made = list_made(job)
    if not made:
        blocks.append(words.tell("nothing"))
    for index, (estimate, option) in enumerate(made):
        blocks += [PageBreak()] if index else []
        blocks += _write_order(words, estimate, option)
    return make_office_sheet(job, title=words.say("title"), name=words.say("sheet", number=job.number), blocks=blocks)


def _write_order(words: FamilyWords, made: Estimate, option: Option) -> list[Block]:
    fill = tuple(WriteLine(label=words.say(f"fill.{key}")) for key in _FILL if key != "system" or option.on_implants)
    sign = SignLine(labels=(words.say("fill.clinician"), words.say("fill.date")), widths=(70, 30))
    return [
        Heading(text=made.name, level=2),
        _write_what(words, option),
        *(_write_sites(words, made) if option.on_implants else []),
        *_write_stack(words, made, option),
        *_write_told(words, option),
        KeepTogether(
            blocks=(words.head("fill.title", 3), *fill, WriteLine(label=words.say("fill.remarks"), more=1), sign)
        ),
    ]


def _write_what(words: FamilyWords, option: Option) -> Block:
    jaw = words.job.jaw.jaw
    kept = "convert" if option.find_route(jaw).startswith("convert") else "new"
    accepted = jaw.measurement is not None and jaw.measurement.set_up_accepted
    set_up = "what.set_up_accepted" if accepted else "what.set_up_open"
    return words.tell(f"what.{kept}", f"what.opposing_{jaw.opposing}", set_up)


def _write_sites(words: FamilyWords, made: Estimate) -> list[Block]:
    """A row an implant: what was measured there, and the abutment height that the check chose."""
    jaw = words.job.jaw.jaw
    checks = {check.tooth: check for check in made.clearance.sites}
    head = tuple(words.say(f"sites.head_{column}") for column in ("site", "room", "tissue", "collar", "lean", "place"))
    unserved = made.clearance.levels.unserved if made.clearance.levels else ()
    none = dict.fromkeys(unserved, words.say("sites.none_listed"))
    rows = [_write_site(site, checks.get(site.tooth), none.get(site.tooth)) for site in jaw.sites]
    rows += [("",) * len(head)] * max(0, jaw.implants - len(rows))
    table = TableBlock(head=head, rows=tuple(rows), widths=(9, 16, 18, 20, 18, 19), small=True)
    return [KeepTogether(blocks=(words.head("sites.title", 3), table, words.tell("sites.note", small=True)))]


def _write_site(site: Site, check: SiteCheck | None, no_height: str | None) -> tuple[str, ...]:
    leans = " / ".join(_show(lean) or "?" for lean in (site.angle_md_deg, site.angle_fl_deg))
    return (
        site.tooth,
        f"{check.room_mm:.2f}" if check else "",
        _show(site.tissue_mm),
        no_height or _show(check.collar_mm if check else None),
        "" if leans == "? / ?" else leans,
        _show(site.position_mm),
    )


def _show(number: Decimal | None) -> str:
    return "" if number is None else f"{number.normalize():f}".replace("-", "\N{MINUS SIGN}")


def _write_stack(words: FamilyWords, made: Estimate, option: Option) -> list[Block]:
    """The parts from the tissue up; what is missing where there is not enough room."""
    clearance = made.clearance
    parts = option.stack
    rows = tuple((part.name, f"{part.figure.low:.2f}", f"{part.figure.value:.2f}") for part in parts)
    head = tuple(words.say(f"stack.head_{column}") for column in ("part", "least", "usual"))
    blocks: list[Block] = [
        words.head("stack.title", 3),
        TableBlock(head=head, rows=rows, widths=(60, 20, 20), small=True),
    ]
    if clearance.limiting_site and clearance.space_mm is not None:
        values = {"site": clearance.limiting_site, "mm": f"{clearance.space_mm:.2f}"}
        blocks.append(make_paragraph(words.mark("stack.tightest", **values)))
    if clearance.verdict is not Verdict.FITS:
        blocks.append(make_paragraph(words.mark("stack.finding", finding=say_finding(clearance.layers, patient=False))))
    return [KeepTogether(blocks=tuple(blocks))]


def _write_told(words: FamilyWords, option: Option) -> list[Block]:
    """What the laboratory cannot know by itself."""
    if not option.on_implants:
        return []
    jaw, evidence = words.job.jaw.jaw, words.job.estimate.practice.evidence
    bar = option.attachments is Attachments.ON_BAR
    count = jaw.bar_attachments if bar else jaw.implants
    told = [words.mark("told.light", newton=_show(evidence.get("retention_light").value))]
    if count >= evidence.get("retention_many").value:
        told.append(words.mark("told.many", count=count))
    if bar:
        told.append(words.mark("told.attachments", count=count))
        told.append(words.mark("told.space", mm=_show(evidence.get("bar_cleaning_space").value)))
    told.append(words.mark("told.resin", mm=_show(evidence.get("resin_over_housing").low)))
    rest = words.mark("told.rest")
    pick_up = () if bar else (words.mark("told.relieve"),)
    return [KeepTogether(blocks=(words.head("told.title", 3), make_paragraph(*told, *pick_up, rest)))]
