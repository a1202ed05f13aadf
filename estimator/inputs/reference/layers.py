"""Layers of the check as data: what each is called and says, its source, and for which options it decides."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from estimator.base.evidence import HowSure
from estimator.base.fields import Fields
from estimator.base.problems import InputError, Problem
from estimator.inputs.options.model import Attachments


class LayerKey(StrEnum):
    """What is asked of a jaw for one option; the order decides ties."""

    SHARED_SPACE = "shared_space"
    NUMBER = "number"
    ABUTMENT = "abutment"
    HEIGHT = "height"
    DENTURE = "denture"
    ALONG = "along"
    WIDTH = "width"
    PATH = "path"


class LayerState(StrEnum):
    """What a layer finds, the worst first."""

    CONTRADICTION = "contradiction"
    NOT_ENOUGH = "not_enough"
    NOT_MEASURED = "not_measured"
    CLOSE = "close"
    ROOM = "room"
    NOT_ASKED = "not_asked"


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerSentence:
    """What a state is told as, to the trade and to the patient, with {places} for what was found.

    The brief ones stand where there is a line for a whole verdict.
    """

    text: str
    patient_text: str
    brief: str
    patient_brief: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerText:
    """One layer as written: it decides for options whose attachments sit at one of `rules_out`, elsewhere it warns.

    `says` holds sentences by state, or by state and what makes it special, such as not_enough_bar.
    """

    key: LayerKey
    name: str
    patient_name: str
    rules_out: tuple[Attachments, ...]
    source: str
    how_sure: HowSure
    says: Mapping[str, LayerSentence]


def read_layers(document: Mapping[str, Any], *, file: str) -> dict[LayerKey, LayerText]:
    """Layers by key from a parsed TOML document. Raises InputError with every problem."""
    problems: list[Problem] = []
    fields = Fields(document, file=file, problems=problems)
    texts = [_read_layer(table) for table in fields.read_tables("layers")]
    fields.refuse_others()
    if problems:
        raise InputError(problems)
    return {text.key: text for text in texts}


def _read_layer(table: Fields) -> LayerText:
    says = table.read_table("says")
    layer = LayerText(
        key=table.read_choice("key", LayerKey),
        name=table.read_line("name", code="reference.text", required=True, longest=60),
        patient_name=table.read_line("patient_name", code="reference.patient_text", required=True, longest=60),
        rules_out=tuple(Attachments(word) for word in table.read_texts("rules_out", Attachments)),
        source=table.read_line("source", code="line.source", required=True, longest=400),
        how_sure=table.read_choice("how_sure", HowSure),
        says={word: _read_sentence(says, word) for word in says.table} if says else {},
    )
    table.refuse_others()
    return layer


def _read_sentence(says: Fields, word: str) -> LayerSentence:
    sentence = says.read_table(word)
    if sentence is None:
        return LayerSentence(text="", patient_text="", brief="", patient_brief="")
    told = LayerSentence(
        text=sentence.read_line("text", code="reference.text", required=True, longest=400),
        patient_text=sentence.read_line("patient_text", code="reference.patient_text", required=True, longest=300),
        brief=sentence.read_line("brief", code="reference.text", required=True, longest=160),
        patient_brief=sentence.read_line("patient_brief", code="reference.patient_text", required=True, longest=160),
    )
    sentence.refuse_others()
    return told
