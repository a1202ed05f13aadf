"""An estimate in the words of another language: what a patient reads of options, cautions, figures and sources.

Texts of data files are found by what they say in English. What is not found stays as it is, and is listed.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from estimator.base.evidence import Evidence, Figure
from estimator.estimate.clearance.cautions import Caution
from estimator.estimate.clearance.verdict import Clearance
from estimator.estimate.result import CaseEstimate, Estimate, JawEstimate, NotApplicable
from estimator.inputs.options import Option
from estimator.inputs.practice import Practice
from estimator.inputs.settings import Settings
from estimator.inputs.wording import Wording


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
        return self.own.get(text) or self.wording.translate(text) or text


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
    evidence = practice.evidence
    sources = {key: tongue.try_to_say(source) for key, source in evidence.sources.items()}
    return replace(
        practice,
        settings=_translate_settings(practice.settings, tongue),
        options=tuple(_translate_option(option, tongue) for option in practice.options),
        evidence=Evidence(figures=evidence.figures, sources=sources),
    )


def _translate_settings(settings: Settings, tongue: _Tongue) -> Settings:
    pay_at, left_out = (tuple(map(tongue.try_to_say, texts)) for texts in (settings.pay_at, settings.not_included))
    return replace(settings, pay_at=pay_at, not_included=left_out)


def _translate_option(option: Option, tongue: _Tongue) -> Option:
    stack = tuple(replace(part, patient_name=tongue.say(part.patient_name)) for part in option.stack)
    return replace(option, patient_name=tongue.say(option.patient_name), stack=stack)
