"""The self-pay estimate on paper (45 CFR 149.610): each element the rule asks for, provider by provider."""

from dataclasses import replace

from estimator.inputs.case import Patient
from estimator.inputs.legal import LegalText
from estimator.inputs.profile import Provider
from estimator.quote.self_pay import ExpectedItem, ProviderGroup, SelfPayEstimate, SeparateItem, list_missing
from estimator.sheets.blocks import Block, Bullets, Heading, Sheet, Table, Text, Together
from estimator.sheets.frame import make_patient_sheet
from estimator.sheets.option_sheet import SheetJob
from estimator.sheets.paper_words import DASH, PaperWords, open_paper
from estimator.sheets.papers import NO_PAPERS
from estimator.sheets.prose import list_words, make_paragraph, mark_up


def write_self_pay(job: SheetJob) -> Sheet:
    """The whole sheet; what is still missing is said, and its place says so too."""
    made = (job.papers or NO_PAPERS).get_self_pay()
    words = open_paper(
        _put_patient(job, made.patient),
        "self_pay_sheet",
        day=made.issued_on,
        currency=made.currency,
        number=made.number,
    )
    blocks: list[Block] = [
        Bullets(items=_list_facts(words, made)),
        *_write_total(words, made),
        *(block for group in made.groups for block in _write_group(words, group)),
        *_write_separate(words, made),
        *_write_disclaimers(words, made),
    ]
    name = words.say("sheet", title=made.title, number=made.number, version=made.version)
    return make_patient_sheet(words.job, title=made.title, name=name, blocks=blocks, prices=True, about="")


def _put_patient(job: SheetJob, patient: Patient) -> SheetJob:
    """The job for the patient that the estimate was issued to, as it was written then."""
    estimate = job.estimate
    return replace(job, estimate=replace(estimate, case=replace(estimate.case, patient=patient)))


def _list_facts(words: PaperWords, made: SelfPayEstimate) -> tuple[Text, ...]:
    missing = words.say("missing")
    born = words.day(made.patient.born) if made.patient.born else missing
    booked = words.day(made.service_on) if made.service_on else words.say("not_booked")
    facts = [
        words.mark("number", number=made.number, version=made.version, day=words.day(made.issued_on)),
        words.mark("patient", name=made.patient.name or missing, born=born),
        words.mark("service", service=made.primary_service or missing),
        words.mark("service_on", day=booked),
    ]
    return tuple(facts)


def _write_total(words: PaperWords, made: SelfPayEstimate) -> list[Block]:
    """What each provider is expected to charge, and all together."""
    rows = [(group.provider.name or group.provider.key, words.amount(group.total)) for group in made.groups]
    rows.append((words.say("total"), words.amount(made.total)))
    head = (words.say("head_provider"), words.say("head_total", currency=words.currency_name))
    table = Table(head=head, rows=tuple(rows), widths=(70, 30), bold_last=True)
    blocks: list[Block] = [Together(blocks=(words.head("total_title"), table))]
    return [*blocks, words.tell("incomplete")] if list_missing(made) else blocks


def _write_group(words: PaperWords, group: ProviderGroup) -> list[Block]:
    provider = group.provider
    title = Heading(text=words.say("provider", name=provider.name or provider.key), level=2)
    head = tuple(words.say(f"head_{column}") for column in ("item", "diagnosis", "service", "day", "charge"))
    rows = [_make_row(words, item) for item in group.items]
    rows.append((words.say("total"), "", "", "", words.amount(group.total)))
    table = Table(
        head=head, rows=tuple(rows), widths=(34, 15, 15, 18, 18), left=(0, 1, 2, 3), bold_last=True, small=True
    )
    return [Together(blocks=(title, make_paragraph(*_say_provider(words, provider)))), table]


def _say_provider(words: PaperWords, provider: Provider) -> tuple[Text, ...]:
    """Numbers and place of a provider; what is not known yet says so."""
    missing = words.say("missing")
    names = ("npi", "tin", "state", "place")
    return tuple(words.mark(f"provider_{name}", value=getattr(provider, name) or missing) for name in names)


def _make_row(words: PaperWords, item: ExpectedItem) -> tuple[str, ...]:
    name = item.description or words.say("missing")
    shown = words.say("times", quantity=item.quantity, name=name) if item.quantity > 1 else name
    return (
        shown,
        list_words(item.diagnosis_codes) or DASH,
        item.service_code or words.say("missing"),
        words.day(item.expected_on) if item.expected_on else DASH,
        words.amount(item.expected_charge),
    )


def _write_separate(words: PaperWords, made: SelfPayEstimate) -> list[Block]:
    """What is booked separately, in a list of its own with its own words."""
    if not made.separate:
        return []
    items = Bullets(items=tuple(_say_separate(words, item) for item in made.separate))
    return [Together(blocks=(words.head("separate"), *_write_text(words, made.separate_disclaimer), items))]


def _say_separate(words: PaperWords, item: SeparateItem) -> Text:
    key = "separate_item_by" if item.provider else "separate_item"
    return words.mark(key, item=item.description, provider=item.provider)


def _write_disclaimers(words: PaperWords, made: SelfPayEstimate) -> list[Block]:
    first, *more = (_write_text(words, text) for text in made.disclaimers)
    return [Together(blocks=(words.head("rights"), *first)), *(Together(blocks=blocks) for blocks in more)]


def _write_text(words: PaperWords, text: LegalText) -> tuple[Block, ...]:
    """A text the rule asks for, and below it where it comes from and who has read it."""
    reviewed = words.mark("not_reviewed", source=text.source)
    if text.reviewed and text.reviewed_on is not None:
        reviewed = words.mark("reviewed", source=text.source, who=text.reviewed_by, day=words.day(text.reviewed_on))
    return (make_paragraph(mark_up("{text}", text=text.text)), make_paragraph(reviewed, small=True))
