"""An estimate and papers about money in the words of another language: each text by its key, said by the speaker.

What the speaker has no words for stays as it is; what should have some is listed.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from estimator.base.evidence import Evidence, Figure
from estimator.base.told import Name, make_word_key
from estimator.estimate.clearance.cautions import Caution
from estimator.estimate.clearance.layers import Layer, say_layer
from estimator.estimate.clearance.verdict import Clearance
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate, NotApplicable
from estimator.inputs.options.model import Option
from estimator.inputs.options.variants import Variant
from estimator.inputs.payment.legal_texts import LegalText
from estimator.inputs.payment.model import Lender
from estimator.inputs.practice.settings import Settings
from estimator.inputs.practice_bundle import Practice
from estimator.inputs.reference.layers import LayerKey, LayerText
from estimator.inputs.reference.speaker import Speaker, find_speaker
from estimator.inputs.reference.wording import Wording
from estimator.quote.benefits.claim import Reason
from estimator.quote.benefits.estimate import BenefitEstimate, BenefitLine
from estimator.quote.changes import ChangedValue, ChangeKind, LinePrice, QuoteChange, TakenOff, WayTerms
from estimator.quote.discounts import Applied
from estimator.quote.payment.plans import PlannedWay
from estimator.quote.quote import Quote
from estimator.quote.self_pay.good_faith_estimate import ExpectedItem, SelfPayEstimate
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
    tongue = find_speaker(wording, estimate.practice.settings)
    jaws = tuple(_translate_jaw(jaw, estimate.practice, tongue) for jaw in estimate.jaws)
    practice = _translate_practice(estimate.practice, tongue)
    return Translated(estimate=replace(estimate, practice=practice, jaws=jaws), left=tuple(tongue.left))


def translate_papers(papers: QuotePapers, wording: Wording, settings: Settings) -> QuotePapers:
    """The same papers with what is named and said on them in the language of `wording`, where it has words for them.

    What the practice or a plan wrote itself stays as it is, unless the practice gives it in that language too.
    """
    if not wording.is_translation:
        return papers
    tongue = find_speaker(wording, settings)
    self_pay = papers.self_pay
    return replace(
        papers,
        quote=_translate_quote(papers.quote, tongue) if papers.quote else None,
        benefits=tuple(replace(one, as_planned=_translate_benefits(one.as_planned, tongue)) for one in papers.benefits),
        self_pay=_translate_self_pay(self_pay, tongue) if self_pay else None,
        benefit_title=_say(tongue, "title.benefit", papers.benefit_title),
        quote_number=papers.get_quote_number(),
        self_pay_number=papers.get_self_pay_number(),
    )


def _say(tongue: Speaker, key: str, label: str) -> str:
    """What may stay as it is written."""
    return tongue.try_to_say(Name(key=key, label=label))


def _must_say(tongue: Speaker, key: str, label: str) -> str:
    return tongue.say(Name(key=key, label=label))


def _translate_quote(quote: Quote, tongue: Speaker) -> Quote:
    return replace(
        quote,
        title=_say(tongue, "title.quote", quote.title),
        options=tuple((arch, _say(tongue, "option", name)) for arch, name in quote.options),
        lines=tuple(
            replace(one, line=replace(one.line, label=_say(tongue, f"fee.{one.line.fee_key}", one.line.label)))
            for one in quote.lines
        ),
        adjusted=replace(quote.adjusted, applied=tuple(_translate_applied(o, tongue) for o in quote.adjusted.applied)),
        ways=tuple(_translate_way(planned, tongue) for planned in quote.ways),
        texts=tuple(_translate_legal(text, tongue) for text in quote.texts),
        changes=tuple(_translate_change(change, tongue) for change in quote.changes),
        tax_reasons=tuple(_say(tongue, "", reason) for reason in quote.tax_reasons),
        not_included=quote.not_included and tuple((key, _say(tongue, key, item)) for key, item in quote.not_included),
    )


def _translate_applied(one: Applied, tongue: Speaker) -> Applied:
    return replace(one, adjustment=replace(one.adjustment, reason=_say(tongue, "", one.adjustment.reason)))


def _translate_way(planned: PlannedWay, tongue: Speaker) -> PlannedWay:
    way, box = planned.way, planned.box
    named = replace(way, label=_say(tongue, "payment_way", way.label))
    if isinstance(named, Lender):
        named = replace(named, text=_say(tongue, "", named.text))
    credit = box and replace(
        box, late_payment=_say(tongue, "", box.late_payment), paying_early=_say(tongue, "", box.paying_early)
    )
    payments = tuple(replace(payment, what=_say(tongue, "stage", payment.what)) for payment in planned.payments)
    return replace(planned, way=named, payments=payments, box=credit)


def _translate_change(change: QuoteChange, tongue: Speaker) -> QuoteChange:
    """A change with the names in it, and that of what it is of."""
    before, after = (_translate_value(change, value, tongue) for value in (change.before, change.after))
    label = _say(tongue, _find_key(change), change.subject.label)
    return replace(change, before=before, after=after, subject=replace(change.subject, label=label))


def _find_key(change: QuoteChange) -> str:
    match change.kind:
        case ChangeKind.LINE:
            return f"fee.{change.subject.key}"
        case ChangeKind.WAY:
            return "payment_way"
        case ChangeKind.TITLE:
            return "title.quote"
        case _:
            return ""


def _translate_value(change: QuoteChange, value: ChangedValue | None, tongue: Speaker) -> ChangedValue | None:
    match value:
        case str():
            return _say(tongue, _find_key(change), value)
        case LinePrice():
            return replace(value, label=_say(tongue, _find_key(change), value.label))
        case TakenOff():
            return replace(value, reason=_say(tongue, "", value.reason))
        case WayTerms():
            stages = tuple(replace(stage, what=_say(tongue, "stage", stage.what)) for stage in value.stages)
            label = _say(tongue, _find_key(change), value.label)
            return replace(value, label=label, text=_say(tongue, "", value.text), stages=stages)
        case tuple():
            return tuple((arch, _say(tongue, "option", name)) for arch, name in value)
        case _:
            return value


def _translate_legal(text: LegalText, tongue: Speaker) -> LegalText:
    """A text that somebody has read and put a name under stays in the words that were read."""
    if text.reviewed:
        return text
    return replace(
        text, text=tongue.try_to_say(Name(key=f"legal.{text.key}.text", label=text.text, values=text.values))
    )


def _translate_benefits(made: BenefitEstimate, tongue: Speaker) -> BenefitEstimate:
    return replace(made, lines=tuple(_translate_benefit_line(line, tongue) for line in made.lines))


def _translate_benefit_line(line: BenefitLine, tongue: Speaker) -> BenefitLine:
    """A line with its name, and what the plan would pay for in its place."""
    shares = tuple(
        replace(share, reasons=tuple(_translate_reason(reason, tongue) for reason in share.reasons))
        for share in line.shares
    )
    return replace(
        line,
        line=replace(line.line, label=_say(tongue, f"fee.{line.line.key}", line.line.label)),
        shares=shares,
    )


def _translate_reason(reason: Reason, tongue: Speaker) -> Reason:
    values = (
        (name, _say(tongue, f"alternate.{make_word_key(value)}", value) if isinstance(value, str) else value)
        for name, value in reason.values
    )
    return replace(reason, values=tuple(values))


def _translate_self_pay(made: SelfPayEstimate, tongue: Speaker) -> SelfPayEstimate:
    groups = tuple(
        replace(group, items=tuple(_translate_item(item, tongue) for item in group.items)) for group in made.groups
    )
    return replace(
        made,
        title=_say(tongue, "title.self_pay", made.title),
        primary_service=_say(tongue, "", made.primary_service),
        groups=groups,
        disclaimers=tuple(_translate_legal(text, tongue) for text in made.disclaimers),
        separate_disclaimer=_translate_legal(made.separate_disclaimer, tongue),
        separate=tuple(replace(item, description=_say(tongue, "", item.description)) for item in made.separate),
    )


def _translate_item(item: ExpectedItem, tongue: Speaker) -> ExpectedItem:
    """An item by its line of fees; of an estimate that was kept before it named that, by what it is called."""
    return replace(item, description=_say(tongue, f"fee.{item.fee_key}" if item.fee_key else "fee", item.description))


def _translate_jaw(jaw: JawEstimate, practice: Practice, tongue: Speaker) -> JawEstimate:
    return replace(jaw, options=tuple(_translate_made(option, practice, tongue) for option in jaw.options))


def _translate_made(made: Estimate | NotApplicable, practice: Practice, tongue: Speaker) -> Estimate | NotApplicable:
    name = _must_say(tongue, f"option.{made.key}", made.patient_name)
    if isinstance(made, NotApplicable):
        return replace(made, patient_name=name)
    lines = tuple(replace(line, label=_say(tongue, f"fee.{line.key}", line.label)) for line in made.fees.lines)
    visits = tuple(
        replace(visit, patient_what=_must_say(tongue, f"visit.{visit.key}.patient_what", visit.patient_what))
        for visit in made.visits.visits
    )
    labels = tuple((key, _must_say(tongue, f"upkeep.{key}.patient_label", label)) for key, label in made.upkeep_labels)
    return replace(
        made,
        patient_name=name,
        clearance=_translate_clearance(made.clearance, practice.layers, tongue),
        fees=replace(made.fees, lines=lines),
        visits=replace(made.visits, visits=visits),
        variants=tuple(replace(one, patient_name=tongue.try_to_say(_name_variant(one))) for one in made.variants),
        upkeep_labels=labels,
        basis=tuple(_translate_figure(figure, tongue) for figure in made.basis),
    )


def _name_variant(variant: Variant) -> Name:
    return Name(key=f"variant.{variant.key}.patient_name", label=variant.patient_name)


def _translate_clearance(clearance: Clearance, texts: Mapping[LayerKey, LayerText], tongue: Speaker) -> Clearance:
    opinions = []
    for one in clearance.opinions:
        label = _must_say(tongue, f"minimum.{one.minimum.key}.label", one.minimum.label)
        opinions.append(replace(one, minimum=replace(one.minimum, label=label)))
    return replace(
        clearance,
        opinions=tuple(opinions),
        cautions=_translate_cautions("caution", clearance.cautions, tongue),
        ways=_translate_cautions("way", clearance.ways, tongue),
        layers=tuple(_translate_layer(layer, texts[layer.key], tongue) for layer in clearance.layers),
    )


def _translate_layer(layer: Layer, text: LayerText, tongue: Speaker) -> Layer:
    """The sentences of its state in the language, filled with what was found."""
    key = f"layer.{layer.key}"
    named = replace(layer, patient_name=_must_say(tongue, f"{key}.patient_name", layer.patient_name))
    said = text.says.get(layer.sentence)
    if said is None:
        return named
    told = ("patient_text", "patient_brief")
    words = {one: _must_say(tongue, f"{key}.{layer.sentence}.{one}", getattr(said, one)) for one in told}
    return say_layer(named, replace(said, **words), tongue.locale)


def _translate_cautions(sort: str, cautions: Iterable[Caution], tongue: Speaker) -> tuple[Caution, ...]:
    return tuple(
        replace(
            caution,
            patient_text=tongue.say(
                Name(key=f"{sort}.{caution.key}.patient_text", label=caution.patient_text, values=caution.values)
            ),
        )
        for caution in cautions
    )


def _translate_figure(figure: Figure, tongue: Speaker) -> Figure:
    return replace(
        figure,
        name=_must_say(tongue, f"figure.{figure.key}.name", figure.name),
        unit=_must_say(tongue, f"unit.{make_word_key(figure.unit)}", figure.unit),
        place=_say(tongue, f"figure.{figure.key}.place", figure.place),
    )


def _translate_practice(practice: Practice, tongue: Speaker) -> Practice:
    evidence, fees = practice.evidence, practice.fees
    reason = _must_say(tongue, "", fees.tax.reason)
    sources = {key: _say(tongue, f"source.{key}", source) for key, source in evidence.sources.items()}
    return replace(
        practice,
        settings=_translate_settings(practice.settings, practice.variants, tongue),
        fees=replace(fees, tax=replace(fees.tax, reason=reason)),
        options=tuple(_translate_option(option, tongue) for option in practice.options),
        variants={
            key: replace(one, patient_name=tongue.try_to_say(_name_variant(one)))
            for key, one in practice.variants.items()
        },
        evidence=Evidence(figures=evidence.figures, sources=sources),
    )


def _translate_settings(settings: Settings, variants: Mapping[str, Variant], tongue: Speaker) -> Settings:
    """What a jaw may ask for is left out of what is not included by its name, so both are said alike."""
    names = {one.patient_name: _name_variant(one) for one in variants.values()}
    left_out = (tongue.try_to_say(names.get(text) or Name(key="", label=text)) for text in settings.not_included)
    pay_at = (_say(tongue, "", text) for text in settings.pay_at)
    return replace(settings, pay_at=tuple(pay_at), not_included=tuple(left_out))


def _translate_option(option: Option, tongue: Speaker) -> Option:
    stack = tuple(
        replace(part, patient_name=_must_say(tongue, f"part.{part.key}.patient_name", part.patient_name))
        for part in option.stack
    )
    return replace(
        option, patient_name=_must_say(tongue, f"option.{option.key}.patient_name", option.patient_name), stack=stack
    )
