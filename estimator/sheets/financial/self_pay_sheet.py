"""The self-pay estimate on paper (45 CFR 149.610): each element the rule asks for, provider by provider."""

from collections.abc import Callable
from dataclasses import replace

from estimator.inputs.case.model import Patient
from estimator.inputs.payment.jurisdiction import Provider
from estimator.inputs.payment.legal_texts import LegalText
from estimator.proposal.numbering import number_self_pay
from estimator.quote.self_pay.good_faith_estimate import (
    ExpectedItem,
    ProviderGroup,
    SelfPayEstimate,
    SeparateItem,
    list_missing,
)
from estimator.sheets.base.blocks import Block, Bullets, Heading, KeepTogether, Sheet, TableBlock, Text
from estimator.sheets.base.context import SheetJob
from estimator.sheets.base.financial_inputs import NO_PAPERS
from estimator.sheets.base.layout import make_patient_sheet
from estimator.sheets.base.prose import list_words, make_paragraph, mark_up
from estimator.sheets.financial.wording import PaperWords, name_paper, open_paper, tell_number


def write_self_pay(job: SheetJob) -> Sheet:
    """The whole sheet; what is still missing is said, and its place says so too."""
    made = (job.papers or NO_PAPERS).get_self_pay()
    words = open_paper(
        _put_patient(job, made.patient),
        "self_pay_sheet",
        day=made.issued_on,
        currency=made.currency,
        number=made.number or job.estimate.case.reference,
    )
    blocks: list[Block] = [
        Bullets(items=_list_facts(words, made)),
        *_write_total(words, made),
        *(block for group in made.groups for block in _write_group(words, group)),
        *_write_separate(words, made),
        *_write_disclaimers(words, made),
    ]
    name = name_paper(words, made.title, words.papers.get_self_pay_number())
    return make_patient_sheet(words.job, title=made.title, name=name, blocks=blocks, prices=True, about="")


def _put_patient(job: SheetJob, patient: Patient) -> SheetJob:
    """The job for the patient that the estimate was issued to, as it was written then."""
    estimate = job.estimate
    return replace(job, estimate=replace(estimate, case=replace(estimate.case, patient=patient)))


def _list_facts(words: PaperWords, made: SelfPayEstimate) -> tuple[Text, ...]:
    missing = words.say("missing")
    born = words.day(made.patient.born) if made.patient.born else missing
    booked = words.day(made.service_on) if made.service_on else words.say("not_booked")
    number = words.papers.get_self_pay_number() or number_self_pay(made)
    facts = [tell_number(words, number), words.mark("made_on", day=words.day(made.issued_on))]
    if not made.patient.name:
        facts.append(words.mark("patient", name=missing))
    if not made.patient.name or not made.patient.born:
        facts.append(words.mark("born", day=born))
    facts.append(words.mark("service", service=made.primary_service or missing))
    return (*facts, words.mark("service_on", day=booked))


def _write_total(words: PaperWords, made: SelfPayEstimate) -> list[Block]:
    """What each provider is expected to charge, and all together."""
    rows = [(group.provider.name or group.provider.key, words.amount(group.total)) for group in made.groups]
    rows.append((words.say("total"), words.amount(made.total)))
    head = (words.say("head_provider"), words.say("head_total", currency=words.currency_title))
    table = TableBlock(head=head, rows=tuple(rows), widths=(70, 30), bold_last=True)
    blocks: list[Block] = [KeepTogether(blocks=(words.head("total_title"), table))]
    return [*blocks, words.tell("incomplete")] if list_missing(made) else blocks


def _write_group(words: PaperWords, group: ProviderGroup) -> list[Block]:
    """One provider: numbers and place, then every item. What is the same for all of its items is said once."""
    provider = group.provider
    title = Heading(text=words.say("provider", name=provider.name or provider.key), level=2)
    shared = tuple(name for name, show in _SHARED.items() if len({show(words, item) for item in group.items}) == 1)
    told = [words.mark(_ALL[name], value=_SHARED[name](words, group.items[0])) for name in shared if group.items]
    about = make_paragraph(*_say_provider(words, provider), *told)
    return [
        KeepTogether(blocks=(title, about)),
        _make_table(words, group, tuple(n for n in _SHARED if n not in shared)),
    ]


def _make_table(words: PaperWords, group: ProviderGroup, own: tuple[str, ...]) -> TableBlock:
    """The items with their codes and charges; `own` are the columns that differ from item to item."""
    head = tuple(words.say(f"head_{column}") for column in ("item", *own, "service", "charge"))
    rows = [
        (
            _name_item(words, item),
            *(_SHARED[name](words, item) for name in own),
            item.service_code or words.say("missing"),
            words.amount(item.expected_charge),
        )
        for item in group.items
    ]
    rows.append((words.say("total"), *("",) * (len(own) + 1), words.amount(group.total)))
    widths = (100 - 17 * (len(own) + 1) - 20, *(17,) * (len(own) + 1), 20)
    left = tuple(range(len(head) - 1))
    return TableBlock(head=head, rows=tuple(rows), widths=widths, left=left, bold_last=True, small=True)


def _say_provider(words: PaperWords, provider: Provider) -> tuple[Text, ...]:
    """Numbers and place of a provider; what is not known yet says so."""
    missing = words.say("missing")
    known = {
        "provider_npi": provider.npi,
        "provider_tin": provider.tin,
        "provider_state": provider.state,
        "provider_place": provider.place,
    }
    return tuple(words.mark(key, value=value or missing) for key, value in known.items())


def _name_item(words: PaperWords, item: ExpectedItem) -> str:
    name = item.description or words.say("missing")
    return words.say("times", quantity=item.quantity, name=name) if item.quantity > 1 else name


def _say_diagnosis(words: PaperWords, item: ExpectedItem) -> str:
    return list_words(item.diagnosis_codes) or words.say("none")


def _say_day(words: PaperWords, item: ExpectedItem) -> str:
    return words.day(item.expected_on) if item.expected_on else words.say("not_booked")


_SHARED: dict[str, Callable[[PaperWords, ExpectedItem], str]] = {"diagnosis": _say_diagnosis, "day": _say_day}
"""What is said of an item besides its name, code and charge, and is often the same for all."""
_ALL = {"diagnosis": "all_diagnosis", "day": "all_day"}
"""Its text where it is the same for all."""


def _write_separate(words: PaperWords, made: SelfPayEstimate) -> list[Block]:
    """What is booked separately, in a list of its own with its own words."""
    if not made.separate:
        return []
    items = Bullets(items=tuple(_say_separate(words, item) for item in made.separate))
    return [KeepTogether(blocks=(words.head("separate"), *_write_text(words, made.separate_disclaimer), items))]


def _say_separate(words: PaperWords, item: SeparateItem) -> Text:
    key = "separate_item_by" if item.provider else "separate_item"
    return words.mark(key, item=item.description, provider=item.provider)


def _write_disclaimers(words: PaperWords, made: SelfPayEstimate) -> list[Block]:
    first, *more = (_write_text(words, text) for text in made.disclaimers)
    return [KeepTogether(blocks=(words.head("rights"), *first)), *(KeepTogether(blocks=blocks) for blocks in more)]


def _write_text(words: PaperWords, text: LegalText) -> tuple[Block, ...]:
    """A text the rule asks for, and below it where it comes from and who has read it."""
    reviewed = words.mark("not_reviewed", source=text.source)
    if text.reviewed and text.reviewed_on is not None:
        reviewed = words.mark("reviewed", source=text.source, who=text.reviewed_by, day=words.day(text.reviewed_on))
    return (make_paragraph(mark_up("{text}", text=text.text)), make_paragraph(reviewed, small=True))
