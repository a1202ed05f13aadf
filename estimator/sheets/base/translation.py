"""An estimate in the words of another language: what a patient reads of options, cautions, figures and sources.

Texts of data files are found by what they say in English. What is not found stays as it is, and is listed.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from estimator.base.evidence import Evidence, Figure
from estimator.estimate.clearance.cautions import Caution
from estimator.estimate.clearance.verdict import Clearance
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate, NotApplicable
from estimator.inputs.options.model import Option
from estimator.inputs.payment.legal_texts import LegalText
from estimator.inputs.payment.model import Lender
from estimator.inputs.practice.settings import Settings
from estimator.inputs.practice_bundle import Practice
from estimator.inputs.reference.wording import Wording
from estimator.quote.benefits.claim import Reason
from estimator.quote.benefits.estimate import BenefitEstimate, BenefitLine
from estimator.quote.discounts import Applied
from estimator.quote.payment.plans import PlannedWay
from estimator.quote.quote import Quote, QuoteChange
from estimator.quote.self_pay.good_faith_estimate import SelfPayEstimate
from estimator.sheets.base.financial_inputs import QuotePapers


@dataclass(frozen=True, slots=True, kw_only=True)
class Translated:
    """The estimate with its words in place, and the texts that stayed in English."""

    estimate: CaseEstimate
    left: tuple[str, ...] = ()


def translate_estimate(estimate: CaseEstimate, wording: Wording) -> Translated:
    """An estimate for a sheet in the language of a wording; as it is where that is the language of the data."""
    if not wording.is_translation:
        return Translated(estimate=estimate)
    tongue = _Tongue(wording=wording, own=estimate.practice.settings.find_words(wording.language))
    jaws = tuple(_translate_jaw(jaw, tongue) for jaw in estimate.jaws)
    practice = _translate_practice(estimate.practice, tongue)
    return Translated(estimate=replace(estimate, practice=practice, jaws=jaws), left=tuple(tongue.left))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Tongue:
    """Says a text in the language: in the practice's words, else in those that ship; notes what it cannot say."""

    wording: Wording
    own: Mapping[str, str]
    left: dict[str, None] = field(default_factory=dict)

    def say(self, text: str) -> str:
        """A text that must be translated."""
        said = self.own.get(text) or self.wording.translate(text)
        if said is None:
            self.left[text] = None
        return text if said is None else said

    def try_to_say(self, text: str) -> str:
        """A text that may stay as it is: a citation, or what the practice wrote."""
        return self.own.get(text) or self.wording.translate_filled(text) or text


def translate_papers(papers: QuotePapers, wording: Wording, settings: Settings) -> QuotePapers:
    """The same papers with what is named and said on them in the language of `wording`, where it has words for them.

    What the practice or a plan wrote itself stays as it is, unless the practice gives it in that language too.
    """
    if not wording.is_translation:
        return papers
    tongue = _Tongue(wording=wording, own=settings.find_words(wording.language))
    self_pay = papers.self_pay
    return replace(
        papers,
        quote=_translate_quote(papers.quote, tongue) if papers.quote else None,
        benefits=tuple(replace(one, as_planned=_translate_benefits(one.as_planned, tongue)) for one in papers.benefits),
        self_pay=_translate_self_pay(self_pay, tongue) if self_pay else None,
        benefit_title=tongue.try_to_say(papers.benefit_title),
    )


def _translate_quote(quote: Quote, tongue: _Tongue) -> Quote:
    say = tongue.try_to_say
    return replace(
        quote,
        title=say(quote.title),
        options=tuple((arch, say(name)) for arch, name in quote.options),
        lines=tuple(replace(one, line=replace(one.line, label=say(one.line.label))) for one in quote.lines),
        adjusted=replace(quote.adjusted, applied=tuple(_translate_applied(o, tongue) for o in quote.adjusted.applied)),
        ways=tuple(_translate_way(planned, tongue) for planned in quote.ways),
        texts=tuple(_translate_legal(text, tongue) for text in quote.texts),
        changes=tuple(_translate_change(change, tongue) for change in quote.changes),
        tax_reasons=tuple(map(say, quote.tax_reasons)),
    )


def _translate_applied(one: Applied, tongue: _Tongue) -> Applied:
    return replace(one, adjustment=replace(one.adjustment, reason=tongue.try_to_say(one.adjustment.reason)))


def _translate_way(planned: PlannedWay, tongue: _Tongue) -> PlannedWay:
    say, way, box = tongue.try_to_say, planned.way, planned.box
    named = replace(way, label=say(way.label))
    if isinstance(named, Lender):
        named = replace(named, text=say(named.text))
    return replace(
        planned,
        way=named,
        payments=tuple(replace(payment, what=say(payment.what)) for payment in planned.payments),
        box=replace(box, late_payment=say(box.late_payment), paying_early=say(box.paying_early)) if box else None,
    )


def _translate_change(change: QuoteChange, tongue: _Tongue) -> QuoteChange:
    """A change with the names that its texts begin with or hold."""
    before, after = (_translate_told(change, text, tongue) for text in (change.before, change.after))
    return replace(change, before=before, after=after, subject=tongue.try_to_say(change.subject))


def _translate_told(change: QuoteChange, text: str, tongue: _Tongue) -> str:
    say = tongue.try_to_say
    if change.place == "options":
        parts = (part.partition(": ") for part in text.split("; "))
        return "; ".join(f"{arch}{colon}{say(name)}" for arch, colon, name in parts)
    if change.subject and text.startswith(change.subject):
        return say(change.subject) + text.removeprefix(change.subject)
    return say(text)


def _translate_legal(text: LegalText, tongue: _Tongue) -> LegalText:
    """A text that somebody has read and put a name under stays in the words that were read."""
    return text if text.reviewed else replace(text, text=tongue.try_to_say(text.text))


def _translate_benefits(made: BenefitEstimate, tongue: _Tongue) -> BenefitEstimate:
    return replace(made, lines=tuple(_translate_benefit_line(line, tongue) for line in made.lines))


def _translate_benefit_line(line: BenefitLine, tongue: _Tongue) -> BenefitLine:
    """A line with its name, and what the plan would pay for in its place."""
    shares = tuple(
        replace(share, reasons=tuple(_translate_reason(reason, tongue) for reason in share.reasons))
        for share in line.shares
    )
    return replace(line, line=replace(line.line, label=tongue.try_to_say(line.line.label)), shares=shares)


def _translate_reason(reason: Reason, tongue: _Tongue) -> Reason:
    values = ((name, tongue.try_to_say(value) if isinstance(value, str) else value) for name, value in reason.values)
    return replace(reason, values=tuple(values))


def _translate_self_pay(made: SelfPayEstimate, tongue: _Tongue) -> SelfPayEstimate:
    say = tongue.try_to_say
    groups = tuple(
        replace(group, items=tuple(replace(item, description=say(item.description)) for item in group.items))
        for group in made.groups
    )
    return replace(
        made,
        title=say(made.title),
        primary_service=say(made.primary_service),
        groups=groups,
        disclaimers=tuple(_translate_legal(text, tongue) for text in made.disclaimers),
        separate_disclaimer=_translate_legal(made.separate_disclaimer, tongue),
        separate=tuple(replace(item, description=say(item.description)) for item in made.separate),
    )


def _translate_jaw(jaw: JawEstimate, tongue: _Tongue) -> JawEstimate:
    return replace(jaw, options=tuple(_translate_made(option, tongue) for option in jaw.options))


def _translate_made(made: Estimate | NotApplicable, tongue: _Tongue) -> Estimate | NotApplicable:
    name = tongue.say(made.patient_name)
    if isinstance(made, NotApplicable):
        return replace(made, patient_name=name)
    lines = tuple(replace(line, label=tongue.try_to_say(line.label)) for line in made.fees.lines)
    visits = tuple(replace(visit, patient_what=tongue.say(visit.patient_what)) for visit in made.visits.visits)
    # As the practice says what is not included: what a jaw asks for is left out there by these names.
    asked = tuple(replace(asked, patient_name=tongue.try_to_say(asked.patient_name)) for asked in made.variants)
    return replace(
        made,
        patient_name=name,
        clearance=_translate_clearance(made.clearance, tongue),
        fees=replace(made.fees, lines=lines),
        visits=replace(made.visits, visits=visits),
        variants=asked,
        upkeep_labels=tuple((key, tongue.say(label)) for key, label in made.upkeep_labels),
        basis=tuple(_translate_figure(figure, tongue) for figure in made.basis),
    )


def _translate_clearance(clearance: Clearance, tongue: _Tongue) -> Clearance:
    opinions = tuple(
        replace(opinion, minimum=replace(opinion.minimum, label=tongue.say(opinion.minimum.label)))
        for opinion in clearance.opinions
    )
    cautions, ways = (_translate_cautions(told, tongue) for told in (clearance.cautions, clearance.ways))
    return replace(clearance, opinions=opinions, cautions=cautions, ways=ways)


def _translate_cautions(cautions: Iterable[Caution], tongue: _Tongue) -> tuple[Caution, ...]:
    return tuple(replace(caution, patient_text=tongue.say(caution.patient_text)) for caution in cautions)


def _translate_figure(figure: Figure, tongue: _Tongue) -> Figure:
    place = tongue.try_to_say(figure.place)
    return replace(figure, name=tongue.say(figure.name), unit=tongue.say(figure.unit), place=place)


def _translate_practice(practice: Practice, tongue: _Tongue) -> Practice:
    evidence, fees = practice.evidence, practice.fees
    reason = tongue.say(fees.tax.reason)
    sources = {key: tongue.try_to_say(source) for key, source in evidence.sources.items()}
    return replace(
        practice,
        settings=_translate_settings(practice.settings, tongue),
        fees=replace(fees, tax=replace(fees.tax, reason=reason)),
        options=tuple(_translate_option(option, tongue) for option in practice.options),
        evidence=Evidence(figures=evidence.figures, sources=sources),
    )


def _translate_settings(settings: Settings, tongue: _Tongue) -> Settings:
    pay_at, left_out = (tuple(map(tongue.try_to_say, texts)) for texts in (settings.pay_at, settings.not_included))
    return replace(settings, pay_at=pay_at, not_included=left_out)


def _translate_option(option: Option, tongue: _Tongue) -> Option:
    stack = tuple(replace(part, patient_name=tongue.say(part.patient_name)) for part in option.stack)
    return replace(option, patient_name=tongue.say(option.patient_name), stack=stack)
