"""The order list of parts: generic, by site, with the abutment heights of the check; blank where nothing is known."""

from estimator.base.formats import format_day
from estimator.estimate.clearance.verdict import Clearance
from estimator.estimate.result import Estimate
from estimator.inputs.options.model import Attachments, Option
from estimator.sheets.base.blocks import Block, Heading, KeepTogether, Sheet, SignLine, TableBlock, WriteLine
from estimator.sheets.base.layout import FamilyWords, list_made, make_office_sheet
from estimator.sheets.base.prose import make_paragraph

_Row = tuple[str, ...]


def make_parts_order(words: FamilyWords) -> Sheet:
    """The whole sheet."""
    job = words.job
    jaw = job.wording.get(f"words.arch.office_{job.jaw.jaw.arch}")
    case = words.mark("case", number=job.number, jaw=jaw, day=format_day(job.day, job.locale))
    blocks: list[Block] = [
        make_paragraph(case, small=True),
        words.tell("check", "blank"),
        WriteLine(label=words.say("maker")),
    ]
    for made, option in list_made(job):
        blocks.append(KeepTogether(blocks=(Heading(text=made.name, level=2), _write_parts(words, made, option))))
    blocks.append(SignLine(labels=(words.say("ordered"), words.say("date")), widths=(70, 30)))
    return make_office_sheet(job, title=words.say("title"), name=words.say("sheet", number=job.number), blocks=blocks)


def _write_parts(words: FamilyWords, made: Estimate, option: Option) -> Block:
    if not option.on_implants:
        return words.tell("none")
    head = tuple(words.say(f"head_{column}") for column in ("part", "site", "size", "count", "article"))
    rows = _list_abutments(words, made, option) + _list_further(words, option)
    return TableBlock(head=head, rows=rows, widths=(41, 9, 19, 11, 20), left=(0, 1, 2, 4), small=True)


def _list_abutments(words: FamilyWords, made: Estimate, option: Option) -> tuple[_Row, ...]:
    """One an implant, at the height that the check chose; its site is blank where it is not known."""
    jaw = words.job.jaw.jaw
    name = words.say("bar_abutment" if option.attachments is Attachments.ON_BAR else "abutment")
    teeth = [site.tooth for site in jaw.sites]
    teeth += [""] * max(0, jaw.implants - len(teeth))
    return tuple((name, tooth, _say_height(words, made.clearance, tooth), "1", "") for tooth in teeth)


def _say_height(words: FamilyWords, clearance: Clearance, tooth: str) -> str:
    """The height chosen, that none is listed for the site, or nothing where it is not known."""
    if clearance.levels is not None and tooth in clearance.levels.unserved:
        return words.say("none_listed")
    height = next((check.collar_mm for check in clearance.sites if check.tooth == tooth), None)
    return "" if height is None else words.say("mm", mm=f"{height.normalize():f}")


def _list_further(words: FamilyWords, option: Option) -> tuple[_Row, ...]:
    jaw, evidence = words.job.jaw.jaw, words.job.estimate.practice.evidence
    bar = option.attachments is Attachments.ON_BAR
    count = str(jaw.bar_attachments if bar else jaw.implants)
    light = words.say("newton", newton=f"{evidence.get('retention_light').value.normalize():f}")
    implants, everywhere = str(jaw.implants), words.say("sites")
    on_bar = ((words.say("bar"), "", "", "1", ""), (words.say("bar_attachment"), "", "", count, "")) if bar else ()
    return (
        *on_bar,
        (words.say("housing"), "", "", count, ""),
        (words.say("light"), "", light, count, ""),
        (words.say("insert"), "", "", "", ""),
        (words.say("coping"), everywhere, "", implants, ""),
        (words.say("analog"), everywhere, "", implants, ""),
    )
