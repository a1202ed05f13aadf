"""Whether the practice has approved the words that patients read: by whom, when, and exactly which words."""

from enum import StrEnum

from estimator.inputs.practice_bundle import Practice
from estimator.inputs.reference.wording import Wording
from estimator.proposal.numbering import mark_texts

OFFICE_WORDS = (
    "summary.", "missing.", "office_summary.", "work_order.", "parts_order.", "plan_letter.", "benefits.letter",
    "benefits.reason_office.", "quote.notices.", "problems.",
)  # fmt: skip
"""Families of texts that no patient reads."""


class Approval(StrEnum):
    """Nobody has approved the words; somebody did and they have changed since; or they are approved as they stand."""

    NONE = "none"
    LAPSED = "lapsed"
    HOLDS = "holds"


def mark_wording(practice: Practice, wording: Wording) -> str:
    """The mark of all that patients read in one language: sheets, cautions, names of options, the practice's terms."""
    return mark_texts((wording.language, *_list_wording(wording), *_list_practice(practice)))


def find_approval(practice: Practice, wording: Wording) -> Approval:
    """Whether the words in use are those that were approved."""
    settings = practice.settings
    if not (settings.approved_by and settings.approved_on and settings.approved_text):
        return Approval.NONE
    approved = settings.approved_text.replace(",", " ").split()
    return Approval.HOLDS if mark_wording(practice, wording) in approved else Approval.LAPSED


def _list_wording(wording: Wording) -> tuple[str, ...]:
    keys = sorted(key for key in wording.texts if not key.startswith(OFFICE_WORDS) and ".office" not in key)
    return tuple(part for key in keys for part in (key, wording.get(key)))


def _list_practice(practice: Practice) -> tuple[str, ...]:
    said = {**practice.cautions, **practice.ways}
    texts = [said[key].patient_text for key in sorted(said)]
    for layer in practice.layers.values():
        texts += [layer.patient_name, *(sentence.patient_text for sentence in layer.says.values())]
    for option in sorted(practice.options, key=lambda option: option.key):
        texts += [option.patient_name, option.conversion.patient_name, option.conversion.reason]
        texts += [part.patient_name for part in option.stack]
        texts += [step.patient_what for step in option.visits]
        texts += [option.removal.step.patient_what] if option.removal else []
        texts += [item.patient_label for item in option.upkeep]
        texts += [option.renewal.patient_label] if option.renewal else []
    settings = practice.settings
    return (*texts, *settings.terms.list_texts(), *settings.pay_at, *settings.not_included)
