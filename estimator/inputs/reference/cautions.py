"""Cautions: what is said, for both readers, when a case raises a flag. They never decide anything."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from estimator.base.evidence import HowSure
from estimator.base.fields import Fields
from estimator.base.problems import InputError, Problem


class Gravity(StrEnum):
    """How much a caution bears on the choice, the gravest first: it speaks against a treatment, it has to be settled
    before one, or it is good to know.
    """

    AGAINST = "against"
    FIRST = "first"
    NOTE = "note"


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionText:
    """A caution as written: texts with {places} for what was found. `health` marks a flag of the case file.

    With `physician` a physician's answer is waited for before an operation, or before the second visit.
    `patient_text` is empty where only the clinician is told.
    """

    key: str
    text: str
    patient_text: str
    source: str
    how_sure: HowSure
    gravity: Gravity = Gravity.NOTE
    health: bool = False
    implants_only: bool = False
    physician: bool = False


def read_cautions(document: Mapping[str, Any], *, file: str, tables: str = "cautions") -> dict[str, CautionText]:
    """Cautions (or ways to make room) by key from a parsed TOML document. Raises InputError with every problem."""
    problems: list[Problem] = []
    fields = Fields(document, file=file, problems=problems)
    texts = [_read_caution(table) for table in fields.read_tables(tables)]
    fields.refuse_others()
    if problems:
        raise InputError(problems)
    return {text.key: text for text in texts}


def _read_caution(table: Fields) -> CautionText:
    caution = CautionText(
        key=table.read_key("key"),
        text=table.read_line("text", code="reference.text", required=True, longest=400),
        patient_text=table.read_line("patient_text", code="reference.patient_text", longest=300),
        source=table.read_line("source", code="line.source", required=True, longest=300),
        how_sure=table.read_choice("how_sure", HowSure),
        gravity=table.read_choice("gravity", Gravity) if "gravity" in table else Gravity.NOTE,
        health=table.read_flag("health", default=False),
        implants_only=table.read_flag("implants_only", default=False),
        physician=table.read_flag("physician", default=False),
    )
    table.refuse_others()
    return caution
