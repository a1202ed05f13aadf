"""The consent record: what was talked about, what was decided, and who was there. Refusing and waiting are outcomes."""

from estimator.base.formats import name_currency
from estimator.estimate.compare import ComparisonRow
from estimator.estimate.result import Estimate
from estimator.inputs.options.model import Option
from estimator.sheets.base.blocks import (
    Block,
    Heading,
    KeepTogether,
    Sheet,
    SignLine,
    TableBlock,
    TextSpan,
    Tick,
    Ticks,
    WriteLine,
)
from estimator.sheets.base.context import SheetJob
from estimator.sheets.base.layout import FamilyWords, make_patient_sheet
from estimator.sheets.base.prose import make_paragraph, mark_up
from estimator.sheets.base.stated import tell_excluded_in_jaw, write_both_jaws, write_room_notes
from estimator.sheets.option_sheet.choices import list_families, write_choice
from estimator.sheets.option_sheet.summary import write_option_sheet

_WIDTHS = (56, 24, 20)
_TRUE = ("heard", "waiting", "cost", "terms", "plain", "questions", "home", "aloud", "copy")


def write_consent(job: SheetJob) -> Sheet:
    """The record that belongs to the option sheet of the same number."""
    words = FamilyWords(job=job, family="consent")
    mark = write_option_sheet(job).mark
    blocks: list[Block] = [
        make_paragraph(words.mark("belongs", number=job.number, mark=mark), small=True),
        words.tell("intro"),
        *_write_about(words),
        *_write_choices(words),
        *_write_risks(words),
        *_write_talk(words),
        *_write_cost(words),
        *_write_terms(words),
        *_write_decision(words),
        *_write_truth(words),
        *_write_signatures(words),
    ]
    name = words.say("record", number=job.number)
    return make_patient_sheet(job, title=words.say("title"), name=name, blocks=blocks, prices=True)


def _write_about(words: FamilyWords) -> list[Block]:
    job = words.job
    start = "opening.last_teeth" if job.jaw.jaw.extractions else "opening.no_teeth"
    told = (job.mark(start, jaw=job.jaw_name), words.mark("about.purpose"))
    return [words.head("about.title"), make_paragraph(*told, words.mark("about.sheet", number=job.number))]


def _write_choices(words: FamilyWords) -> list[Block]:
    blocks: list[Block] = [words.head("choices.title"), words.tell("choices.intro")]
    choices = list_families(words.job)
    return blocks + [KeepTogether(blocks=tuple(write_choice(words.job, name, family))) for name, family in choices]


def _write_risks(words: FamilyWords) -> list[Block]:
    """Of surgery where implants have to be placed; of any denture; of waiting."""
    jaw = words.job.jaw.jaw
    told = [words.tell("risks.present")] if jaw.implants_present else [words.tell("risks.surgery", f"risks.{jaw.arch}")]
    teeth = [words.tell("risks.teeth")] if jaw.extractions else []
    always = (words.tell("risks.denture"), words.tell("risks.waiting"), _tell_call(words))
    return [words.head("risks.title"), *told, *teeth, *always]


def _write_talk(words: FamilyWords) -> list[Block]:
    """The cautions of the case, each to be ticked when it was talked about."""
    estimates = words.job.jaw.estimates
    cautions = [c.patient_text for made in estimates for c in made.clearance.cautions if c.patient_text]
    texts = tuple(dict.fromkeys(cautions))
    points = [Ticks(items=tuple(Tick(text=(TextSpan(text=text),)) for text in texts))] if texts else []
    nothing = [] if texts else [words.tell("talk.none")]
    return [words.head("talk.title"), *nothing, *points, WriteLine(label=words.say("talk.more"), more=1)]


def _write_cost(words: FamilyWords) -> list[Block]:
    job = words.job
    currency = name_currency(job.estimate.practice.fees.currency, job.locale)
    later = words.say("cost.later", years=job.statement.years)
    head = (job.say("numbers_again.money_head", currency=currency), words.say("cost.first"), later)
    table = TableBlock(
        head=head, rows=tuple(_write_cost_row(job, row) for row in job.rows), widths=(43, 19, 38), small=True
    )
    return [
        KeepTogether(blocks=(words.head("cost.title"), table)),
        make_paragraph(tell_excluded_in_jaw(job), words.mark("cost.again", number=job.number)),
        *write_both_jaws(job),
        *write_room_notes(job, job.stated.list_room_notes()),
    ]


def _write_cost_row(job: SheetJob, row: ComparisonRow) -> tuple[str, ...]:
    if row.first_cost is None:
        return (row.patient_name, job.say("time.nothing"), job.say("time.nothing"))
    later = job.say("numbers_again.not_estimated")
    if row.upkeep:
        low, expected, high = (job.writer.about(amount) for amount in row.upkeep)
        later = job.say("lines.about", amount=expected, low=low, high=high)
    return (row.patient_name, job.money(row.first_cost, exact=True), later)


def _write_terms(words: FamilyWords) -> list[Block]:
    """Guarantee and remake of each option; what ends it; who pays for a lost implant. A line where nothing is said."""
    terms = words.job.estimate.practice.settings.terms
    blocks: list[Block] = [words.head("terms.title"), words.tell("terms.intro")]
    for made in words.job.jaw.estimates:
        told = (
            _tell_or_leave_open(words, "guarantee", terms.find_guarantee(made.key)),
            _tell_or_leave_open(words, "remake", terms.find_remake(made.key)),
        )
        blocks.append(KeepTogether(blocks=(Heading(text=made.patient_name, level=3), *told)))
    blocks.append(_tell_or_leave_open(words, "void", terms.void))
    if _has_implants(words.job):
        blocks.append(_tell_or_leave_open(words, "implant", terms.implant_fails))
    return blocks


def _has_implants(job: SheetJob) -> bool:
    options: dict[str, Option] = {option.key: option for option in job.estimate.practice.options}
    estimates: tuple[Estimate, ...] = job.jaw.estimates
    return any(options[made.key].on_implants for made in estimates)


def _tell_or_leave_open(words: FamilyWords, key: str, text: str) -> Block:
    if text:
        return make_paragraph(words.mark(f"terms.{key}", text=text))
    return WriteLine(label=words.say(f"terms.{key}_open"))


def _write_decision(words: FamilyWords) -> list[Block]:
    names = tuple(Tick(text=mark_up("{name}", name=name)) for name, _ in list_families(words.job))
    further = tuple(Tick(text=words.mark(f"decide.{key}"), line=True) for key in ("later", "other"))
    return [KeepTogether(blocks=(words.head("decide.title"), Ticks(items=names + further)))]


def _write_truth(words: FamilyWords) -> list[Block]:
    ticks = words.tick(*(f"true.{key}" for key in _TRUE))
    return [
        KeepTogether(blocks=(words.head("true.title"), ticks)),
        WriteLine(label=words.say("true.open"), more=1),
        words.tell("stop.law"),
    ]


def _tell_call(words: FamilyWords) -> Block:
    """The number that is answered when the practice is closed, or a line for it."""
    phone = words.job.estimate.practice.settings.emergency_phone
    if phone:
        return make_paragraph(words.mark("call.closed", phone=phone))
    return WriteLine(label=words.say("call.closed_open"))


def _write_signatures(words: FamilyWords) -> list[Block]:
    say = words.say
    when = (say("sign.date"), say("sign.time"))
    reader = (say("sign.interpreter"), say("sign.language"), say("sign.how"))
    # What may still be changed stands on the page that is signed: no one signs a page of lines alone.
    return [
        KeepTogether(
            blocks=(
                words.tell("stop.text"),
                words.head("sign.title"),
                words.tell("sign.why"),
                SignLine(labels=(say("sign.patient"), *when), widths=_WIDTHS),
                SignLine(labels=(say("sign.authority"),), widths=(1,)),
                SignLine(labels=(say("sign.clinician"), *when), widths=_WIDTHS),
                SignLine(labels=reader, widths=(46, 22, 32)),
                SignLine(labels=(say("sign.witness"), *when), widths=_WIDTHS),
            )
        )
    ]
