"""Chances as data: what a published number counts, out of how many, in whom, over which years, in which jaw."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from estimator.base.fields import Fields
from estimator.base.problems import InputError, Problem
from estimator.inputs.case.model import Arch

_WHOLES = (100, 1000)
_MOST_YEARS = 60


class RiskUnit(StrEnum):
    """What a number counts. One of them never turns into another."""

    IMPLANTS = "implants"
    DENTURES = "dentures"
    PEOPLE = "people"


@dataclass(frozen=True, slots=True, kw_only=True)
class ChanceFrame:
    """Everything that a figure needs to be shown as a chance; `years` from and to, `group` a key of the wording."""

    key: str
    figure: str
    counted: RiskUnit
    of: int
    jaws: tuple[Arch, ...]
    years: tuple[int, int]
    group: str
    implants_from: int = 0
    implants_to: int = 99


def read_chances(document: Mapping[str, Any], *, file: str) -> tuple[ChanceFrame, ...]:
    """Chances from a parsed TOML document. Raises InputError with every problem."""
    problems: list[Problem] = []
    fields = Fields(document, file=file, problems=problems)
    frames = tuple(_read_frame(table) for table in fields.read_tables("chances"))
    fields.refuse_others()
    if problems:
        raise InputError(problems)
    return frames


def _read_frame(table: Fields) -> ChanceFrame:
    of = table.read_whole("of", 1, 1000)
    if of not in _WHOLES:
        table.add_problem("of", "reference.of", known=_WHOLES)
    frame = ChanceFrame(
        key=table.read_key("key"),
        figure=table.read_key("figure"),
        counted=table.read_choice("counted", RiskUnit),
        of=of,
        jaws=tuple(Arch(jaw) for jaw in table.read_texts("jaws", tuple(Arch))),
        years=_read_years(table),
        group=table.read_key("group"),
        implants_from=table.read_whole("implants_from", 0, 99, default=0),
        implants_to=table.read_whole("implants_to", 0, 99, default=99),
    )
    table.refuse_others()
    return frame


def _read_years(table: Fields) -> tuple[int, int]:
    years = table.get_raw("years")
    if isinstance(years, list) and len(years) == 2 and all(isinstance(year, int) for year in years):
        first, last = years
        if 0 < first <= last <= _MOST_YEARS:
            return first, last
    table.add_problem("years", "reference.years")
    return 1, 1
