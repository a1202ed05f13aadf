"""The form of every number that stands on a paper, and of the mark that a paper bears while it has no number.

A number is given by the store, in the transaction that keeps the paper. Until then a paper has the practice's own
reference and a mark of what it says, so that two that say different things are never taken for one.
"""

import json
import uuid
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from estimator.quote.quote import Quote
from estimator.quote.self_pay.good_faith_estimate import SelfPayEstimate
from estimator.quote.snapshot import quote_to_dict, self_pay_to_dict

_SPACE = uuid.uuid5(uuid.NAMESPACE_URL, "overdenture-options")


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperNumber:
    """What tells a paper from others: its number and version once it is kept, until then a mark of what it says."""

    number: str = ""
    version: int = 0
    mark: str = ""


def number_quote(quote: Quote) -> PaperNumber:
    """The number that a quote was kept under; a mark while it is not kept."""
    if quote.is_kept:
        return PaperNumber(number=quote.number, version=quote.version)
    return PaperNumber(mark=_mark_document(quote_to_dict(quote)))


def number_self_pay(estimate: SelfPayEstimate) -> PaperNumber:
    """The number that a self-pay estimate was kept under; a mark while it is not kept."""
    if estimate.number:
        return PaperNumber(number=estimate.number, version=estimate.version)
    return PaperNumber(mark=_mark_document(self_pay_to_dict(estimate)))


def _mark_document(document: dict[str, Any]) -> str:
    return group_mark(mark_texts((json.dumps(document, ensure_ascii=False),)))


def write_number(reference: str, running: int) -> str:
    """C-1042-Q3: the third kept document of that reference; its letter tells it from C-1042-1, the sheet of a jaw."""
    return f"{reference}-Q{running}"


def write_sheet_number(reference: str, jaw_number: int) -> str:
    """C-1042-1: the sheets, and the record that belongs to them, of the first jaw (0) of that reference."""
    return f"{reference}-{jaw_number + 1}"


def name_version(number: str, version: int) -> str:
    """C-1042-Q3, version 2: how the office speaks of a kept version."""
    return f"{number}, version {version}"


def mark_texts(texts: tuple[str, ...]) -> str:
    """A short mark of texts, which changes when one of them does: eight signs of their SHA-256."""
    return sha256("\x1f".join(texts).encode("utf-8")).hexdigest()[:8]


def group_mark(mark: str) -> str:
    """A mark as it is printed, in two groups: ab12 cd34."""
    return f"{mark[:4]} {mark[4:]}"


def name_file(sort: str, reference: str, *parts: str, number: PaperNumber | None = None, end: str = "pdf") -> str:
    """quote_C-1042-Q3_version_2.pdf: the sort of paper and its number; while it has none, its reference and its mark.

    `parts` are the jaw, the plan or the option that one file of several is about.
    """
    known = number or PaperNumber()
    version = f"version_{known.version}" if known.number else ""
    stem = (sort, known.number or reference, version, known.mark.replace(" ", ""), *parts)
    return f"{'_'.join(part for part in stem if part)}.{end}"


def make_visit_id(reference: str, arch: str, option: str, visit: str) -> str:
    """The identity of an appointment in a calendar: the same whenever it is written again, and opaque."""
    return str(uuid.uuid5(_SPACE, f"{reference}/{arch}/{option}/{visit}"))
