"""What the sheets of the set have in common: their texts by family, head, foot, and how they are put together."""

from dataclasses import dataclass

from estimator.base.formats import format_day
from estimator.estimate.result import Estimate
from estimator.inputs.options.model import Option
from estimator.sheets.base.blocks import Block, Bullets, Heading, NameLine, Paragraph, Sheet, Text, Tick, Ticks
from estimator.sheets.base.context import SheetJob
from estimator.sheets.base.letterhead import write_letterhead
from estimator.sheets.base.prose import make_paragraph, mark_up
from estimator.sheets.base.wording_approval import Approval


@dataclass(frozen=True, slots=True, kw_only=True)
class FamilyWords:
    """The texts of one sheet: those of its family in the wording of the job."""

    job: SheetJob
    family: str

    def say(self, key: str, **values: object) -> str:
        """A text, plain."""
        return self.job.wording.say(f"{self.family}.{key}", **values)

    def mark(self, key: str, **values: object) -> Text:
        """A text with its bold parts."""
        return mark_up(self.job.wording.get(f"{self.family}.{key}"), **values)

    def head(self, key: str, level: int = 2, **values: object) -> Heading:
        """A heading."""
        return Heading(text=self.say(key, **values), level=level)

    def tell(self, *keys: str, small: bool = False) -> Paragraph:
        """Texts as one paragraph."""
        return make_paragraph(*(self.mark(key) for key in keys), small=small)

    def list_up(self, *keys: str) -> Bullets:
        """Texts as a list."""
        return Bullets(items=tuple(self.mark(key) for key in keys))

    def tick(self, *keys: str, lines: tuple[str, ...] = ()) -> Ticks:
        """Texts as boxes to tick; those in `lines` leave a line to write on."""
        return Ticks(items=tuple(Tick(text=self.mark(key), line=key in lines) for key in keys))


def make_patient_sheet(
    job: SheetJob, *, title: str, name: str, blocks: list[Block], prices: bool = False, about: str | None = None
) -> Sheet:
    """A sheet for the patient: who made it, for whom, the title, the quiet marks at the foot.

    `about` is what it is about where that is not the job's jaw.
    """
    head = [*write_head(job, about), Heading(text=title, level=1)]
    return _make_sheet(job, title, "  ·  ".join(write_footer(job, name, prices=prices)), [*head, *blocks])


def make_office_sheet(job: SheetJob, *, title: str, name: str, blocks: list[Block]) -> Sheet:
    """A sheet for the office or the laboratory: no name of the patient, no mark of approval."""
    practice = job.estimate.practice.settings.practice_name
    head: list[Block] = [make_paragraph(mark_up("{practice}", practice=practice), small=True)] if practice else []
    return _make_sheet(job, title, name, [*head, Heading(text=title, level=1), *blocks])


def _make_sheet(job: SheetJob, title: str, footer: str, blocks: list[Block]) -> Sheet:
    return Sheet(
        title=title,
        number=job.number,
        author=job.estimate.practice.settings.practice_name or "Overdenture Options",
        language=job.wording.language + "-" + job.locale.partition("_")[2],
        created=job.day,
        footer=footer,
        of_word=job.say("of"),
        blocks=tuple(blocks),
    )


def write_head(job: SheetJob, about: str | None = None) -> list[Block]:
    """The practice and the day; the patient, the birth date and the jaw, or what else it is about."""
    patient = job.estimate.case.patient
    blocks: list[Block] = [write_letterhead(job)]
    if patient.name:
        born = (job.say("born", day=format_day(patient.born, job.locale)),) if patient.born else ()
        parts = (*born, job.jaw_name if about is None else about)
        note = "".join(f"·  {part}  " for part in parts if part).rstrip()
        blocks.append(NameLine(label=job.say("for"), name=patient.name, note=note))
    return blocks


def list_made(job: SheetJob) -> tuple[tuple[Estimate, Option], ...]:
    """The options in question, each with its data: the one agreed on, or all that apply."""
    options = {option.key: option for option in job.estimate.practice.options}
    made = tuple((estimate, options[estimate.key]) for estimate in job.jaw.estimates)
    return tuple(pair for pair in made if pair[0].key == job.chosen) or made


def write_footer(job: SheetJob, name: str, *, prices: bool = True) -> list[str]:
    """What stands on every page of a patient's sheet: its name, and the quiet marks."""
    parts = [name]
    if prices and job.estimate.practice.fees.invented:
        parts.append(job.say("invented"))
    parts.append(_tell_approval(job))
    return [*parts, _tell_translation(job)] if job.wording.is_translation else parts


def _tell_approval(job: SheetJob) -> str:
    settings = job.estimate.practice.settings
    if job.approval is Approval.HOLDS and settings.approved_on:
        return job.say("approved", who=settings.approved_by, when=format_day(settings.approved_on, job.locale))
    return job.say("not_approved" if job.approval is Approval.NONE else "approval_lapsed")


def _tell_translation(job: SheetJob) -> str:
    review = job.estimate.practice.settings.find_review(job.wording.language, job.wording.fingerprint)
    if review is None:
        return job.say("translation.not_reviewed")
    who = ", ".join(part for part in (review.reviewed_by, review.qualification) if part)
    return job.say("translation.reviewed", who=who, when=format_day(review.reviewed_on, job.locale))
