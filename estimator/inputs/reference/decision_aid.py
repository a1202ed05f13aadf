"""The minimum standards for decision aids as data: each item, whether the option sheet meets it, and by which texts."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from estimator.base.fields import Fields
from estimator.base.problems import InputError, Problem


class AidGroup(StrEnum):
    """What an item decides: whether it is a decision aid at all, whether one is fair, how good it is."""

    QUALIFYING = "qualifying"
    CERTIFICATION = "certification"
    QUALITY = "quality"


@dataclass(frozen=True, slots=True, kw_only=True)
class AidItem:
    """An item; `where` are keys of the wording whose texts meet it, `how` says so to the office."""

    id: str
    group: AidGroup
    done: bool
    where: tuple[str, ...]
    how: str

    @property
    def mandatory(self) -> bool:
        """Whether a sheet that does not meet it may not be printed."""
        return self.group is not AidGroup.QUALITY


def read_decision_aid(document: Mapping[str, Any], *, file: str) -> tuple[AidItem, ...]:
    """The items from a parsed TOML document. Raises InputError with every problem."""
    problems: list[Problem] = []
    fields = Fields(document, file=file, problems=problems)
    items = tuple(_read_item(table) for table in fields.read_tables("items"))
    fields.refuse_others()
    if problems:
        raise InputError(problems)
    return items


def _read_item(table: Fields) -> AidItem:
    item = AidItem(
        id=table.read_key("id"),
        group=table.read_choice("group", AidGroup),
        done=table.read_flag("done", default=False),
        where=table.read_texts("where"),
        how=table.read_line("how", code="reference.how", required=True, longest=200),
    )
    if item.done != bool(item.where):
        table.add_problem("where", "reference.where")
    if item.mandatory and not item.done:
        table.add_problem("done", "reference.done")
    table.refuse_others()
    return item
